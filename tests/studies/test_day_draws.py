"""Days drawn from ranges."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_days import certain

from gearsim.setup.conditions import Conditions
from gearsim.setup.uncertain import Uncertain
from gearsim.studies.days.draws import (
    INPUTS,
    Input,
    day_of,
    draw_days,
    draw_scores,
    varying,
)

WINDY = Conditions(wind_mps=5.0, wind_from_rad=1.0)


def test_a_longer_draw_begins_with_the_shorter_one() -> None:
    assert draw_days(Uncertain(), WINDY, 128)[:32] == draw_days(Uncertain(), WINDY, 32)


def test_another_seed_draws_other_days() -> None:
    assert draw_days(Uncertain(seed=1), WINDY, 16) != draw_days(Uncertain(seed=2), WINDY, 16)


def test_every_input_is_drawn_evenly() -> None:
    # A scrambled Sobol' sequence has one of its first 2^m points in each 2^-m of every dimension.
    from scipy.special import ndtr

    places = np.sort(np.floor(64 * ndtr(draw_scores(5, 64))), axis=0)
    assert np.array_equal(places, np.tile(np.arange(64.0)[:, None], len(INPUTS)))


def test_a_tenth_of_days_lies_beyond_each_end_of_a_range() -> None:
    days = draw_days(Uncertain(power_factor=(0.9, 1.2), load_change_kg=(-1.0, 3.0)), WINDY, 1024)
    power = np.array([day.power_factor for day in days])
    load = np.array([day.load_change_kg for day in days])
    wind = np.array([day.wind_mps for day in days])
    assert np.quantile(power, (0.1, 0.5, 0.9)) == pytest.approx((0.9, 1.05, 1.2), abs=0.002)
    assert np.quantile(load, (0.1, 0.5, 0.9)) == pytest.approx((-1.0, 1.0, 3.0), abs=0.03)
    assert np.quantile(wind, (0.1, 0.5, 0.9)) == pytest.approx((3.0, 5.0, 7.0), abs=0.03)


def test_ground_is_wet_as_often_as_its_chance() -> None:
    days = draw_days(Uncertain(wet_chance=0.25), WINDY, 256)
    assert sum(day.wet for day in days) == 64
    assert not any(day.wet for day in draw_days(Uncertain(wet_chance=0.0), WINDY, 256))
    assert all(day.wet for day in draw_days(Uncertain(wet_chance=1.0), WINDY, 256))


def test_inputs_are_independent() -> None:
    correlation = np.corrcoef(draw_scores(1, 1024), rowvar=False)
    assert np.abs(correlation - np.eye(len(INPUTS))).max() < 0.05


def test_making_one_input_certain_changes_no_other() -> None:
    some = draw_days(Uncertain(), WINDY, 32)
    fewer = draw_days(Uncertain(power_factor=(1.0, 1.0)), WINDY, 32)
    assert {day.power_factor for day in fewer} == {1.0}
    for one, other in zip(some, fewer, strict=True):
        assert one.scores == other.scores
        assert one.drag_area_factor == other.drag_area_factor


def test_where_no_wind_is_forecast_it_comes_from_anywhere() -> None:
    days = draw_days(Uncertain(), Conditions(), 64)
    quarters = [int(day.wind_from_rad // (math.pi / 2)) for day in days]
    assert [quarters.count(quarter) for quarter in range(4)] == [16, 16, 16, 16]
    assert min(day.wind_mps for day in days) == 0.0


def test_nothing_varies_where_all_is_certain() -> None:
    assert varying(certain(WINDY), WINDY) == ()
    assert varying(Uncertain(), WINDY) == INPUTS
    assert varying(Uncertain(wet_chance=1.0), WINDY) == tuple(
        what for what in INPUTS if what is not Input.WET
    )


@given(
    st.lists(st.floats(-6.0, 6.0), min_size=len(INPUTS), max_size=len(INPUTS)),
    st.floats(-2 * math.pi, 2 * math.pi),
)
def test_every_day_is_one_that_can_be_ridden(scores: list[float], from_rad: float) -> None:
    wide = Uncertain(
        power_factor=(0.3, 3.0), wind_spread_mps=20.0, wind_turn_rad=3.0, temperature_spread_c=30.0
    )
    day = day_of(scores, wide, Conditions(wind_mps=1.0, wind_from_rad=from_rad), number=1)
    Conditions(wind_mps=day.wind_mps, wind_from_rad=day.wind_from_rad)
    Conditions(temperature_c=day.temperature_c)
    assert day.power_factor > 0.0
