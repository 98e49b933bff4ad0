"""Repeating a ride: the same again, only cheaper where little changed, compiled or not."""

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_rides import DOUBLE, HILLS, SINGLE, course_of_height, courses, drivetrains, ridden, riders
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.ride import kernel
from gearsim.ride.arrays import body_of, gear_table_of, road_of
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import gears_of
from gearsim.setup.rider import Rider

ROOT = Path(__file__).parents[2]
NOT_RIDDEN = -2  # a gear that no ride is in: everything differs from it
SAME = 1e-5

SHORT_RIDE = """
import json
import numpy as np
from gearsim.course.course import course_from_grades
from made_rides import DOUBLE, ridden
ride = ridden(course_from_grades([0.0] * 10 + [0.32] * 6 + [-0.08] * 14 + [0.06] * 10), DOUBLE)
print(json.dumps([list(map(float, ride.node_speed_mps)), ride.gear.tolist(), ride.state.tolist()]))
"""


def passed(
    gear: NDArray[np.int64], before: NDArray[np.int64], trace: kernel.Trace, ride: tuple
) -> kernel.Trace:
    """The trace after one more pass over it."""
    kernel.ride_pass(gear, before, trace, *ride)
    return trace


@given(course=courses(), rider=riders(), drivetrain=drivetrains, data=st.data())
def test_a_repeat_after_some_gears_changed_is_the_ride_afresh(
    course: Course, rider: Rider, drivetrain: Drivetrain, data: st.DataObject
) -> None:
    gears = gears_of(drivetrain, Bike())
    ride = (
        road_of(course, rider, Bike(), drivetrain, Conditions()),
        body_of(course, rider, Bike(), drivetrain),
        gear_table_of(gears, rider),
    )
    first = np.sort(
        np.random.default_rng(data.draw(st.integers(0, 99))).integers(
            len(gears.ratio), size=course.intervals
        )
    )
    changed = first.copy()
    at = data.draw(st.integers(0, course.intervals - 1))
    changed[at : at + data.draw(st.integers(1, 5))] = data.draw(
        st.integers(0, len(gears.ratio) - 1)
    )
    nowhere = np.full(course.intervals, NOT_RIDDEN)
    trace = kernel.empty_trace(course.intervals, rider.reserve_j)
    again = passed(changed, first, passed(first, nowhere, trace, ride), ride)
    fresh_trace = kernel.empty_trace(course.intervals, rider.reserve_j)
    afresh = passed(changed, nowhere, fresh_trace, ride)
    assert again.speed_mps == pytest.approx(afresh.speed_mps, rel=SAME)
    assert again.duration_s == pytest.approx(afresh.duration_s, rel=SAME)
    assert again.reserve_j == pytest.approx(afresh.reserve_j, abs=SAME * rider.reserve_j)
    assert np.array_equal(again.mode, afresh.mode)
    assert np.array_equal(again.on_foot, afresh.on_foot)


@given(course=courses(), drivetrain=drivetrains)
def test_the_same_ride_twice_is_the_same_to_the_last_bit(
    course: Course, drivetrain: Drivetrain
) -> None:
    one, two = ridden(course, drivetrain), ridden(course, drivetrain)
    assert one.duration_s.tobytes() == two.duration_s.tobytes()
    assert one.node_speed_mps.tobytes() == two.node_speed_mps.tobytes()
    assert np.array_equal(one.gear, two.gear)
    assert np.array_equal(one.state, two.state)
    assert one.energy == two.energy


def test_the_gears_of_a_long_ride_settle() -> None:
    for drivetrain in (SINGLE, DOUBLE):
        ride = ridden(course_of_height(HILLS, 50_000.0), drivetrain)
        assert ride.settled
        assert ride.passes < 10


def test_compiled_and_interpreted_ride_alike() -> None:
    answers = []
    for switched_off in ("0", "1"):
        found = subprocess.run(
            [sys.executable, "-c", SHORT_RIDE],
            env={
                **os.environ,
                "NUMBA_DISABLE_JIT": switched_off,
                "PYTHONPATH": os.pathsep.join([str(ROOT), str(ROOT / "tests")]),
            },
            capture_output=True,
            text=True,
            check=True,
        )
        answers.append(json.loads(found.stdout))
    (speeds, gears, states), (slow_speeds, slow_gears, slow_states) = answers
    assert speeds == pytest.approx(slow_speeds, rel=1e-9)
    assert gears == slow_gears
    assert states == slow_states
    assert len(set(states)) >= 4
