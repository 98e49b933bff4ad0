from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from made_rides import DOUBLE, HILLS, SINGLE, course_of_height, courses, drivetrains, ridden

from gearsim.course.course import Course, Place, course_from_grades
from gearsim.ride.ride import Ride
from gearsim.ride.score import score
from gearsim.setup.drivetrain import Drivetrain


def in_gears(drivetrain: Drivetrain, gear: list[int]) -> Ride:
    """A ride that is told which gears it has."""
    return replace(ridden(course_from_grades([0.0] * len(gear)), drivetrain), gear=np.array(gear))


def test_a_jump_over_four_sprockets_passes_four() -> None:
    assert in_gears(SINGLE, [2, 6, 6, 5]).rear_clicks == 5


def test_a_front_shift_passes_only_the_sprockets_that_are_shifted_with_it() -> None:
    sprockets = len(DOUBLE.sprockets)
    assert in_gears(DOUBLE, [3, sprockets + 3]).rear_clicks == 0
    assert in_gears(DOUBLE, [3, sprockets + 1]).rear_clicks == 2


def test_sprockets_changed_at_a_stop_are_not_of_the_ride() -> None:
    ride = in_gears(SINGLE, [2, 3, 7, 6])
    stop = Place(name="ford", distance_m=2.0 * ride.course.step_m, stop_s=60.0)
    assert replace(ride, course=replace(ride.course, places=(stop,))).rear_clicks == 2


def test_a_ride_of_one_interval_passes_none() -> None:
    assert in_gears(SINGLE, [4]).rear_clicks == 0


@given(course=courses(), drivetrain=drivetrains)
def test_every_rear_shift_passes_a_sprocket_at_least(
    course: Course, drivetrain: Drivetrain
) -> None:
    ride = ridden(course, drivetrain)
    assert ride.rear_clicks >= ride.rear_shifts
    assert (ride.rear_clicks == 0) == (ride.rear_shifts == 0)


def test_the_score_counts_them_by_the_hour() -> None:
    ride = ridden(course_of_height(HILLS, 6000.0), SINGLE)
    counted = score(ride)
    assert counted.rear_clicks == ride.rear_clicks > 0
    hours = ride.moving_s / 3600.0
    assert counted.rear_clicks_per_hour == pytest.approx(ride.rear_clicks / hours)
