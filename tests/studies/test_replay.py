"""Replay: what one simulated ride teaches predicts another."""

from dataclasses import replace

import numpy as np
import pytest
from made_recordings import Faults, loop, recorded, ride_of, without_power
from made_rides import DOUBLE

from gearsim.course.course import course_from_grades
from gearsim.errors import PlanError
from gearsim.physics.air import standard_density_kgm3
from gearsim.physics.forces import steady_speed_mps
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.rider import Rider
from gearsim.studies.learn.estimate import Refusal
from gearsim.studies.learn.learn import Given, Learnt, learn
from gearsim.studies.learn.resistance import DRIVE_EFFICIENCY
from gearsim.studies.learn.setup import learnt_bike, learnt_rider
from gearsim.studies.replay.power import ride_power
from gearsim.studies.replay.replay import Replay, replay

GIVEN = Given(rider_mass_kg=75.0, bike_mass_kg=10.0, surface_told=True)
RIDER = Rider(power_w=200.0)


@pytest.fixture(scope="module")
def learnt() -> Learnt:
    return learn([recorded(ride_of(RIDER, course=loop(40_000.0)))], GIVEN)


@pytest.fixture(scope="module")
def other(learnt: Learnt) -> Replay:
    """Another road by the same rider on the same bike."""
    course = loop(30_000.0, turns=-2.0)
    course = replace(course, elevation_m=course.elevation_m[::-1].copy())
    return replay(recorded(ride_of(RIDER, course=course), 1), learnt)


def test_moving_time_by_recorded_power_is_within_3_percent(other: Replay) -> None:
    assert other.powered_error is not None
    assert abs(other.powered_error) < 0.03


def test_moving_time_by_learnt_pace_is_within_3_percent(other: Replay) -> None:
    assert abs(other.error) < 0.03


def test_classes_of_grade_make_the_whole_ride(other: Replay) -> None:
    assert sum(one.recorded_s for one in other.classes) == pytest.approx(other.moving_s)
    assert sum(one.predicted_s for one in other.classes) == pytest.approx(other.ride.finish_s)
    length_m = sum(one.length_m for one in other.classes)
    assert length_m == pytest.approx(float(other.ride.course.road_length_m.sum()))


def test_recorded_work_is_the_recordings_own(other: Replay) -> None:
    assert other.recorded_work_j == pytest.approx(np.nansum(other.recording.power_w), rel=0.01)


def test_ride_without_power_is_predicted_by_pace_alone(learnt: Learnt) -> None:
    found = replay(without_power(recorded(ride_of(RIDER))), learnt)
    assert found.powered is None
    assert found.powered_error is None
    assert found.recorded_work_j is None


def test_recorded_power_holds_the_exact_steady_speed() -> None:
    """The root of the cubic that `steady_speed_mps` solves exactly; here bearings are added."""
    course = course_from_grades([0.03] * 300)
    bike = Bike()
    ridden = ride_power(
        course, RIDER, bike, Conditions(), np.full(300, 200.0), np.array([], dtype=float)
    )
    bearings_w = (0.091 + 0.0087 * ridden.speed_mps[-1]) * ridden.speed_mps[-1]
    exact = steady_speed_mps(
        DRIVE_EFFICIENCY * 200.0 - bearings_w,
        0.03,
        mass_kg=85.0,
        rolling_coefficient=0.005,
        air_factor_kgpm=0.5 * float(standard_density_kgm3(90.0)) * bike.drag_area_m2,
    )
    assert ridden.speed_mps[-1] == pytest.approx(float(exact), rel=3e-4)


def test_rider_without_power_does_not_roll_to_a_standstill() -> None:
    course = course_from_grades([0.0] * 100)
    ridden = ride_power(course, RIDER, Bike(), Conditions(), np.zeros(100), np.array([]))
    assert ridden.speed_mps[5:].min() == pytest.approx(2.0, abs=0.01)
    assert ridden.added_j > 0.0


def test_stops_cost_time() -> None:
    course = course_from_grades([0.0] * 300)
    times = [
        ride_power(course, RIDER, Bike(), Conditions(), np.full(300, 200.0), stops).finish_s
        for stops in (np.array([]), np.array([1500.0]))
    ]
    assert times[1] > times[0] + 5.0


def test_less_than_a_kilometre_is_refused(learnt: Learnt) -> None:
    short = recorded(ride_of(RIDER, course=loop(900.0, turns=0.1)))
    with pytest.raises(PlanError, match="900 m to replay; allowed is 1 km and more"):
        replay(short, learnt)


def test_what_was_not_learnt_is_the_plans_default() -> None:
    bare = learn([without_power(recorded(ride_of(RIDER, drivetrain=DOUBLE), 0, Faults()))], Given())
    assert isinstance(bare.resistance, Refusal)
    assert learnt_bike(bare).drag_area_m2 == Bike().drag_area_m2
    assert learnt_rider(bare).stop_pedalling_mps == Rider().stop_pedalling_mps
    assert len(bare.given.assumptions) == 3
