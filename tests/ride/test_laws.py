"""Laws that hold whatever the rider, the gears and the course.

What makes them conditional is said beside them.  More power means all powers of the rider
together: where critical power stays as it was, riding harder burns the reserve before the wall.
Courses begin level, because the very first metres, from rest, are told in one step.
"""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_rides import (
    DOUBLE,
    HUB,
    ONE_GEAR,
    SINGLE,
    TRIPLE,
    bikes,
    courses,
    days,
    drivetrains,
    in_states,
    ridden,
    riders,
    rolling_courses,
)

from gearsim.course.course import Course, course_from_grades
from gearsim.ride.ride import Ride
from gearsim.ride.simulate import simulate
from gearsim.ride.states import STATES, State
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider

EXACT = 1e-9  # of the finish time
FROM_REST = 1e-5  # of it, where the first interval, told in one step, is a climb
GEARED = [replace(given, efficiency=0.97) for given in (SINGLE, DOUBLE, TRIPLE, HUB)]
EVEN = [*GEARED, replace(ONE_GEAR, efficiency=0.97)]
NO_SHIFT_TIME: dict[str, Any] = {"rear_shift_s": 0.0, "front_shift_s": 0.0}
FREE_LEGS: dict[str, Any] = {"limits_rpm": (50.0, 250.0), **NO_SHIFT_TIME}  # no gear holds them up

powers = st.floats(80.0, 350.0)
masses = st.floats(45.0, 120.0)
reserves = st.sampled_from([0.0, 3000.0, 18_000.0])
more = st.floats(1.0001, 1.4)
climbs = st.floats(0.005, 0.3)


def shifting_s(ride: Ride) -> float:
    """Time that the ride's shifts take without drive, s."""
    rider = ride.rider
    return rider.rear_shift_s * ride.rear_shifts + rider.front_shift_s * ride.front_shifts


@given(
    course=courses(20),
    drivetrain=st.sampled_from(EVEN),
    power_w=powers,
    reserve_j=reserves,
    factor=more,
)
def test_more_power_is_never_slower(
    course: Course, drivetrain: Drivetrain, power_w: float, reserve_j: float, factor: float
) -> None:
    # Here no gear is better than another, so that the shift plan makes no difference.
    given_j = {"reserve_j": reserve_j, **NO_SHIFT_TIME}
    less = ridden(course, drivetrain, power_w=power_w, **given_j)
    strong = ridden(course, drivetrain, power_w=power_w * factor, **given_j)
    assert strong.finish_s <= less.finish_s * (1.0 + EXACT)


@given(
    course=rolling_courses(0.03),
    drivetrain=st.sampled_from([SINGLE, DOUBLE, TRIPLE, HUB]),
    power_w=powers,
    factor=more,
)
def test_with_shift_losses_more_power_is_slower_by_its_own_shifts_at_most(
    course: Course, drivetrain: Drivetrain, power_w: float, factor: float
) -> None:
    # Another power calls for other shifts: each costs at most the time it takes without drive.
    less = ridden(course, drivetrain, power_w=power_w)
    strong = ridden(course, drivetrain, power_w=power_w * factor)
    assert strong.finish_s <= less.finish_s * (1.0 + 1e-4) + shifting_s(strong)


@given(grade=climbs, drivetrain=drivetrains, mass_kg=masses, reserve_j=reserves, factor=more)
def test_more_mass_is_never_faster_uphill(
    grade: float, drivetrain: Drivetrain, mass_kg: float, reserve_j: float, factor: float
) -> None:
    course = course_from_grades(np.full(150, grade))
    rider = {"reserve_j": reserve_j, **FREE_LEGS}
    light = ridden(course, drivetrain, mass_kg=mass_kg, **rider)
    heavy = ridden(course, drivetrain, mass_kg=mass_kg * factor, **rider)
    assert heavy.finish_s >= light.finish_s * (1.0 - FROM_REST)


@given(
    course=rolling_courses(),
    drivetrain=st.sampled_from(GEARED),
    wind_mps=st.floats(0.0, 8.0),
    stronger_mps=st.floats(0.0, 6.0),
)
def test_more_head_wind_is_never_faster(
    course: Course, drivetrain: Drivetrain, wind_mps: float, stronger_mps: float
) -> None:
    still, windy = (
        ridden(course, drivetrain, day=Conditions(wind_mps=mps), **FREE_LEGS)
        for mps in (wind_mps, wind_mps + stronger_mps)
    )
    assert windy.finish_s >= still.finish_s * (1.0 - EXACT)


@given(course=rolling_courses(), drivetrain=st.sampled_from(GEARED), power_w=powers)
def test_wet_ground_is_never_faster(course: Course, drivetrain: Drivetrain, power_w: float) -> None:
    # Where there are walls it can be: who gets off the first has more in reserve for the second.
    dry, wet = (
        ridden(course, drivetrain, day=Conditions(wet=wet), power_w=power_w, **FREE_LEGS)
        for wet in (False, True)
    )
    assert wet.finish_s >= dry.finish_s * (1.0 - EXACT)


@given(course=courses(), factor=st.floats(0.6, 1.6), drivetrain=st.sampled_from(EVEN))
def test_scaling_power_mass_and_drag_area_together_leaves_speed_as_it_is(
    course: Course, factor: float, drivetrain: Drivetrain
) -> None:
    # The force on each kilogram stays, bearings aside, and so do the seconds of the reserve.  Two
    # gears may cost the shift plan the same to the last bit, so shifts take no time here.
    day = Conditions(wind_mps=4.0, wind_from_rad=1.0)
    one, other = (
        simulate(
            course,
            Rider(
                mass_kg=70.0 * size,
                power_w=180.0 * size,
                reserve_j=12_000.0 * size,
                **NO_SHIFT_TIME,
            ),
            Bike(
                mass_kg=10.0 * size,
                drag_area_m2=0.36 * size,
                wheel_inertia_kgm2=0.2 * size,
                bearing_factor=0.0,
            ),
            drivetrain,
            day,
        )
        for size in (1.0, factor)
    )
    assert other.node_speed_mps == pytest.approx(one.node_speed_mps, rel=1e-5)
    assert other.power_w == pytest.approx(factor * one.power_w, rel=1e-4, abs=1e-3)
    assert other.reserve_j == pytest.approx(factor * one.reserve_j, rel=1e-4, abs=1.0)


@given(course=courses(), rider=riders(), bike=bikes, drivetrain=drivetrains, day=days)
def test_every_ride_is_whole(
    course: Course, rider: Rider, bike: Bike, drivetrain: Drivetrain, day: Conditions
) -> None:
    ride = simulate(course, rider, bike, drivetrain, day)
    assert np.all(ride.duration_s > 0.0)
    assert np.all(np.isfinite(ride.duration_s))
    assert np.all((ride.reserve_j >= 0.0) & (ride.reserve_j <= rider.reserve_j))
    assert np.all((ride.gear >= 0) & (ride.gear < len(ride.gears.ratio)))
    assert np.all((ride.state >= 0) & (ride.state < len(STATES)))
    assert np.all(ride.power_w <= rider.largest_w * (1.0 + 1e-9))
    assert np.all(ride.node_speed_mps[1:] <= rider.descending_mps * (1.0 + 1e-9))
    assert np.all(ride.gear[in_states(ride, State.SPUN_OUT)] == ride.gears.highest)
    assert np.all(ride.gear[in_states(ride, State.BELOW_LOWEST_GEAR)] == ride.gears.lowest)


@given(course=courses(), rider=riders(), bike=bikes, drivetrain=drivetrains, day=days)
def test_cadence_times_development_is_speed_wherever_the_rider_pedals(
    course: Course, rider: Rider, bike: Bike, drivetrain: Drivetrain, day: Conditions
) -> None:
    table = simulate(course, rider, bike, drivetrain, day).table
    pedalled = table[table.cadence_rpm > 0.0]
    development_m = pedalled.ratio * bike.circumference_m
    assert (pedalled.cadence_rpm / 60.0 * development_m).to_numpy() == pytest.approx(
        pedalled.speed_mps.to_numpy()
    )
    assert np.all((table.power_w > 0.0) == (table.cadence_rpm > 0.0))


@given(course=courses(), drivetrain=drivetrains)
def test_cadence_never_passes_the_high_limit(course: Course, drivetrain: Drivetrain) -> None:
    ride = ridden(course, drivetrain)
    turning = in_states(ride, State.ON_TARGET, State.OVER_BAND, State.SPUN_OUT)
    bound_mps = 115.0 / 60.0 * ride.gears.development_m[ride.gear]
    # From rest the rider is through several gears within an interval; on average it holds there.
    rolling = ride.node_speed_mps[:-1] > 0.05
    powered = turning & (ride.power_w > 0.0) & rolling
    assert ride.cadence_rpm[0] <= 115.0 * (1.0 + 1e-9)
    assert np.all(ride.node_speed_mps[1:][powered] <= bound_mps[powered] * (1.0 + 1e-9))
