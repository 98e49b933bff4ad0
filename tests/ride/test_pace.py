"""What the rider wants and dares, and what the road, the air and the wind hold against it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_rides import SINGLE
from numpy.typing import NDArray

from gearsim.course.course import Course, Place, course_from_grades
from gearsim.physics.braking import cornering_speed_mps
from gearsim.ride.arrays import body_of, pace_of, road_of, total_mass_kg
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.rider import Rider

RIDER = Rider(power_w=200.0, uphill_factor=1.2, downhill_factor=0.5, full_effect_grade=0.04)


def dared_mps(course: Course, conditions: Conditions) -> NDArray[np.float64]:
    """Speed that the rider dares at each node."""
    return road_of(course, RIDER, Bike(), SINGLE, conditions).bound_mps


@pytest.mark.parametrize(
    ("grade", "power_w"),
    [
        (0.0, 200.0),
        (0.02, 220.0),
        (0.04, 240.0),
        (0.20, 240.0),
        (-0.01, 175.0),
        (-0.04, 100.0),
        (-0.30, 100.0),
    ],
)
def test_wanted_power_follows_the_grade_up_to_full_effect(grade: float, power_w: float) -> None:
    assert RIDER.power_w * pace_of(RIDER, np.array([grade])) == pytest.approx(power_w)


@given(grade=st.floats(-0.4, 0.4), steeper=st.floats(0.0, 0.4))
def test_steeper_never_means_less_power_wanted(grade: float, steeper: float) -> None:
    less, more = pace_of(RIDER, np.array([grade, grade + steeper]))
    assert more >= less


def test_nobody_dares_more_than_their_descending_speed_or_less_than_riding_pace() -> None:
    course = course_from_grades([0.0] * 10)
    hairpin = replace(course, bend_radius_m=np.full(11, 0.05))
    dry = Conditions()
    assert dared_mps(course, dry) == pytest.approx(RIDER.descending_mps)
    assert dared_mps(hairpin, dry) == pytest.approx(RIDER.slowest_riding_mps)


def test_a_bend_is_bounded_by_grip_and_daring() -> None:
    course = course_from_grades([0.0] * 10, surface="tarmac")
    radius = np.full(11, np.inf)
    radius[4] = 15.0
    bend = replace(course, bend_radius_m=radius)
    tarmac = course.surfaces[0]
    for wet, grip in ((False, 1.0), (True, tarmac.wet_grip_factor)):
        dared = dared_mps(bend, Conditions(wet=wet))
        in_bend = cornering_speed_mps(15.0, RIDER.cornering * tarmac.side_grip * grip)
        assert dared[4] == pytest.approx(in_bend)
        assert dared[5:] == pytest.approx(RIDER.descending_mps)
        braking_from = np.sqrt(in_bend**2 + 2.0 * RIDER.braking_mps2 * bend.step_m)
        assert dared[3] == pytest.approx(min(braking_from, RIDER.descending_mps))


def test_where_the_surface_changes_the_worse_one_bounds_a_bend() -> None:
    course = course_from_grades([0.0] * 10, surface="tarmac")
    gravel = course_from_grades([0.0], surface="gravel").surfaces[0]
    mixed = replace(
        course,
        surfaces=(*course.surfaces, gravel),
        surface_index=np.repeat([0, 1], 5),
        bend_radius_m=np.full(11, 10.0),
    )
    dared, held = dared_mps(mixed, Conditions()), (course.surfaces[0].side_grip, gravel.side_grip)
    bounds = [cornering_speed_mps(10.0, RIDER.cornering * grip) for grip in held]
    assert held[1] < held[0]
    assert dared[5:] == pytest.approx(bounds[1])
    assert dared[:4] == pytest.approx(bounds[0])


def test_a_stop_is_reached_at_the_slowest_riding_speed() -> None:
    course = course_from_grades([0.0] * 10)
    there = replace(course, places=(Place(name="water", distance_m=60.0, stop_s=30.0),))
    dared = dared_mps(there, Conditions())
    assert dared[6] == pytest.approx(RIDER.slowest_riding_mps)
    assert dared[6] < dared[5] < dared[7] == pytest.approx(RIDER.descending_mps)


def test_the_wind_that_reaches_the_rider_is_its_share_along_the_bearing() -> None:
    course = course_from_grades([0.0] * 4, bearing_rad=np.radians([0.0, 90.0, 180.0, 60.0]))
    day = Conditions(wind_mps=10.0, wind_from_rad=0.0, wind_share=0.6)
    road = road_of(course, RIDER, Bike(), SINGLE, day)
    assert road.head_wind_mps == pytest.approx([6.0, 0.0, -6.0, 3.0], abs=1e-9)


def test_air_thins_with_the_height_of_the_course() -> None:
    # ISO 2533: 1.22500 kg/m³ at the sea, 1.11166 at 1000 m; dry.
    dry = Conditions(relative_humidity=0.0)
    for height_m, density_kgm3 in ((0.0, 1.22500), (1000.0, 1.11166)):
        course = course_from_grades([0.0] * 3, start_height_m=height_m)
        factor = road_of(course, RIDER, Bike(drag_area_m2=0.4), SINGLE, dry).air_factor_kgpm
        assert factor == pytest.approx(0.5 * 0.4 * density_kgm3, rel=5e-4)


def test_a_course_between_two_heights_has_the_air_of_each_place() -> None:
    up = course_from_grades([0.1] * 1000)
    factor = road_of(up, RIDER, Bike(), SINGLE, Conditions()).air_factor_kgpm
    for place in (0, 333, 999):
        here = course_from_grades(
            [0.0], start_height_m=0.5 * up.elevation_m[place : place + 2].sum()
        )
        alone = road_of(here, RIDER, Bike(), SINGLE, Conditions()).air_factor_kgpm[0]
        assert factor[place] == pytest.approx(alone, rel=1e-5)


def test_wet_ground_and_slow_tyres_multiply_rolling_resistance() -> None:
    course = course_from_grades([0.0] * 2, surface="gravel")
    dry, wet, slow = (
        road_of(course, RIDER, bike, SINGLE, day).resistance_n
        for bike, day in (
            (Bike(), Conditions()),
            (Bike(), Conditions(wet=True)),
            (Bike(tyre_rolling_factor=1.5), Conditions()),
        )
    )
    assert wet == pytest.approx(dry * course.surfaces[0].wet_rolling_factor)
    assert slow == pytest.approx(1.5 * dry)


def test_the_drivetrain_s_own_mass_is_carried_too() -> None:
    heavy = replace(SINGLE, mass_kg=2.0)
    assert total_mass_kg(RIDER, Bike(), heavy) == RIDER.mass_kg + Bike().mass_kg + 2.0


def test_the_wheels_inertia_adds_the_mass_of_the_worked_example() -> None:
    # Martin et al. 1998, from memory: 0.14 kg·m² at 0.311 m adds 1.4475 kg.
    bike = Bike(wheel_inertia_kgm2=0.14, rim_mm=622.0, tyre_mm=10.0)
    moving_kg = body_of(course_from_grades([0.0]), RIDER, bike, SINGLE).mass_kg
    assert moving_kg - RIDER.mass_kg - bike.mass_kg == pytest.approx(0.14 / 0.321**2)
