"""The cue sheet tells what a rider can use, in the order of riding."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from made_rides import DOUBLE, ONE_GEAR, SINGLE, courses, drivetrains, metres_in, ridden

from gearsim.course.course import Course, Place, course_from_grades
from gearsim.ride.ride import Ride
from gearsim.ride.states import STATES, State
from gearsim.setup.drivetrain import Drivetrain
from gearsim.studies.cue_sheet import Advice, Cue, cue_sheet

WALL = course_from_grades(np.concatenate([np.zeros(200), np.full(20, 0.30), np.zeros(200)]))
"""2 km level, 200 m too steep for anyone, 2 km level."""


def cues_of(ride: Ride, advice: Advice) -> list[Cue]:
    return [cue for cue in cue_sheet(ride).cues if cue.advice == advice]


def with_states(ride: Ride, **spans: tuple[int, int]) -> Ride:
    """The ride with some intervals in other states, all else on target."""
    state = np.full(len(ride.state), STATES.index(State.ON_TARGET))
    for name, (first, end) in spans.items():
        state[first:end] = STATES.index(State[name])
    return replace(ride, state=state)


def test_a_wall_is_walked_where_it_is() -> None:
    ride = ridden(WALL, SINGLE)
    (walk,) = cues_of(ride, Advice.WALK)
    assert 1990.0 <= walk.start_m <= 2100.0
    assert walk.advised_m == pytest.approx(metres_in(ride, State.WALKING) / 1.044, abs=11.0)
    assert walk.grade == pytest.approx(0.30, abs=0.03)


def test_gears_that_suit_everywhere_give_no_cue() -> None:
    ride = ridden(course_from_grades(np.zeros(300)), SINGLE)
    assert cue_sheet(ride).cues == ()
    assert cue_sheet(ride).left_out == 0


def test_a_long_descent_spins_one_gear_out() -> None:
    ride = ridden(course_from_grades(np.full(300, -0.04)), ONE_GEAR)
    (spun,) = cues_of(ride, Advice.SPUN_OUT)
    assert spun.length_m > 1000.0
    assert spun.steepest_grade == pytest.approx(-0.04)


def test_the_smaller_ring_is_told_before_the_climb_that_needs_it() -> None:
    grades = np.concatenate([np.zeros(200), np.full(200, 0.08)])
    ride = ridden(course_from_grades(grades), DOUBLE)
    told = [cue for cue in cue_sheet(ride).cues if cue.ring_first]
    assert len(told) == 1
    assert 1700.0 <= told[0].start_m <= 2300.0


def test_one_ring_is_never_told_to_change_ring() -> None:
    ride = ridden(WALL, SINGLE)
    assert not any(cue.ring_first for cue in cue_sheet(ride).cues)


def test_near_places_of_one_kind_are_one_cue() -> None:
    ride = with_states(ridden(course_from_grades(np.full(300, 0.03))), WALKING=(100, 105))
    state = ride.state.copy()
    state[110:115] = STATES.index(State.WALKING)
    state[250:255] = STATES.index(State.WALKING)
    near, far = cues_of(replace(ride, state=state), Advice.WALK)
    assert (near.start_m, near.length_m, near.advised_m) == (1000.0, 150.0, 100.0)
    assert (far.start_m, far.length_m) == (2500.0, 50.0)


def test_a_place_takes_the_name_that_stands_there() -> None:
    course = replace(WALL, places=(Place(name="The wall", distance_m=2040.0),))
    assert cues_of(ridden(course, SINGLE), Advice.WALK)[0].near == "The wall"
    away = replace(WALL, places=(Place(name="Mill", distance_m=500.0),))
    assert cues_of(ridden(away, SINGLE), Advice.WALK)[0].near == ""


def test_too_many_cues_leave_out_the_least_important_and_say_so() -> None:
    ride = with_states(
        ridden(course_from_grades(np.full(400, 0.01))), WALKING=(100, 101), SPUN_OUT=(200, 300)
    )
    sheet = cue_sheet(ride, most=1)
    assert [cue.advice for cue in sheet.cues] == [Advice.WALK]
    assert sheet.left_out == 1


@given(course=courses(), drivetrain=drivetrains)
def test_cues_come_in_riding_order_and_no_walk_is_hidden(
    course: Course, drivetrain: Drivetrain
) -> None:
    ride = ridden(course, drivetrain)
    sheet = cue_sheet(ride, most=1000)
    starts = [cue.start_m for cue in sheet.cues]
    assert starts == sorted(starts)
    walks = sum(cue.advised_m for cue in sheet.cues if cue.advice == Advice.WALK)
    on_foot = (ride.state == STATES.index(State.WALKING)).sum() * course.step_m
    assert walks == pytest.approx(on_foot)
    assert all(cue.start_m + cue.length_m <= course.length_m + 1e-6 for cue in sheet.cues)
