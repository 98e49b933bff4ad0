"""What rides have in common is worked out once, and changes none of them."""

from dataclasses import replace

import numpy as np
import pytest
from made_rides import DOUBLE, HILLS, HUB, SINGLE, TRIPLE, course_of_height

from gearsim.course.course import Course, Place
from gearsim.ride.arrays import road_of
from gearsim.ride.outset import outset_of
from gearsim.ride.ride import Ride
from gearsim.ride.score import score
from gearsim.ride.simulate import simulate, simulate_from
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.effort import FOR_THE_DURATION, Effort
from gearsim.setup.rider import Rider
from gearsim.units import GRAVITY_MPS2

ROAD = course_of_height(lambda x: 2.0 * HILLS(x), 12_000.0, surface="gravel")
STOPPING = replace(ROAD, places=(Place(name="ford", distance_m=5000.0, stop_s=300.0),))
BIKE, DAY = Bike(), Conditions(wind_mps=4.0, wet=True)
LASTING = Rider(effort=Effort(kind=FOR_THE_DURATION))
HEAVY = replace(SINGLE, name="heavy", mass_kg=3.0)


def assert_same_ride(one: Ride, other: Ride) -> None:
    assert one.duration_s.tobytes() == other.duration_s.tobytes()
    assert one.wanted_power_w.tobytes() == other.wanted_power_w.tobytes()
    assert np.array_equal(one.gear, other.gear)
    assert np.array_equal(one.state, other.state)
    assert one.energy == other.energy
    assert one.effort == other.effort
    assert score(one) == score(other)


@pytest.mark.parametrize("rider", [Rider(), LASTING], ids=["fixed", "for the duration"])
@pytest.mark.parametrize("course", [ROAD, STOPPING], ids=["no stop", "a stop"])
def test_rides_from_one_outset_are_the_rides_alone_to_the_last_bit(
    course: Course, rider: Rider
) -> None:
    outset = outset_of(course, rider, BIKE, DAY)
    for drivetrain in (SINGLE, HEAVY, DOUBLE, TRIPLE, HUB, SINGLE):
        shared = simulate_from(outset, drivetrain)
        assert_same_ride(shared, simulate(course, rider, BIKE, drivetrain, DAY))
        assert shared.conditions is DAY


def test_power_asked_for_is_that_of_one_ride_and_not_of_the_next() -> None:
    outset = outset_of(ROAD, Rider(), BIKE, DAY)
    asked_w = np.full(ROAD.intervals, 120.0)
    easy = simulate_from(outset, SINGLE, wanted_w=asked_w)
    assert_same_ride(easy, simulate(ROAD, Rider(), BIKE, SINGLE, DAY, wanted_w=asked_w))
    assert_same_ride(simulate_from(outset, SINGLE), simulate(ROAD, Rider(), BIKE, SINGLE, DAY))


def test_gravity_and_rolling_resist_in_proportion_to_all_that_moves() -> None:
    moving_kg = Rider().mass_kg + BIKE.mass_kg + HEAVY.mass_kg
    ground = ROAD.surfaces[0]
    rolling = ground.rolling_coefficient * ground.wet_rolling_factor * BIKE.tyre_rolling_factor
    angle = np.arctan(ROAD.grade)
    weight_n = moving_kg * GRAVITY_MPS2
    resisting_n = weight_n * (np.sin(angle) + rolling * np.cos(angle))
    road = road_of(ROAD, Rider(), BIKE, HEAVY, DAY)
    assert road.resistance_n == pytest.approx(resisting_n, rel=1e-9, abs=1e-9)
