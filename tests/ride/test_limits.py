"""Where gears, legs, nerve or reserve run out: what the rider then does."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from made_rides import (
    DOUBLE,
    HUB,
    ONE_GEAR,
    SINGLE,
    in_states,
    metres_in,
    ridden,
    seconds_in,
    states_of,
)
from numpy.typing import NDArray

from gearsim.course.course import Course, course_from_grades
from gearsim.ride.ride import Ride
from gearsim.ride.states import State
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain

TROUBLE = (State.BELOW_LOWEST_GEAR, State.WALKING)
WALL = slice(60, 90)


def wall(grade: float, intervals: int = 30, step_m: float = 10.0) -> Course:
    """Level, a wall, level again."""
    return course_from_grades([0.0] * 60 + [grade] * intervals + [0.0] * 60, step_m=step_m)


def lowest_mps(ride: Ride) -> float:
    """Speed at the low limit in the lowest gear, m/s."""
    return float(ride.gears.development_m.min() * ride.rider.limits_rpm[0] / 60.0)


def on_foot(ride: Ride) -> NDArray[np.bool_]:
    return in_states(ride, State.WALKING)


@pytest.mark.parametrize("drivetrain", [SINGLE, DOUBLE, HUB, ONE_GEAR])
@pytest.mark.parametrize("grade", [0.0, 0.03, -0.05])
def test_starting_from_rest_is_not_below_the_lowest_gear(
    drivetrain: Drivetrain, grade: float
) -> None:
    ride = ridden(course_from_grades([grade] * 50), drivetrain)
    assert ride.node_speed_mps[0] == 0.0
    assert seconds_in(ride, *TROUBLE) == 0.0


def test_a_short_steep_ramp_carried_by_momentum_is_not_a_failure() -> None:
    # 30 m of 22 %: for long, far too steep for this gear.
    gear = Drivetrain(chainrings=(40,), sprockets=(11, 14, 18, 23))
    dip = [-0.05] * 60
    carried = ridden(course_from_grades([*dip, *[0.22] * 3, *[0.0] * 20]), gear)
    long = ridden(course_from_grades([*dip, *[0.22] * 30, *[0.0] * 20]), gear)
    assert seconds_in(carried, *TROUBLE) == 0.0
    assert carried.node_speed_mps[63] > lowest_mps(carried)
    assert seconds_in(long, *TROUBLE) > 30.0


def test_wanted_power_that_holds_the_low_limit_is_no_failure() -> None:
    ride = ridden(course_from_grades([0.06] * 200))
    assert seconds_in(ride, *TROUBLE) == 0.0
    assert ride.reserve_j.min() == 18_000.0


def test_below_the_lowest_gear_the_rider_holds_the_low_limit_on_the_reserve() -> None:
    ride = ridden(wall(0.17))
    below = in_states(ride, State.BELOW_LOWEST_GEAR)
    assert np.flatnonzero(below).min() >= 60
    assert np.flatnonzero(below).max() < 90
    settled = np.flatnonzero(below)[3:]
    assert ride.node_speed_mps[settled + 1] == pytest.approx(lowest_mps(ride), rel=1e-3)
    assert np.all(ride.power_w[settled] > ride.wanted_power_w[settled])
    drained_j = (ride.power_w - ride.rider.critical_w) * ride.duration_s
    assert np.diff(ride.reserve_j)[settled - 1] == pytest.approx(-drained_j[settled])


def test_a_short_wall_is_ridden_on_the_reserve_and_a_long_one_walked_where_it_is_spent() -> None:
    short, long = ridden(wall(0.20, 10)), ridden(wall(0.20, 100))
    assert metres_in(short, State.WALKING) == 0.0
    assert metres_in(short, State.BELOW_LOWEST_GEAR) > 50.0
    assert metres_in(long, State.BELOW_LOWEST_GEAR) > 50.0
    assert metres_in(long, State.WALKING) > 50.0
    got_off = int(np.argmax(on_foot(long)))
    assert long.reserve_j[got_off - 1] < 1500.0
    assert states_of(long)[got_off - 1] == State.BELOW_LOWEST_GEAR


def test_less_reserve_gets_off_sooner() -> None:
    walked_m = [
        metres_in(ridden(wall(0.20, 60), reserve_j=reserve_j), State.WALKING)
        for reserve_j in (0.0, 4000.0, 12_000.0, 60_000.0)
    ]
    assert walked_m == sorted(walked_m, reverse=True)
    assert walked_m[0] > 500.0
    assert walked_m[-1] == 0.0


def test_a_wall_too_steep_for_the_largest_power_is_walked_at_once() -> None:
    ride = ridden(wall(0.35), largest_power_w=250.0)
    walked = np.flatnonzero(on_foot(ride))
    assert walked.min() < 65  # what momentum carries
    assert walked.max() == 89
    assert metres_in(ride, State.BELOW_LOWEST_GEAR) == 0.0
    assert np.all(ride.power_w[on_foot(ride)] == 0.0)
    assert np.all(ride.cadence_rpm[on_foot(ride)] == 0.0)


def test_a_walker_goes_at_the_walking_speed_and_pays_once_for_getting_off_and_on() -> None:
    slow, quick = (ridden(wall(0.35), largest_power_w=250.0, remount_s=s) for s in (5.0, 0.0))
    # Tobler (1993): 6·exp(-3.5·|0.35 + 0.05|) km/h, × 0.8 for pushing a bicycle.
    walking_mps = 0.8 * 6.0 / 3.6 * np.exp(-3.5 * 0.40)
    # Momentum carries a little way into the first interval.
    assert quick.speed_mps[on_foot(quick)][1:] == pytest.approx(walking_mps)
    assert quick.speed_mps[on_foot(quick)][0] > walking_mps
    extra_s = slow.duration_s - quick.duration_s
    assert seconds_in(slow, State.WALKING) - seconds_in(quick, State.WALKING) == pytest.approx(5.0)
    assert np.flatnonzero(extra_s > 1.0).tolist() == [int(np.argmax(on_foot(slow)))]


def test_who_enters_a_wall_fast_is_carried_before_getting_off() -> None:
    wall_m = [0.0] * 60 + [0.35] * 30 + [0.0] * 60
    whole = ridden(course_from_grades(wall_m), largest_power_w=250.0)
    first = int(np.argmax(on_foot(whole)))
    walking_mps = whole.speed_mps[on_foot(whole)][-1]
    on_foot_all_along_s = 10.0 * np.hypot(1.0, 0.35) / walking_mps + whole.rider.remount_s
    assert whole.node_speed_mps[first] > 3.0
    assert whole.duration_s[first] < on_foot_all_along_s - 1.0


@pytest.mark.parametrize("reserve_j", [3000.0, 4500.0, 6000.0])
def test_what_is_left_of_the_reserve_is_ridden_before_getting_off(reserve_j: float) -> None:
    roads = [np.repeat([0.0] * 60 + [0.18] * 40, each) for each in (1, 4)]
    coarse, fine = (
        ridden(course_from_grades(road, step_m=1000.0 / len(road)), reserve_j=reserve_j)
        for road in roads
    )
    assert seconds_in(fine, State.WALKING) > 100.0
    assert coarse.finish_s == pytest.approx(fine.finish_s, abs=2.0)


def test_a_start_from_rest_hardly_depends_on_the_interval() -> None:
    low = Drivetrain(chainrings=(30,), sprockets=(11, 13, 15, 17, 20, 23, 26, 30, 35, 42, 51))
    reached_s = [
        ridden(course_from_grades([-0.02] * (10 * each), step_m=10.0 / each), low).finish_s
        for each in (1, 2, 4)
    ]
    assert reached_s == pytest.approx([reached_s[-1]] * 3, abs=0.5)


def test_a_walker_gets_on_again_where_it_can_be_ridden() -> None:
    ride = ridden(wall(0.35), largest_power_w=250.0)
    after = states_of(ride)[90:]
    assert State.WALKING not in after
    assert after[0] in (State.ON_TARGET, State.UNDER_BAND)
    assert ride.node_speed_mps[95] > 5.0


def test_a_walker_stays_on_foot_over_a_short_easing_between_walls() -> None:
    # 30 m of rideable road ahead are wanted before getting on.
    pieces = [0.0] * 40 + [0.35] * 10 + [0.02] * 2 + [0.35] * 10 + [0.02] * 8 + [0.35] * 10
    foot = on_foot(ridden(course_from_grades(pieces), largest_power_w=250.0))
    assert np.all(foot[45:62])
    assert not foot[62:70].any()
    assert np.all(foot[75:80])


def test_a_walker_stays_on_foot_where_it_could_only_be_ridden_on_the_reserve() -> None:
    # 35 % takes more than the largest power; 20 % could be pushed up on the reserve, but getting
    # on for that is not worth it.
    pieces = [0.0] * 60 + [0.35] * 15 + [0.20] * 15 + [0.02] * 20
    ride = ridden(course_from_grades(pieces))
    assert np.all(on_foot(ride)[65:90])
    assert not on_foot(ride)[90:].any()
    assert metres_in(ridden(wall(0.20, 10)), State.WALKING) == 0.0


def test_pushing_the_bike_up_is_work_and_no_power_at_the_cranks() -> None:
    ride = ridden(wall(0.35), largest_power_w=250.0)
    weight_n = (ride.rider.mass_kg + ride.bike.mass_kg) * 9.80665
    climbed_m = 0.35 * 10.0 * np.count_nonzero(on_foot(ride))
    assert ride.energy.walking_j == pytest.approx(weight_n * climbed_m, rel=0.05)


def test_on_a_long_descent_a_small_highest_gear_is_spun_out() -> None:
    small = Drivetrain(chainrings=(30,), sprockets=(15, 20, 28))
    ride = ridden(course_from_grades([-0.05] * 300), small, stop_pedalling_mps=30.0)
    limit_mps = 115.0 / 60.0 * ride.gears.development_m.max()
    spun = in_states(ride, State.SPUN_OUT)
    assert spun[30:].all()
    assert ride.node_speed_mps[-1] > limit_mps  # the hill takes over
    assert np.all(ride.power_w[30:] == 0.0)
    assert np.all(ride.gear[spun] == ride.gears.highest)


def test_at_the_high_limit_in_the_highest_gear_the_rider_adds_what_holds_it() -> None:
    small = Drivetrain(chainrings=(30,), sprockets=(17, 20, 28))
    ride = ridden(course_from_grades([0.0] * 200), small, power_w=250.0)
    assert states_of(ride)[-1] == State.SPUN_OUT
    assert ride.cadence_rpm[-1] == pytest.approx(115.0)
    assert 50.0 < ride.power_w[-1] < 200.0


def test_who_has_stopped_pedalling_coasts_and_is_not_spun_out() -> None:
    ride = ridden(course_from_grades([-0.06] * 300), stop_pedalling_mps=10.0)
    assert states_of(ride)[-1] == State.COASTING
    assert seconds_in(ride, State.SPUN_OUT) == 0.0
    assert np.all(ride.power_w[ride.node_speed_mps[:-1] > 10.0] == 0.0)


def test_who_wants_no_power_downhill_coasts() -> None:
    ride = ridden(course_from_grades([-0.05] * 50), downhill_factor=0.0)
    assert set(states_of(ride)) == {State.COASTING}
    assert ride.energy.pedalling_j == 0.0


@pytest.mark.parametrize("descending_mps", [6.0, 10.0, 15.0])
def test_nobody_descends_faster_than_they_dare(descending_mps: float) -> None:
    ride = ridden(course_from_grades([-0.12] * 100), descending_mps=descending_mps)
    assert ride.node_speed_mps.max() == pytest.approx(descending_mps)
    assert states_of(ride)[-1] == State.COASTING


def bend(radius_m: float, **rider: Any) -> Ride:
    """A descent with one bend in the middle, at node 100."""
    course = course_from_grades([-0.05] * 200)
    radius = np.full(201, np.inf)
    radius[100] = radius_m
    return ridden(replace(course, bend_radius_m=radius), **rider)


def test_a_bend_is_taken_at_the_share_of_the_grip_that_the_rider_dares() -> None:
    # 0.5 g on dry tarmac, 0.8 of it dared: √(0.4·9.80665·12).
    speed_mps = np.sqrt(0.8 * 0.5 * 9.80665 * 12.0)
    assert bend(12.0).node_speed_mps[100] == pytest.approx(speed_mps)


def test_ahead_of_a_bend_the_rider_brakes_at_the_rate_they_like() -> None:
    ride = bend(6.0, braking_mps2=1.5)
    squared = ride.node_speed_mps**2
    braking = -np.diff(squared) / (2.0 * ride.course.road_length_m)
    assert braking.max() == pytest.approx(1.5)
    assert states_of(ride)[98] == State.COASTING
    assert ride.energy.brakes_j > 0.0


def test_when_the_reserve_is_empty_nobody_rides_above_critical_power() -> None:
    ride = ridden(
        course_from_grades([0.05] * 300), power_w=250.0, critical_power_w=230.0, reserve_j=2000.0
    )
    empty = np.flatnonzero(ride.reserve_j[:-1] == 0.0) + 1
    assert len(empty) > 50
    assert np.all(ride.power_w[empty] <= 230.0 + 1e-9)


def test_below_critical_power_the_reserve_comes_back() -> None:
    ride = ridden(course_from_grades([0.0] * 50 + [0.18] * 12 + [0.0] * 600))
    spent_j = ride.reserve_j.min()
    assert spent_j < 17_000.0
    assert ride.reserve_j[-1] > spent_j + 500.0
    assert np.all(np.diff(ride.reserve_j)[62:] >= 0.0)


def test_a_tail_wind_faster_than_the_bike_rolls_carries_the_rider() -> None:
    ride = ridden(
        course_from_grades([0.0] * 300),
        day=Conditions(wind_mps=25.0, wind_from_rad=np.pi),
        power_w=100.0,
    )
    assert ride.node_speed_mps[-1] > 12.0
    assert np.isfinite(ride.finish_s)


@pytest.mark.parametrize(("weaker_w", "stronger_w"), [(147.0, 195.0), (150.0, 200.0)])
def test_being_too_weak_for_the_gear_gets_nobody_off_the_line_faster(
    weaker_w: float, stronger_w: float
) -> None:
    # the weaker pushes as hard as the lowest speed takes, and no harder, to reach it
    start = course_from_grades([0.025], surface="cobbles")
    gear = Drivetrain(chainrings=(42,), sprockets=(17,), efficiency=1.0)
    weak, strong = (ridden(start, gear, power_w=power_w) for power_w in (weaker_w, stronger_w))
    assert strong.finish_s <= weak.finish_s
