"""Candidates over the same drawn days."""

from dataclasses import replace

import pytest
from made_days import certain
from made_rides import DOUBLE, HILLS, ONE_GEAR, SINGLE, course_of_height

from gearsim.errors import PlanError
from gearsim.ride.score import Weights, score
from gearsim.ride.simulate import simulate
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.rider import Rider
from gearsim.setup.uncertain import WORST_REGRET, Uncertain
from gearsim.studies.compare import Comparison, compare_rides
from gearsim.studies.days.days import Days, ride_days
from gearsim.studies.days.draws import Input
from gearsim.studies.days.heights import course_on, height_errors
from gearsim.studies.days.results import chances_to_beat

COURSE = course_of_height(lambda x: 2.0 * HILLS(x), 6_000.0, surface="gravel")
CONDITIONS = Conditions(wind_mps=4.0, wind_from_rad=1.0)
RIDER, BIKE = Rider(critical_power_w=230.0), Bike()


@pytest.fixture(scope="module")
def compared() -> Comparison:
    return compare_rides(COURSE, RIDER, BIKE, [SINGLE, DOUBLE, ONE_GEAR], CONDITIONS)


@pytest.fixture(scope="module")
def found(compared: Comparison) -> Days:
    return ride_days(compared, Uncertain(stop_early=False), most_days=32)


def same(one: Days, other: Days) -> bool:
    return one.mismatch.tobytes() == other.mismatch.tobytes() and (
        one.flip,
        one.influences,
        one.settled,
        [each.name for each in one.candidates],
    ) == (other.flip, other.influences, other.settled, [each.name for each in other.candidates])


@pytest.mark.parametrize("workers", [1, 7])
def test_any_number_of_workers_gives_the_same(
    compared: Comparison, found: Days, workers: int
) -> None:
    again = ride_days(compared, Uncertain(stop_early=False), most_days=32, workers=workers)
    assert same(found, again)


def test_a_candidates_days_do_not_depend_on_the_others(found: Days) -> None:
    alone = compare_rides(COURSE, RIDER, BIKE, [DOUBLE], CONDITIONS)
    lonely = ride_days(alone, Uncertain(stop_early=False), most_days=32)
    (double,) = (each for each in found.candidates if each.name == DOUBLE.name)
    assert lonely.days == found.days
    assert lonely.candidates[0].rides == double.rides
    assert (lonely.flip, lonely.influences_on_lead) == (None, None)


def test_a_drawn_day_is_the_plans_with_what_was_drawn(found: Days) -> None:
    day, uncertain = found.days[4], found.uncertain
    errors = height_errors(COURSE, seed=uncertain.seed, sd_m=0.5, over_m=100.0)
    rider = replace(
        RIDER,
        power_w=day.power_factor * RIDER.power_w,
        critical_power_w=day.power_factor * 230.0,
    )
    bike = replace(
        BIKE,
        mass_kg=BIKE.mass_kg + day.load_change_kg,
        drag_area_m2=BIKE.drag_area_m2 * day.drag_area_factor,
        tyre_rolling_factor=day.rolling_factor,
    )
    conditions = replace(
        CONDITIONS,
        wet=day.wet,
        wind_mps=day.wind_mps,
        wind_from_rad=day.wind_from_rad,
        temperature_c=day.temperature_c,
    )
    for each in found.candidates:
        ride = simulate(course_on(errors, day), rider, bike, each.drivetrain, conditions)
        assert each.rides[4].score.mismatch == pytest.approx(score(ride).mismatch, rel=1e-9)


def test_where_nothing_is_uncertain_every_day_is_the_comparison(compared: Comparison) -> None:
    days = ride_days(compared, certain(CONDITIONS), most_days=32)
    for candidate, each in zip(compared.candidates, days.candidates, strict=True):
        assert each.name == candidate.name
        assert all(ride.score == candidate.score for ride in each.rides)
        assert each.planned.score == candidate.score
    assert days.flip is None
    assert all(found.told == 0.0 for found in days.influences)


def test_a_single_uncertain_input_brings_all_the_variance(compared: Comparison) -> None:
    only_power = replace(
        certain(CONDITIONS), power_factor=(0.95, 1.05), stop_early=False, choose_by=WORST_REGRET
    )
    days = ride_days(compared, only_power, most_days=64)
    for found in days.influences:
        (share,) = found.shares
        assert share.what is Input.POWER
        assert share.alone / found.told == pytest.approx(1.0, abs=0.02)
    assert max(found.told for found in days.influences) > 0.95


def test_fewer_days_are_the_first_of_more(compared: Comparison, found: Days) -> None:
    fewer = ride_days(compared, Uncertain(stop_early=False), most_days=16)
    assert fewer.days == found.days[:16]
    assert fewer.mismatch.tobytes() == found.mismatch[:16].tobytes()


def test_riding_stops_when_the_order_is_settled(compared: Comparison) -> None:
    counted: list[None] = []
    early = ride_days(compared, Uncertain(), most_days=128, done=lambda: counted.append(None))
    assert early.settled.stopped_early
    assert len(counted) == len(early.days) == early.settled.days < 128
    regretful = ride_days(compared, Uncertain(choose_by=WORST_REGRET), most_days=64)
    assert len(regretful.days) == 64


def test_candidates_stand_in_the_order_of_the_choice(found: Days) -> None:
    averages = [each.average_mismatch for each in found.candidates]
    assert averages == sorted(averages)
    chances = chances_to_beat(found.mismatch)
    assert chances[0, -1] > 0.9


def test_a_flip_is_a_day_that_can_be_ridden_again() -> None:
    # Wide spacing against close spacing: which suits depends on how strong the rider is that day.
    gears = [
        replace(SINGLE, name="low", chainrings=(34,)),
        replace(SINGLE, name="high", chainrings=(38,)),
    ]
    comparison = compare_rides(COURSE, RIDER, BIKE, gears, CONDITIONS)
    wide = Uncertain(power_factor=(0.6, 1.4), stop_early=False)
    days = ride_days(comparison, wide, most_days=32)
    flip = days.flip
    assert flip is not None
    assert flip.contender == 1
    assert flip.points > 0.0
    assert flip.spreads < min(
        sum(score**2 for score in day.scores) ** 0.5
        for day, row in zip(days.days, days.mismatch, strict=True)
        if row[1] < row[0]
    )


def test_weights_of_the_score_count_over_the_days_too(compared: Comparison) -> None:
    nothing = Weights(at_limit=0.0, spun_out=0.0, below_lowest_gear=0.0, walking=0.0)
    days = ride_days(compared, Uncertain(), most_days=16, weights=nothing)
    assert not days.mismatch.any()
    assert [each.planned.score.mismatch for each in days.candidates] == [0.0, 0.0, 0.0]


@pytest.mark.parametrize("count", [0, 8, 50, 8192])
def test_days_that_cannot_be_spread_evenly_are_refused(compared: Comparison, count: int) -> None:
    with pytest.raises(PlanError, match=f"days is {count}; allowed are 16, 32, 64 and so on"):
        ride_days(compared, Uncertain(), most_days=count)
