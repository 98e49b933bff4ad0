import numpy as np
import pytest
from made_rides import HILLS, SINGLE, course_of_height, ridden

from gearsim.ride.score import Score, score
from gearsim.ride.states import State
from gearsim.studies.ground import GROUNDS, Ground, seconds_by_ground
from gearsim.studies.search.gains import Change, Outcome, change


def outcome(front_shifts: int = 0, **seconds: tuple[float, float, float]) -> Outcome:
    """A ride with so many seconds uphill, on the flats and downhill in some states."""
    told = {key.replace("_", " "): value for key, value in seconds.items()}
    ground_s = {state: told.get(state, (0.0, 0.0, 0.0)) for state in State}
    ground_s[State.ON_TARGET] = (3600.0, 0.0, 0.0)
    counted = Score(
        seconds={state: sum(ground_s[state]) for state in State},
        weighted_s=0.0,
        between_gears_s=0.0,
        end_of_range_s=0.0,
        rear_shifts=100,
        rear_clicks=150,
        front_shifts=front_shifts,
        work_in_j=1.0,
    )
    return Outcome(score=counted, ground_s=ground_s, settled=True)


def changed(now: Outcome, then: Outcome) -> Change:
    return change(now, then, mass_kg=-0.25, parts_to_adjust=-1, price=None)


def test_seconds_by_ground_add_up_to_the_ride_s() -> None:
    ride = ridden(course_of_height(lambda x: 2.0 * HILLS(x), 6000.0), SINGLE)
    found, whole = seconds_by_ground(ride), score(ride).seconds
    for state in State:
        assert sum(found[state]) == pytest.approx(whole[state], abs=1e-6)
    downhill = GROUNDS.index(Ground.DOWNHILL)
    assert found[State.COASTING][downhill] == pytest.approx(
        ride.duration_s[(ride.state == 6) & (ride.course.grade < -0.02)].sum()
    )


def test_ground_of_an_interval_is_told_by_its_grade() -> None:
    ride = ridden(course_of_height(lambda x: 0.05 * x, 1000.0), SINGLE)
    uphill = sum(row[GROUNDS.index(Ground.UPHILL)] for row in seconds_by_ground(ride).values())
    assert uphill == pytest.approx(ride.finish_s)
    flat = ridden(course_of_height(np.zeros_like, 1000.0), SINGLE)
    assert sum(row[1] for row in seconds_by_ground(flat).values()) == pytest.approx(flat.finish_s)


def test_change_is_then_less_now() -> None:
    found = changed(outcome(walking=(60.0, 0.0, 0.0)), outcome(over_band=(0.0, 200.0, 50.0)))
    assert found.seconds[State.WALKING] == -60.0
    assert found.seconds[State.OVER_BAND] == 250.0
    assert found.finish_s == 190.0
    assert found.ground[State.WALKING] is Ground.UPHILL
    assert found.ground[State.OVER_BAND] is Ground.FLAT  # four fifths of it
    assert found.ground[State.SPUN_OUT] is None


def test_difference_that_is_spread_has_no_ground() -> None:
    found = changed(outcome(), outcome(under_band=(100.0, 90.0, 0.0)))
    assert found.ground[State.UNDER_BAND] is None
    more_and_less = changed(
        outcome(under_band=(0.0, 100.0, 0.0)), outcome(under_band=(300.0, 0.0, 0.0))
    )
    assert more_and_less.ground[State.UNDER_BAND] is Ground.UPHILL


def test_all_front_shifts_are_lost_only_where_there_were_some() -> None:
    assert changed(outcome(front_shifts=9), outcome()).loses_all_front_shifts
    assert not changed(outcome(), outcome()).loses_all_front_shifts
    assert not changed(outcome(front_shifts=9), outcome(front_shifts=1)).loses_all_front_shifts
