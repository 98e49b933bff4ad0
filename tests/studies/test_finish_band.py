"""How far a finish may be off, by riding with the published error of power."""

from dataclasses import replace

import numpy as np
import pytest
from made_rides import DOUBLE, HILLS, SINGLE, course_of_height, ridden

from gearsim.course.course import course_from_grades
from gearsim.ride.simulate import simulate
from gearsim.studies.compare import compare_rides
from gearsim.studies.finish_band import ERROR_BAND, LEADERS, MEAN_ERROR, finish_band, with_ends


def test_the_band_is_the_published_one() -> None:
    # Millet GP, Tronche C, Grappe F (2014), IJSPP 9:777-782: -0.95 %, 95 % from -10.4 to +8.5 %.
    assert (MEAN_ERROR, ERROR_BAND) == (-0.0095, (-0.104, 0.085))


def test_the_ends_of_the_band_are_rides_at_that_power() -> None:
    ride = ridden(course_of_height(HILLS, 6000.0), DOUBLE)
    band = finish_band(ride)
    rider = ride.rider
    stronger = replace(
        rider,
        power_w=1.085 * rider.power_w,
        critical_power_w=1.085 * rider.critical_w,
        largest_power_w=1.085 * rider.largest_w,
        reserve_j=1.085 * rider.reserve_j,
    )
    fast = simulate(ride.course, stronger, ride.bike, ride.drivetrain, ride.conditions)
    assert band.fast.finish_s == pytest.approx(fast.finish_s, rel=1e-12)
    assert band.likely.finish_s == pytest.approx(ride.finish_s, rel=1e-12)
    assert band.fast.finish_s < band.likely.finish_s < band.slow.finish_s


def test_up_a_steep_climb_time_goes_with_one_over_power() -> None:
    # At walking pace nearly all power lifts: v = P / (m g (sin θ + Crr cos θ)).
    ride = ridden(course_from_grades(np.full(600, 0.08)), DOUBLE)
    band = finish_band(ride)
    assert band.slow.finish_s / band.likely.finish_s == pytest.approx(1.0 / 0.896, rel=0.01)
    assert band.fast.finish_s / band.likely.finish_s == pytest.approx(1.0 / 1.085, rel=0.01)


def test_grounds_add_up_to_the_ride() -> None:
    ride = ridden(course_of_height(HILLS, 6000.0), DOUBLE)
    band = finish_band(ride)
    assert sum(ground.likely_s for ground in band.grounds) == pytest.approx(ride.finish_s)
    assert sum(ground.slow_s for ground in band.grounds) == pytest.approx(band.slow.finish_s)
    road_m = sum(ground.road_m for ground in band.grounds)
    assert road_m == pytest.approx(float(ride.course.road_length_m.sum()))


def test_a_climb_has_the_time_between_its_foot_and_its_top() -> None:
    grades = np.concatenate([np.zeros(100), np.full(100, 0.06), np.zeros(100)])
    ride = ridden(course_from_grades(grades), SINGLE)
    (climb,) = finish_band(ride).climbs
    assert (climb.climb.start_m, climb.climb.length_m) == (1000.0, 1000.0)
    assert climb.times.likely_s == pytest.approx(float(ride.duration_s[100:200].sum()))


@pytest.mark.parametrize("power_w", [20.0, 2000.0])
def test_the_weakest_and_the_strongest_rider_have_a_band_too(power_w: float) -> None:
    ride = ridden(
        course_from_grades(np.zeros(50)),
        power_w=power_w,
        critical_power_w=power_w,
        largest_power_w=max(power_w, 30.0),
        reserve_j=100_000.0,
    )
    band = finish_band(ride)
    assert band.fast.finish_s <= band.likely.finish_s <= band.slow.finish_s


def test_leaders_are_scored_at_both_ends_and_others_are_not() -> None:
    gears = [SINGLE, DOUBLE, *(replace(SINGLE, name=f"other {number}") for number in range(2))]
    ride = ridden(course_of_height(HILLS, 6000.0), DOUBLE)
    compared = compare_rides(ride.course, ride.rider, ride.bike, gears, ride.conditions)
    told = with_ends(compared).candidates
    assert [each.ends is not None for each in told] == [True] * LEADERS + [False]
    band = finish_band(told[0].ride)
    assert told[0].ends is not None
    assert (told[0].ends.slow, told[0].ends.fast) == (band.slow, band.fast)
    assert [each.score for each in told] == [each.score for each in compared.candidates]
