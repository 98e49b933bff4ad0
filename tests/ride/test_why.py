from dataclasses import replace

import numpy as np
import pytest

from gearsim.course.course import course_from_grades
from gearsim.physics.air import air_density_kgm3
from gearsim.physics.forces import steady_speed_mps
from gearsim.physics.gearing import cadence_rpm
from gearsim.ride.ride import Ride
from gearsim.ride.score import WorstPlace, worst_places
from gearsim.ride.simulate import simulate
from gearsim.ride.states import Cause, State
from gearsim.ride.why import why
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider

RIDER = Rider(power_w=200.0, uphill_factor=1.0)
HIGH = Drivetrain(name="high", chainrings=(50,), sprockets=(11, 14, 18, 23), efficiency=0.97)


def ride(grade: list[float], drivetrain: Drivetrain = HIGH) -> Ride:
    return simulate(
        course_from_grades(grade), RIDER, Bike(bearing_factor=0.0), drivetrain, Conditions()
    )


def worst(ride: Ride, state: State) -> WorstPlace:
    return next(place for place in worst_places(ride, most=50) if place.state == state)


def test_holding_power_is_that_of_the_exact_steady_speed() -> None:
    wall = ride([0.0] * 30 + [0.16] * 15 + [0.0] * 10)
    (found,) = why(wall, [worst(wall, State.WALKING)])
    bike, course, day = wall.bike, wall.course, wall.conditions
    density_kgm3 = air_density_kgm3(
        float(course.elevation_m[30:45].mean()),
        temperature_c=day.temperature_c,
        relative_humidity=day.relative_humidity,
        pressure_pa=day.pressure_pa,
        reference_height_m=day.reference_height_m,
    )
    held_mps = steady_speed_mps(
        found.holding_power_w,
        0.16,
        mass_kg=RIDER.mass_kg + bike.mass_kg,
        rolling_coefficient=course.surfaces[0].rolling_coefficient,
        air_factor_kgpm=0.5 * bike.drag_area_m2 * density_kgm3,
        efficiency=0.97,
    )
    lowest_m = wall.gears.development_m[wall.gears.lowest]
    assert float(cadence_rpm(held_mps, lowest_m)) == pytest.approx(RIDER.limits_rpm[0], rel=1e-3)
    assert found.gear == wall.gears.lowest
    assert found.wanted_power_w == pytest.approx(200.0)
    assert found.pace_factor == pytest.approx(1.0)


def test_below_the_lowest_gear_more_is_ridden_than_wanted() -> None:
    ramp = ride([0.0] * 30 + [0.09] * 20 + [0.0] * 10)
    (found,) = why(ramp, [worst(ramp, State.BELOW_LOWEST_GEAR)])
    assert found.wanted_power_w < found.ridden_power_w <= found.most_holding_power_w * 1.001
    assert found.gear_rpm == pytest.approx(RIDER.limits_rpm[0], abs=5.0)


def test_wanted_power_is_that_on_the_flat_times_the_factor_of_the_pace() -> None:
    keen = replace(RIDER, uphill_factor=1.2)
    course = course_from_grades([0.0] * 30 + [0.09] * 20 + [0.0] * 10)
    ramp = simulate(course, keen, Bike(), HIGH, Conditions())
    (found,) = why(ramp, [worst(ramp, State.BELOW_LOWEST_GEAR)])
    assert found.pace_factor == pytest.approx(1.2)
    assert found.wanted_power_w == pytest.approx(240.0)


def test_spun_out_is_a_matter_of_the_highest_gear() -> None:
    single = Drivetrain(chainrings=(30,), sprockets=(15, 30))
    fast = ride([0.0] * 20 + [-0.05] * 100, single)
    (found,) = why(fast, [worst(fast, State.SPUN_OUT)])
    assert found.gear == fast.gears.highest
    assert found.next_gear is None


def test_between_gears_the_neighbour_turns_at_the_same_speed() -> None:
    wide = Drivetrain(chainrings=(40,), sprockets=(11, 24))
    flat = ride([0.0] * 300, wide)
    place = next(p for p in worst_places(flat, most=50) if p.cause == Cause.BETWEEN_GEARS)
    (found,) = why(flat, [place])
    assert found.next_gear is not None
    development_m = flat.gears.development_m
    here, there = development_m[found.gear], development_m[found.next_gear]
    assert found.gear_rpm * here == pytest.approx(found.next_rpm * there)


def test_at_the_end_of_the_range_there_is_no_neighbour() -> None:
    slow = ride([0.04] * 100)
    place = worst(slow, State.UNDER_BAND)
    assert place.cause == Cause.END_OF_RANGE
    (found,) = why(slow, [place])
    assert (found.next_gear, found.next_rpm) == (None, 0.0)
    assert found.gear_rpm < RIDER.band_rpm[0]
    assert np.isfinite(found.holding_power_w)
