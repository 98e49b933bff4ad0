"""Replay: what one simulated ride teaches predicts another."""

from dataclasses import replace

import numpy as np
import pytest
from made_recordings import Faults, loop, recorded, ride_of, without_power
from made_rides import DOUBLE

from gearsim.course.course import course_from_grades
from gearsim.course.recorded.part import halves_of
from gearsim.course.recorded.recording import RecordedStop
from gearsim.errors import PlanError
from gearsim.ride.ride import Ride
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.parts.kinds import Cassette, Chainset
from gearsim.setup.rider import Rider
from gearsim.studies.learn.estimate import Refusal
from gearsim.studies.learn.learn import Given, Learnt, learn
from gearsim.studies.learn.setup import learnt_bike, learnt_rider
from gearsim.studies.replay.power import ride_power
from gearsim.studies.replay.replay import Replay, replay
from gearsim.studies.replay.use import common_share, predicted_cadence, recorded_cadence

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


def powered(
    grades: list[float], power_w: list[float], stops: tuple[RecordedStop, ...] = ()
) -> Ride:
    """Recorded power on made grades, 10 m each."""
    course = course_from_grades(grades)
    return ride_power(
        course, RIDER, Bike(), DOUBLE, Conditions(), power_w=np.array(power_w), stops=stops
    )


def test_recorded_power_is_the_rides_power_where_nothing_bounds_it() -> None:
    power_w = [250.0] * 100 + [150.0] * 100
    ridden = powered([0.01] * 200, power_w)
    off_the_line = np.arange(200) > 5
    still = off_the_line & (np.diff(ridden.gear, prepend=ridden.gear[0]) == 0)
    assert ridden.power_w[still] == pytest.approx(np.array(power_w)[still])


def test_coasting_that_was_recorded_stays_coasting() -> None:
    ridden = powered([0.0] * 50 + [-0.05] * 100, [250.0] * 50 + [0.0] * 100)
    assert (ridden.power_w[50:] == 0.0).all()
    assert (ridden.cadence_rpm[50:] == 0.0).all()


def test_neither_reserve_nor_a_last_pedalling_speed_limits_recorded_power() -> None:
    """The rider's own would end both: 18 kJ at 600 W, and pedalling at 50 km/h."""
    climb = powered([0.05] * 300, [600.0] * 300)
    assert climb.power_w[-100:] == pytest.approx(600.0)
    descent = powered([-0.06] * 200, [200.0] * 200)
    assert descent.speed_mps[-1] > RIDER.stop_pedalling_mps
    assert descent.power_w[-1] == pytest.approx(200.0)


def test_rider_without_power_does_not_roll_to_a_standstill() -> None:
    ridden = powered([0.0] * 200, [300.0] * 20 + [0.0] * 180)
    lowest_mps = min(2.0, 50.0 / 60.0 * float(ridden.gears.development_m.min()))
    assert ridden.speed_mps[5:].min() == pytest.approx(lowest_mps, rel=0.01)
    assert ridden.power_w[-1] > 0.0


def test_bike_with_high_gears_only_rolls_down_to_2_metres_a_second() -> None:
    """Its low limit of cadence would have the rider push from 4.6 m/s on."""
    high = Drivetrain(name="high", chainrings=(52,), sprockets=(11, 14, 17, 20))
    course = course_from_grades([0.0] * 300)
    power_w = np.array([300.0] * 20 + [0.0] * 280)
    ridden = ride_power(course, RIDER, Bike(), high, Conditions(), power_w=power_w)
    assert ridden.speed_mps[5:].min() == pytest.approx(2.0, rel=0.01)


def test_stops_cost_time_but_are_not_moving_time_themselves() -> None:
    stop = RecordedStop(start_s=0.0, duration_s=600.0, distance_m=1500.0)
    through, stopped = (powered([0.0] * 300, [200.0] * 300, s) for s in ((), (stop,)))
    assert 5.0 < stopped.moving_s - through.moving_s < 60.0


CHAINSET = Chainset(name="own", chainrings=DOUBLE.chainrings, chain_sprockets=(9, 13), mass_g=700.0)
CASSETTE = Cassette(
    name="own", sprockets=DOUBLE.sprockets, driver_body="splined, long", mass_g=300.0
)


@pytest.fixture(scope="module")
def geared(learnt: Learnt) -> Replay:
    """Another ride on the bike, whose gears the parts list has."""
    taught = learn(list(learnt.recordings), GIVEN, (CHAINSET,), (CASSETTE,))
    return replay(recorded(ride_of(RIDER, course=loop(20_000.0, turns=2.0)), 1), taught)


def test_both_predictions_ride_the_gears_that_were_found(geared: Replay) -> None:
    assert geared.gears_found
    assert geared.powered is not None
    for ride in (geared.ride, geared.powered):
        assert ride.drivetrain.sprockets == DOUBLE.sprockets


def test_recorded_power_predicts_gears_and_cadence_of_a_made_ride(geared: Replay) -> None:
    use = geared.gear_use
    assert use is not None
    assert use.by_power is not None
    assert common_share(use.recorded, use.by_power) > 0.85
    assert geared.cadence is not None
    assert geared.powered is not None
    predicted = predicted_cadence(geared.powered)
    assert predicted.mean_rpm == pytest.approx(geared.cadence.mean_rpm, abs=2.0)
    assert common_share(geared.cadence.shares, predicted.shares) > 0.75


def test_shares_of_time_add_up(geared: Replay) -> None:
    use, cadence = geared.gear_use, geared.cadence
    assert use is not None
    assert cadence is not None
    for shares in (use.recorded, use.by_pace, use.by_power, cadence.shares):
        assert shares is not None
        assert shares.sum() == pytest.approx(1.0)


def test_without_parts_a_stand_in_is_ridden_and_no_gears_are_compared(other: Replay) -> None:
    assert not other.gears_found
    assert other.gear_use is None


def test_turning_the_cranks_without_power_is_no_pedalling(geared: Replay) -> None:
    soft = replace(geared.recording, power_w=np.full(len(geared.recording.time_s), 10.0))
    assert len(recorded_cadence(soft).rpm) == 0
    assert recorded_cadence(soft).mean_rpm == 0.0


def test_part_that_begins_at_speed_is_brought_to_that_speed(geared: Replay) -> None:
    """Else the rider would start from rest, on power that was recorded when rolling."""
    _, second = halves_of(geared.recording)
    found = replay(second, geared.learnt)
    assert second.speed_mps[0] > 5.0
    assert found.powered is not None
    assert found.powered.node_speed_mps[2] == pytest.approx(second.speed_mps[0], rel=0.15)


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
