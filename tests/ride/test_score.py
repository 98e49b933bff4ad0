"""From a ride to states, causes, mismatch and worst places, by hand-computed cases."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from made_rides import (
    DOUBLE,
    ONE_GEAR,
    SINGLE,
    course_of_height,
    courses,
    drivetrains,
    in_states,
    ridden,
    states_of,
    waves,
)

from gearsim.course.course import Course, course_from_grades
from gearsim.errors import PlanError
from gearsim.ride.ride import Ride
from gearsim.ride.score import Weights, score, weight_of, worst_places
from gearsim.ride.states import CAUSES, STATES, Cause, State
from gearsim.setup.drivetrain import Drivetrain

# Band 75-95 and limits 50-115 rpm, those of the default rider: state, cause, s, rpm, W.
INVENTED = [
    (State.ON_TARGET, Cause.NONE, 10.0, 85.0, 180.0),
    (State.ON_TARGET, Cause.NONE, 10.0, 75.0, 180.0),
    (State.UNDER_BAND, Cause.BETWEEN_GEARS, 10.0, 70.0, 180.0),
    (State.UNDER_BAND, Cause.END_OF_RANGE, 4.0, 50.0, 180.0),
    (State.UNDER_BAND, Cause.END_OF_RANGE, 5.0, 40.0, 180.0),
    (State.OVER_BAND, Cause.BETWEEN_GEARS, 8.0, 100.0, 180.0),
    (State.OVER_BAND, Cause.BETWEEN_GEARS, 2.0, 0.0, 0.0),
    (State.BELOW_LOWEST_GEAR, Cause.NONE, 6.0, 50.0, 300.0),
    (State.WALKING, Cause.NONE, 20.0, 0.0, 0.0),
    (State.SPUN_OUT, Cause.NONE, 3.0, 115.0, 60.0),
    (State.COASTING, Cause.NONE, 22.0, 0.0, 0.0),
]

WANTED_W = 200.0


def invented() -> Ride:
    """A ride of eleven intervals that tells what it is told to."""
    state, cause, seconds, rpm, watts = zip(*INVENTED, strict=True)
    return replace(
        ridden(course_from_grades([0.0] * len(INVENTED))),
        state=np.array([STATES.index(each) for each in state]),
        cause=np.array([CAUSES.index(each) for each in cause]),
        duration_s=np.array(seconds),
        cadence_rpm=np.array(rpm),
        power_w=np.array(watts),
        wanted_power_w=np.full(len(watts), WANTED_W),
        rear_shifts=5,
        front_shifts=2,
    )


def test_a_second_counts_by_how_far_the_legs_are_off_the_band() -> None:
    # (75 - 70)/(75 - 50) = 0.2, at the limit 1, beyond it no more; (100 - 95)/(115 - 95) = 0.25;
    # freewheeling in a gear too low for a moment counts as at the limit; 300 W for 200 W wanted
    # counts 1.5 × 2.
    counts = [0.0, 0.0, 0.2, 1.0, 1.0, 0.25, 1.0, 3.0, 3.0, 1.0, 0.0]
    assert weight_of(invented(), Weights()) == pytest.approx(counts)


def test_mismatch_is_the_weighted_share_of_the_time_not_coasting() -> None:
    counted = score(invented())
    # 2 + 4 + 5 + 2 + 2 + 18 + 60 + 3 = 96 s of the 78 s that are not coasted.
    assert counted.weighted_s == pytest.approx(96.0)
    assert counted.finish_s == pytest.approx(100.0)
    assert counted.pedalling_or_walking_s == pytest.approx(78.0)
    assert counted.mismatch == pytest.approx(100.0 * 96.0 / 78.0)


def test_seconds_are_told_by_state_and_by_cause() -> None:
    counted = score(invented())
    assert counted.seconds == pytest.approx(
        {
            State.ON_TARGET: 20.0,
            State.UNDER_BAND: 19.0,
            State.OVER_BAND: 10.0,
            State.BELOW_LOWEST_GEAR: 6.0,
            State.WALKING: 20.0,
            State.SPUN_OUT: 3.0,
            State.COASTING: 22.0,
        }
    )
    assert counted.between_gears_s == pytest.approx(20.0)
    assert counted.end_of_range_s == pytest.approx(9.0)
    assert counted.rear_shifts_per_hour == pytest.approx(5.0 * 36.0)
    assert counted.front_shifts_per_hour == pytest.approx(2.0 * 36.0)


def test_weights_are_the_plan_s_to_change() -> None:
    light = Weights(at_limit=0.5, spun_out=0.0, below_lowest_gear=4.0, walking=1.0)
    # Half of 15 off the band, nothing spun out, 4 × 1.5 × 6 below, 20 on foot.
    assert score(invented(), light).weighted_s == pytest.approx(7.5 + 36.0 + 20.0)
    assert score(invented(), Weights(walking=0.0)).weighted_s == pytest.approx(36.0)


@pytest.mark.parametrize("name", ["at_limit", "spun_out", "below_lowest_gear", "walking"])
def test_a_weight_that_rewards_trouble_is_refused(name: str) -> None:
    with pytest.raises(PlanError, match=f"score.{name} is -1; allowed is 0 to 100"):
        Weights(**{name: -1.0})


def test_a_ride_that_only_coasts_has_no_mismatch() -> None:
    counted = score(ridden(course_from_grades([-0.05] * 20), downhill_factor=0.0))
    assert counted.pedalling_or_walking_s == 0.0
    assert counted.mismatch == 0.0


@given(course=courses(), drivetrain=drivetrains)
def test_the_states_partition_the_ride(course: Course, drivetrain: Drivetrain) -> None:
    ride = ridden(course, drivetrain)
    counted = score(ride)
    assert sum(counted.seconds.values()) == pytest.approx(ride.finish_s)
    assert counted.between_gears_s + counted.end_of_range_s == pytest.approx(
        counted.seconds[State.UNDER_BAND] + counted.seconds[State.OVER_BAND]
    )
    hardest = max(3.0, 2.0 * float(np.max(ride.power_w / np.maximum(ride.wanted_power_w, 1.0))))
    assert counted.weighted_s <= hardest * counted.pedalling_or_walking_s * (1.0 + 1e-9)


@given(course=courses(), drivetrain=drivetrains)
def test_on_target_is_in_the_band_and_off_target_is_not(
    course: Course, drivetrain: Drivetrain
) -> None:
    ride = ridden(course, drivetrain)
    on_target = ride.cadence_rpm[in_states(ride, State.ON_TARGET)]
    under = ride.cadence_rpm[in_states(ride, State.UNDER_BAND)]
    over = in_states(ride, State.OVER_BAND)
    assert np.all((on_target >= 75.0) & (on_target <= 95.0))
    assert np.all(under < 75.0)
    assert np.all((ride.cadence_rpm[over] > 95.0) | (ride.power_w[over] == 0.0))


@given(course=courses(), drivetrain=drivetrains)
def test_only_time_off_the_band_has_a_cause(course: Course, drivetrain: Drivetrain) -> None:
    ride = ridden(course, drivetrain)
    caused = ride.cause != CAUSES.index(Cause.NONE)
    assert np.array_equal(caused, in_states(ride, State.UNDER_BAND, State.OVER_BAND))
    ended = ride.cause == CAUSES.index(Cause.END_OF_RANGE)
    assert np.all(ride.gear[ended & in_states(ride, State.UNDER_BAND)] == ride.gears.lowest)
    assert np.all(ride.gear[ended & in_states(ride, State.OVER_BAND)] == ride.gears.highest)


def test_a_step_too_wide_is_between_gears_and_an_end_too_near_is_the_end_of_range() -> None:
    # 2 % at 180 W is about 5.6 m/s: 2.9 m a turn at 115 rpm, 6.7 m at 50 rpm.
    even = course_from_grades([0.02] * 300)
    wide = Drivetrain(ratios=(3.3, 1.35, 0.6))
    high = Drivetrain(ratios=(4.0, 3.6, 3.2))
    low = Drivetrain(ratios=(1.5, 1.3, 1.1))
    for drivetrain, cause in ((wide, Cause.BETWEEN_GEARS), (high, Cause.END_OF_RANGE)):
        ride = ridden(even, drivetrain)
        assert states_of(ride)[-1] in (State.UNDER_BAND, State.OVER_BAND)
        assert CAUSES[ride.cause[-1]] == cause
    over = ridden(even, low)
    assert states_of(over)[-1] == State.OVER_BAND
    assert CAUSES[over.cause[-1]] == Cause.END_OF_RANGE
    assert over.gear[-1] == over.gears.highest


def test_every_second_off_the_band_of_a_single_gear_is_at_the_end_of_its_range() -> None:
    counted = score(ridden(course_of_height(waves((900.0, 0.04, 0.0)), 9000.0), ONE_GEAR))
    assert counted.end_of_range_s > 100.0
    assert counted.between_gears_s == 0.0


def test_shifts_are_counted_front_and_rear() -> None:
    ride = ridden(course_of_height(waves((900.0, 0.08, 0.0)), 9000.0), DOUBLE)
    ring = ride.gears.ring[ride.gear]
    assert ride.front_shifts == np.count_nonzero(np.diff(ring)) > 3
    sprocket = ride.gears.sprocket[ride.gear]
    assert ride.rear_shifts == np.count_nonzero(np.diff(sprocket)) > 10
    single = ridden(course_of_height(waves((900.0, 0.08, 0.0)), 9000.0), SINGLE)
    assert single.front_shifts == 0


def two_walls() -> Ride:
    """Too steep twice: 200 m at km 1.0, 400 m at km 3.0."""
    grade = np.zeros(500)
    grade[100:120], grade[300:340] = 0.30, 0.32
    return ridden(course_from_grades(grade), largest_power_w=250.0, reserve_j=0.0)


def test_the_worst_place_comes_first_and_is_where_the_wall_is() -> None:
    worst, second, *rest = worst_places(two_walls())
    assert worst.state == second.state == State.WALKING
    assert worst.start_m == pytest.approx(3000.0, abs=50.0)
    assert worst.length_m == pytest.approx(400.0, abs=50.0)
    assert worst.grade == pytest.approx(0.32, abs=0.01)
    assert second.start_m == pytest.approx(1000.0, abs=50.0)
    assert second.grade == pytest.approx(0.30, abs=0.01)
    assert all(place.weighted_s <= second.weighted_s for place in rest)


def test_a_place_sums_up_its_stretch() -> None:
    ride = two_walls()
    place = worst_places(ride)[0]
    first = round(place.start_m / 10.0)
    span = slice(first, first + round(place.length_m / 10.0))
    assert place.seconds == pytest.approx(ride.duration_s[span].sum())
    counts = weight_of(ride, Weights())[span]
    assert place.weighted_s == pytest.approx((counts * ride.duration_s[span]).sum())
    assert place.speed_mps == pytest.approx(
        ride.course.road_length_m[span].sum() / ride.duration_s[span].sum()
    )


def test_no_second_is_counted_in_two_places() -> None:
    # Stretches of different states may lie over each other: all places of a state add up to it.
    grade = 0.08 * np.sin(np.arange(2000) / 40.0) + 0.05 * np.sin(np.arange(2000) / 3.0)
    ride = ridden(course_from_grades(grade))
    places, counted = worst_places(ride, most=10_000), score(ride)
    told = {place.state for place in places}
    assert {State.UNDER_BAND, State.BELOW_LOWEST_GEAR} <= told
    for state in told:
        spent_s = sum(place.seconds for place in places if place.state == state)
        assert spent_s <= counted.seconds[state] * (1.0 + 1e-9)
        assert spent_s == pytest.approx(counted.seconds[state], rel=0.01)  # at the edge: no weight
    assert sum(place.weighted_s for place in places) == pytest.approx(counted.weighted_s)


def test_no_more_places_are_told_than_asked_for() -> None:
    assert len(worst_places(two_walls(), most=1)) == 1


def test_a_ride_without_trouble_has_no_worst_place() -> None:
    calm = ridden(course_from_grades([0.0] * 200))
    steady = replace(calm, state=np.zeros(200, dtype=np.int64), cause=np.zeros(200, dtype=np.int64))
    assert worst_places(steady) == ()


def test_stretches_close_together_are_one_place_and_far_apart_two() -> None:
    calm = ridden(course_from_grades([0.0] * 100))
    walking = STATES.index(State.WALKING)
    for gap, places in ((4, 1), (5, 1), (6, 2)):
        state = np.zeros(100, dtype=np.int64)
        state[20:30] = state[30 + gap - 1 : 50] = walking
        found = worst_places(replace(calm, state=state, cause=np.zeros(100, dtype=np.int64)))
        assert len(found) == places, gap
