"""The compiled loop against a general solver of the same equation, and against exact answers."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from made_rides import HILLS, SINGLE, UNHINDERED, course_of_height, waves
from reference_ride import finish, rig_of

from gearsim.course.course import Course, course_from_grades
from gearsim.course.surface import Surface
from gearsim.ride.ride import Ride
from gearsim.ride.simulate import simulate
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.rider import Rider

PLAIN = replace(SINGLE, efficiency=0.97)  # the same loss in every gear: gears do not matter
WITHIN = 1e-3
END_SPEED_WITHIN = 5e-3  # of a single node, where the grade changes by the interval

TURNING = np.linspace(0.0, 12.0, 600)
STEEP = waves((1500.0, 0.10, 0.3), (300.0, 0.05, 1.0))


@pytest.mark.parametrize(
    ("course", "day"),
    [
        (course_from_grades([0.0] * 600), Conditions()),
        (course_of_height(HILLS, 6000.0), Conditions()),
        (course_of_height(STEEP, 6000.0, surface="gravel"), Conditions()),
        (course_from_grades([0.0] * 600), Conditions(wind_mps=12.0)),
        (course_from_grades([0.0] * 600), Conditions(wind_mps=12.0, wind_from_rad=np.pi)),
        (
            course_of_height(HILLS, 6000.0, bearing_rad=TURNING),
            Conditions(wind_mps=9.0, wind_from_rad=1.0),
        ),
    ],
    ids=["flat", "hilly", "steep gravel", "head wind", "tail wind", "hilly and windy"],
)
def test_finish_time_is_that_of_the_general_solver(course: Course, day: Conditions) -> None:
    rider, bike = Rider(**UNHINDERED), Bike()
    time_s, speed_mps = finish(rig_of(course, rider, bike, day, 0.97), rtol=1e-8)
    ride = simulate(course, rider, bike, PLAIN, day)
    assert ride.finish_s == pytest.approx(time_s, rel=WITHIN)
    assert ride.node_speed_mps[-1] == pytest.approx(speed_mps, rel=END_SPEED_WITHIN)


RIG_SURFACE = Surface(
    name="rig",
    rolling_coefficient=0.010,
    wet_rolling_factor=1.0,
    side_grip=0.5,
    wet_grip_factor=1.0,
)


def on_the_rig(grade: float, metres: float, step_m: float, power_w: float, **rider: Any) -> Ride:
    """A ride of the reference rig: 85 kg, CdA 0.36 m², Crr 0.010, efficiency 0.97, no bearing loss.

    The road ends at the height of the sea, where dry air at 15 °C has 1.225 kg/m³.
    """
    count = round(metres / step_m)
    course = course_from_grades([grade] * count, step_m=step_m, start_height_m=-grade * metres)
    wanted = {"uphill_factor": 1.0, "downhill_factor": 1.0, **UNHINDERED, **rider}
    return simulate(
        replace(course, surfaces=(RIG_SURFACE,)),
        Rider(mass_kg=75.0, power_w=power_w, **wanted),
        Bike(mass_kg=10.0, drag_area_m2=0.36, bearing_factor=0.0, wheel_inertia_kgm2=0.0),
        PLAIN,
        Conditions(relative_humidity=0.0),
    )


@pytest.mark.parametrize(
    ("power_w", "grade", "speed_mps"),
    [
        (200.0, 0.0, 8.276478),
        (200.0, 0.05, 3.666235),
        (200.0, 0.10, 2.103823),
        (200.0, 0.20, 1.128365),
        (100.0, -0.01, 7.605382),
        (100.0, -0.03, 10.786798),
        (200.0, -0.08, 17.705192),
    ],
)
def test_a_long_even_road_is_ridden_at_the_exact_steady_speed(
    power_w: float, grade: float, speed_mps: float
) -> None:
    # Computed: roots of the cubic.  The air thickens on the way down, and speed follows it late.
    metres = 300.0 if grade > 0.01 else 3000.0
    ride = on_the_rig(grade, metres, 10.0, power_w)
    assert ride.node_speed_mps[-1] == pytest.approx(speed_mps, rel=5e-4)


def test_an_even_descent_is_coasted_down_at_the_exact_steady_speed() -> None:
    # Computed: root of the cubic for 0 W on -5 %.
    ride = on_the_rig(-0.05, 3000.0, 10.0, 200.0, downhill_factor=0.0)
    assert ride.node_speed_mps[-1] == pytest.approx(12.289222, rel=5e-4)


@pytest.mark.parametrize(("step_m", "within"), [(1.0, 2e-3), (10.0, 2e-2)])
def test_coasting_from_rest_goes_as_the_exact_answer(step_m: float, within: float) -> None:
    # Computed: 0 W on -8 % with the exact terminal speed of 16.24134 m/s; places along the road.
    ride = on_the_rig(-0.08, 300.0, step_m, 200.0, downhill_factor=0.0)
    road_m = np.append(0.0, np.cumsum(ride.course.road_length_m))
    time_s = np.append(0.0, ride.time_s)
    assert np.interp(200.0, road_m, ride.node_speed_mps) == pytest.approx(13.05093, rel=2e-3)
    assert np.interp(20.0, time_s, ride.node_speed_mps) == pytest.approx(11.16112, rel=within)
    assert np.interp(20.0, time_s, road_m) == pytest.approx(123.18873, rel=within)
