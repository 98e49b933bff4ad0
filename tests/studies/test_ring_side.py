from dataclasses import replace

import numpy as np
import pytest
from made_rides import DOUBLE, HILLS, SINGLE, course_of_height, ridden

from gearsim.course.course import course_from_grades
from gearsim.ride.ride import Ride
from gearsim.ride.states import STATES, State
from gearsim.studies.one_or_two.ring_side import chain_line, longest_stretch

ON_TARGET, COASTING, WALKING = (
    STATES.index(each) for each in (State.ON_TARGET, State.COASTING, State.WALKING)
)


def told(gear: list[int], seconds: list[float], rpm: list[float], state: list[int]) -> Ride:
    """A level ride with two rings that is told what happens in each of its intervals."""
    return replace(
        ridden(course_from_grades([0.0] * len(gear)), DOUBLE),
        gear=np.array(gear),
        duration_s=np.array(seconds),
        cadence_rpm=np.array(rpm),
        state=np.array(state),
    )


def test_the_longest_stretch_runs_from_shift_to_shift_and_counts_what_is_pedalled() -> None:
    ride = told(
        gear=[3, 3, 5, 5, 5, 4],
        seconds=[3.0, 3.0, 2.0, 90.0, 5.0, 6.0],
        rpm=[80.0, 80.0, 80.0, 0.0, 80.0, 80.0],
        state=[ON_TARGET, ON_TARGET, ON_TARGET, COASTING, ON_TARGET, ON_TARGET],
    )
    found = longest_stretch(ride)
    assert (found.gear, found.start_m) == (5, 20.0)
    assert found.seconds == pytest.approx(7.0)
    assert found.road_m == pytest.approx(20.0)


def test_walking_ends_a_stretch_and_is_none() -> None:
    ride = told(
        gear=[3, 3, 3, 4],
        seconds=[4.0, 60.0, 5.0, 6.0],
        rpm=[80.0, 0.0, 80.0, 80.0],
        state=[ON_TARGET, WALKING, ON_TARGET, ON_TARGET],
    )
    assert longest_stretch(ride).gear == 4


def test_longest_stretch_of_a_real_ride_has_no_shift_in_it() -> None:
    ride = ridden(course_of_height(HILLS, 8000.0), SINGLE)
    found = longest_stretch(ride)
    first = round(found.start_m / ride.course.step_m)
    inside = np.flatnonzero(ride.gear[first:] != found.gear)
    end = first + int(inside[0]) if len(inside) else ride.course.intervals
    pedalled = ride.cadence_rpm[first:end] > 0.0
    assert found.seconds == pytest.approx(ride.duration_s[first:end][pedalled].sum())


def test_the_chain_is_as_askew_as_in_the_gears_that_are_pedalled() -> None:
    # Two rings 7.5 mm apart, 11 sprockets 3.74 mm apart, both about the middle, on 430 mm: the
    # large ring (3.75 mm out) with the middle sprocket runs 3.75 mm off.
    middle = 5
    ride = told([middle] * 3, [1.0] * 3, [80.0] * 3, [ON_TARGET] * 3)
    assert np.degrees(chain_line(ride).largest_rad) == pytest.approx(
        np.degrees(np.arctan(3.75 / 430.0))
    )
    assert chain_line(ride).crossed_share == 0.0


def test_crossed_gears_count_by_the_time_pedalled_in_them() -> None:
    large_on_large = len(DOUBLE.sprockets) - 1
    ride = told(
        gear=[large_on_large, large_on_large, 5],
        seconds=[2.0, 50.0, 6.0],
        rpm=[80.0, 0.0, 80.0],
        state=[ON_TARGET, COASTING, ON_TARGET],
    )
    found = chain_line(ride)
    assert (found.crossed_s, found.pedalled_s) == (2.0, 8.0)
    assert found.crossed_share == pytest.approx(0.25)
