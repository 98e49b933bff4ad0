"""Variance-based indices against functions whose indices are known."""

import numpy as np
import pytest

from gearsim.setup.conditions import Conditions
from gearsim.setup.uncertain import Uncertain
from gearsim.studies.days.draws import INPUTS, Input, draw_days
from gearsim.studies.days.influence import Influences, Share, influences

CHANCE = 0.25
DAYS = draw_days(Uncertain(wet_chance=CHANCE), Conditions(wind_mps=4.0), 256)


def score(what: Input, days: int = 256) -> np.ndarray:
    return np.array([day.score(what) for day in DAYS[:days]])


def found_for(value: np.ndarray, days: int = 256) -> Influences:
    return influences(DAYS[:days], INPUTS, [value], CHANCE)[0]


def shares(found: Influences) -> dict[Input, Share]:
    return {share.what: share for share in found.shares}


@pytest.mark.parametrize("days", [32, 64, 256])
def test_of_a_sum_each_brings_its_square(days: int) -> None:
    # Independent terms of variance 9, 4 and 1: Sobol' indices 9/14, 4/14 and 1/14.
    value = 3.0 * score(Input.POWER, days) - 2.0 * score(Input.LOAD, days)
    found = found_for(value + score(Input.HEIGHTS, days), days)
    part = shares(found)
    assert found.told > 0.99
    assert [share.what for share in found.shares[:3]] == [Input.POWER, Input.LOAD, Input.HEIGHTS]
    assert part[Input.POWER].alone == pytest.approx(9 / 14, abs=0.05)
    assert part[Input.LOAD].together == pytest.approx(4 / 14, abs=0.03)
    assert part[Input.HEIGHTS].together == pytest.approx(1 / 14, abs=0.03)
    assert part[Input.WIND].together < 0.01


def test_of_a_product_none_brings_anything_alone() -> None:
    # z₁·z₂ has first-order indices 0 and total indices 1.
    part = shares(found_for(score(Input.POWER) * score(Input.WIND)))
    for what in (Input.POWER, Input.WIND):
        assert part[what].alone < 0.1
        assert part[what].together == pytest.approx(1.0, abs=0.1)


def test_wet_or_dry_brings_its_share() -> None:
    # Bernoulli of variance 3/16 times 16, beside a normal of variance 1: indices 3/4 and 1/4.
    wet = np.array([day.wet for day in DAYS], dtype=float)
    part = shares(found_for(wet))
    assert part[Input.WET].alone == pytest.approx(1.0, abs=0.03)
    both = shares(found_for(4.0 * wet + score(Input.POWER)))
    assert both[Input.WET].together == pytest.approx(3.0 / 4.0, abs=0.05)
    assert both[Input.POWER].together == pytest.approx(1.0 / 4.0, abs=0.05)


def test_what_is_not_drawn_is_not_told() -> None:
    noise = np.random.default_rng(2).normal(size=256)
    assert found_for(noise).told < 0.05
    half = found_for(noise + score(Input.POWER))
    assert half.told == pytest.approx(0.5, abs=0.1)
    assert shares(half)[Input.POWER].together == pytest.approx(0.5, abs=0.1)


def test_errors_shrink_with_more_days() -> None:
    noise = np.random.default_rng(2).normal(size=256)
    value = noise + score(Input.POWER) + score(Input.LOAD)
    few, many = (shares(found_for(value[:days], days))[Input.POWER].error for days in (32, 256))
    assert 0.0 < many < few


def test_a_value_that_never_changes_has_no_influences() -> None:
    found = found_for(np.full(256, 7.0))
    assert (found.told, found.varies, found.not_told_apart) == (0.0, False, 0.0)
    assert all(share.together == 0.0 for share in found.shares)
    assert influences(DAYS, (), [score(Input.POWER)], CHANCE) == [
        Influences(shares=(), told=0.0, varies=True)
    ]


def test_scale_and_height_of_the_values_do_not_matter() -> None:
    value = score(Input.POWER) + 0.5 * score(Input.LOAD) ** 2
    one, other = found_for(value), found_for(1e6 + 1000.0 * value)
    for a, b in zip(one.shares, other.shares, strict=True):
        assert a.what == b.what
        assert a.together == pytest.approx(b.together, abs=1e-6)
