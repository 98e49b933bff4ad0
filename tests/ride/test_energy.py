"""What goes in comes out: work of legs and feet = height + speed + all that is lost."""

from dataclasses import fields

import pytest
from hypothesis import example, given
from made_rides import (
    DOUBLE,
    HILLS,
    HUB,
    ONE_GEAR,
    SINGLE,
    bikes,
    course_of_height,
    courses,
    days,
    drivetrains,
    ridden,
    riders,
    seconds_in,
)

from gearsim.course.course import Course, course_from_grades
from gearsim.ride.ride import Energy
from gearsim.ride.simulate import simulate
from gearsim.ride.states import State
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider

CLOSES = 1e-6  # of the work done


@given(course=courses(), rider=riders(), bike=bikes, drivetrain=drivetrains, day=days)
# No power wanted: the chain stands still, so its drag must not be in the equation.
@example(course_from_grades([-0.05]), Rider(downhill_factor=0.0), Bike(), SINGLE, Conditions())
# No power wanted against a gale: once a division by the speed of a rider brought to rest.
@example(
    course_from_grades([-0.0743] * 20, step_m=20.0),
    Rider(downhill_factor=0.0),
    Bike(),
    HUB,
    Conditions(wind_mps=30.0, wind_from_rad=0.5, wet=True),
)
def test_energy_closes_on_every_ride(
    course: Course, rider: Rider, bike: Bike, drivetrain: Drivetrain, day: Conditions
) -> None:
    ride = simulate(course, rider, bike, drivetrain, day)
    assert abs(ride.energy.imbalance) <= CLOSES


@pytest.mark.parametrize("drivetrain", [SINGLE, DOUBLE, HUB, ONE_GEAR])
def test_energy_closes_on_a_long_ride_with_everything_in_it(drivetrain: Drivetrain) -> None:
    course = course_of_height(lambda x: 3.0 * HILLS(x), 20_000.0, surface="gravel")
    windy = Conditions(wind_mps=6.0, wind_from_rad=2.0)
    ride = ridden(course, drivetrain, day=windy, power_w=140.0, reserve_j=5000.0)
    everything = (State.ON_TARGET, State.WALKING, State.COASTING, State.BELOW_LOWEST_GEAR)
    assert all(seconds_in(ride, state) > 0.0 for state in everything)
    assert abs(ride.energy.imbalance) <= CLOSES
    assert ride.energy.brakes_j > 0.0
    assert ride.energy.walking_j > 0.0


def test_an_account_that_leaves_out_a_loss_does_not_close() -> None:
    books = ridden(course_of_height(HILLS, 5000.0)).energy
    given_j = {field.name: getattr(books, field.name) for field in fields(Energy)}
    for name in ("rolling_j", "air_j", "bearings_j", "chain_j"):
        assert abs(Energy(**{**given_j, name: 0.0}).imbalance) > 1e3 * CLOSES


def test_a_tail_wind_faster_than_the_rider_gives_work() -> None:
    ride = ridden(
        course_from_grades([0.08] * 50), day=Conditions(wind_mps=20.0, wind_from_rad=3.14159)
    )
    assert ride.speed_mps.max() < 12.0 * 0.999
    assert ride.energy.air_j < 0.0


def test_a_descent_that_is_braked_leaves_its_height_in_the_brakes() -> None:
    ride = ridden(course_from_grades([-0.15] * 100), descending_mps=8.0)
    books = ride.energy
    kept_j = books.kinetic_j + books.rolling_j + books.air_j + books.bearings_j + books.chain_j
    assert books.brakes_j == pytest.approx(books.pedalling_j - books.potential_j - kept_j)
    assert books.brakes_j > 0.8 * -books.potential_j


def test_the_hill_s_work_counts_as_work_done_when_coasting() -> None:
    energy = ridden(course_from_grades([-0.10] * 100), downhill_factor=0.0).energy
    assert energy.work_in_j == 0.0
    assert energy.turnover_j == pytest.approx(-energy.potential_j)
