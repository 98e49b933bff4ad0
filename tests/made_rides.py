"""Invented riders, drivetrains, courses and days, and rides made of them."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

from gearsim.course.course import Course, course_from_grades
from gearsim.ride.ride import Ride
from gearsim.ride.simulate import simulate
from gearsim.ride.states import STATES, State
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider

Floats = NDArray[np.float64]

SINGLE = Drivetrain(chainrings=(40,), sprockets=(11, 13, 15, 17, 19, 22, 25, 28, 32, 36, 42))
DOUBLE = Drivetrain(chainrings=(46, 30), sprockets=(11, 12, 13, 14, 16, 18, 20, 22, 25, 28, 34))
TRIPLE = Drivetrain(chainrings=(50, 39, 30), sprockets=(11, 13, 15, 17, 19, 21, 24, 28))
HUB = Drivetrain(ratios=(3.1, 2.5, 2.0, 1.6, 1.3, 1.0, 0.8, 0.6))
ONE_GEAR = Drivetrain(chainrings=(42,), sprockets=(17,))

UNHINDERED: dict[str, Any] = {
    "stop_pedalling_mps": 60.0,
    "descending_mps": 60.0,
    "limits_rpm": (10.0, 250.0),
    "rear_shift_s": 0.0,
    "front_shift_s": 0.0,
}
"""A rider whom neither fear nor gears hold up, so that only the forces and the pace count."""


def ridden(
    course: Course,
    drivetrain: Drivetrain = SINGLE,
    *,
    bike: Bike | None = None,
    day: Conditions | None = None,
    **rider: Any,
) -> Ride:
    """A ride of the default rider with some values changed."""
    return simulate(course, Rider(**rider), bike or Bike(), drivetrain, day or Conditions())


def waves(*terms: tuple[float, float, float]) -> Callable[[Floats], Floats]:
    """Height by distance of a road of sine waves, each of (length m, steepest grade, phase)."""

    def height(distance_m: Floats) -> Floats:
        total = np.zeros_like(distance_m)
        for length_m, grade, phase in terms:
            total += (
                grade
                * length_m
                / (2.0 * np.pi)
                * np.sin(2.0 * np.pi * distance_m / length_m + phase)
            )
        return total

    return height


HILLS = waves((9000.0, 0.03, 0.3), (2300.0, 0.03, 1.1), (600.0, 0.02, 2.0), (170.0, 0.01, 4.0))
"""Long climbs with short waves on them: up to 9 %."""


def course_of_height(
    height: Callable[[Floats], Floats], length_m: float, step_m: float = 10.0, **given: Any
) -> Course:
    """The course along a road of which the height is known everywhere."""
    nodes = np.arange(round(length_m / step_m) + 1) * step_m
    return course_from_grades(np.diff(height(nodes)) / step_m, step_m=step_m, **given)


def metres_in(ride: Ride, *states: State) -> float:
    """Road ridden in the states, m."""
    return float(ride.course.road_length_m[in_states(ride, *states)].sum())


def seconds_in(ride: Ride, *states: State) -> float:
    """Time ridden in the states, s."""
    return float(ride.duration_s[in_states(ride, *states)].sum())


def in_states(ride: Ride, *states: State) -> NDArray[np.bool_]:
    """Which intervals are in one of the states."""
    return np.isin(ride.state, [STATES.index(state) for state in states])


def states_of(ride: Ride) -> list[State]:
    """The state of every interval."""
    return [STATES[code] for code in ride.state]


bikes = st.builds(
    Bike,
    mass_kg=st.floats(7.0, 25.0),
    drag_area_m2=st.floats(0.2, 0.6),
    bearing_factor=st.sampled_from([0.0, 1.0]),
)
days = st.builds(
    Conditions,
    temperature_c=st.floats(-10.0, 40.0),
    wind_mps=st.sampled_from([0.0, 5.0, 15.0, 30.0]),
    wind_from_rad=st.floats(-6.0, 6.0),
    wet=st.booleans(),
)
drivetrains = st.sampled_from([SINGLE, DOUBLE, TRIPLE, HUB, ONE_GEAR])


@st.composite
def riders(draw: st.DrawFn) -> Rider:
    """Riders of every strength, some afraid of descending, some with nothing in reserve."""
    power_w = draw(st.floats(50.0, 400.0))
    critical_w = power_w * draw(st.floats(0.9, 1.6))
    return Rider(
        mass_kg=draw(st.floats(45.0, 120.0)),
        power_w=power_w,
        critical_power_w=critical_w,
        largest_power_w=max(power_w, critical_w * draw(st.floats(1.0, 2.5))),
        reserve_j=draw(st.sampled_from([0.0, 2000.0, 18_000.0])),
        uphill_factor=draw(st.sampled_from([1.0, 1.1, 1.5])),
        downhill_factor=draw(st.sampled_from([0.0, 0.5, 0.8, 1.0])),
        stop_pedalling_mps=draw(st.floats(6.0, 25.0)),
        descending_mps=draw(st.floats(5.0, 25.0)),
        limits_rpm=(
            draw(st.sampled_from([30.0, 50.0, 70.0])),
            draw(st.sampled_from([98.0, 115.0])),
        ),
    )


@st.composite
def courses(draw: st.DrawFn, level_start: int = 0) -> Course:
    """Roads of even pieces from -20 to 35 %, turning, some with bends and some rough.

    The first `level_start` intervals are level.
    """
    pieces = draw(
        st.lists(st.tuples(st.floats(-0.2, 0.35), st.integers(1, 30)), min_size=1, max_size=12)
    )
    grade = np.concatenate(
        [np.full(count, value) for value, count in [(0.0, level_start), *pieces]]
    )
    course = course_from_grades(
        grade,
        step_m=draw(st.sampled_from([5.0, 10.0, 20.0])),
        bearing_rad=draw(st.floats(0.0, 6.0)) + 0.02 * np.arange(len(grade)),
        surface=draw(st.sampled_from(["tarmac", "gravel", "cobbles"])),
        start_height_m=draw(st.sampled_from([0.0, 1500.0])),
    )
    bend = np.full(len(grade) + 1, np.inf)
    bend[draw(st.integers(0, len(grade)))] = draw(st.sampled_from([5.0, 20.0, np.inf]))
    return replace(course, bend_radius_m=bend)


@st.composite
def rolling_courses(draw: st.DrawFn, steepest: float = 0.06) -> Course:
    """Roads of two waves, no steeper than twice `steepest`, after a level start of 200 m."""
    wave = st.tuples(st.floats(80.0, 3000.0), st.floats(0.0, steepest), st.floats(0.0, 6.0))
    height = waves(draw(wave), draw(wave))
    hills = course_of_height(height, draw(st.sampled_from([300.0, 1500.0, 4000.0])))
    return course_from_grades(
        np.concatenate([np.zeros(20), hills.grade]),
        surface=draw(st.sampled_from(["tarmac", "gravel"])),
    )
