"""Time at each cadence and in each gear adds up to the ride."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from made_rides import SINGLE, courses, drivetrains, ridden, riders

from gearsim.course.course import Course, course_from_grades
from gearsim.ride.simulate import simulate
from gearsim.ride.states import State
from gearsim.ride.usage import cadence_edges_rpm, usage
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider


@given(course=courses(), drivetrain=drivetrains, rider=riders())
def test_cadence_freewheeling_and_walking_add_up_to_the_ride(
    course: Course, drivetrain: Drivetrain, rider: Rider
) -> None:
    ride = simulate(course, rider, Bike(), drivetrain, Conditions())
    used = usage(ride)
    total_s = used.pedalling_s + used.freewheeling_s + used.on_foot_s
    assert total_s == pytest.approx(ride.finish_s, rel=1e-9)
    assert used.gear_s.sum() == pytest.approx(used.pedalling_s, rel=1e-9)
    assert used.gear_m.sum() <= course.road_length_m.sum() * (1.0 + 1e-9)


def test_cadence_classes_have_the_limits_and_the_bands_ends_among_their_edges() -> None:
    rider = Rider(limits_rpm=(50.0, 106.0), band_rpm=(72.0, 94.0), target_cadence_rpm=84.0)
    assert cadence_edges_rpm(rider).tolist() == [50, 57, 65, 72, 79, 87, 94, 100, 106]


def test_a_cadence_belongs_to_the_class_that_it_begins() -> None:
    ride = ridden(course_from_grades(np.zeros(4)))
    edges = cadence_edges_rpm(ride.rider)
    low, high = edges[0], edges[-1]
    rpm = np.array([low - 1.0, low, high, high + 1.0])
    told = usage(replace(ride, cadence_rpm=rpm, duration_s=np.array([1.0, 2.0, 4.0, 8.0])))
    assert told.cadence_s[0] == 1.0
    assert told.cadence_s[1] == 2.0
    assert told.cadence_s[-2] == 4.0  # held at the high limit is not beyond it
    assert told.cadence_s[-1] == 8.0


def test_on_a_steady_climb_all_the_time_is_in_one_gear() -> None:
    ride = ridden(course_from_grades(np.full(300, 0.06)), SINGLE)
    used = usage(ride)
    most = int(np.argmax(used.gear_s))
    assert used.gear_s[most] > 0.95 * ride.finish_s
    assert used.gear_m[most] == pytest.approx(3000.0 * np.sqrt(1.0 + 0.06**2), rel=0.05)


def test_walking_is_told_apart_from_freewheeling() -> None:
    ride = ridden(course_from_grades(np.concatenate([np.zeros(50), np.full(40, 0.30)])))
    used = usage(ride)
    assert used.on_foot_s == pytest.approx(
        float(ride.duration_s[ride.state == list(State).index(State.WALKING)].sum())
    )
    assert used.on_foot_s > 60.0
