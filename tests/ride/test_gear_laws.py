"""What a lower lowest and a higher highest gear do, whoever rides and wherever.

The law of the lowest gear holds in metres, and in what the seconds count.  In bare seconds it need
not: who has a lower lowest gear rides the same metres below it at a lower speed, with less effort,
for longer.

All laws hold to one interval: states are told by whole intervals, and other shifts ahead of a wall
carry a little more or less speed into it (seen once in 3000 rides).
"""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_rides import courses, in_states, metres_in, ridden, rolling_courses, seconds_in

from gearsim.course.course import Course, course_from_grades
from gearsim.ride.ride import Ride
from gearsim.ride.score import Weights, score, weight_of
from gearsim.ride.states import State
from gearsim.setup.drivetrain import Drivetrain

TROUBLE = (State.BELOW_LOWEST_GEAR, State.WALKING)
FAST: dict[str, Any] = {"stop_pedalling_mps": 30.0, "descending_mps": 30.0}

Pair = tuple[Drivetrain, Drivetrain]


@st.composite
def lower_lowest(draw: st.DrawFn) -> Pair:
    """A drivetrain and one with a larger largest sprocket, or a lower lowest ratio."""
    kind = draw(st.sampled_from(["single", "double", "hub"]))
    if kind == "hub":
        low = draw(st.floats(0.5, 1.5))
        lower = low * draw(st.floats(0.5, 0.98))
        return hub(3.0, 2.0, 1.6, low), hub(3.0, 2.0, 1.6, lower)
    teeth = draw(st.integers(29, 44))
    larger = draw(st.integers(teeth + 1, 52))
    rings = (40,) if kind == "single" else (46, 30)
    return chained(rings, teeth), chained(rings, larger)


def hub(*ratios: float) -> Drivetrain:
    return Drivetrain(ratios=ratios)


def chained(rings: tuple[int, ...], largest: int) -> Drivetrain:
    return Drivetrain(chainrings=rings, sprockets=(11, 13, 15, 17, 19, 22, 25, 28, largest))


def both(course: Course, pair: Pair, **rider: Any) -> tuple[Ride, Ride]:
    """Both drivetrains of the pair on one course."""
    return ridden(course, pair[0], **rider), ridden(course, pair[1], **rider)


def counted_s(ride: Ride, *states: State) -> float:
    """What the time in the states counts in the mismatch, s."""
    return float((weight_of(ride, Weights()) * ride.duration_s)[in_states(ride, *states)].sum())


def one_interval_m(ride: Ride) -> float:
    """Length of the steepest interval, m."""
    return float(ride.course.road_length_m.max())


def one_interval_s(ride: Ride, *states: State) -> float:
    """Time for the slowest interval in the states, s; 0 where there is none."""
    return float(ride.duration_s[in_states(ride, *states)].max(initial=0.0))


@given(
    course=courses(20),
    pair=lower_lowest(),
    power_w=st.floats(80.0, 320.0),
    reserve_j=st.sampled_from([0.0, 3000.0, 18_000.0]),
)
def test_a_lower_lowest_gear_never_adds_metres_below_it_or_on_foot(
    course: Course, pair: Pair, power_w: float, reserve_j: float
) -> None:
    high, low = both(course, pair, power_w=power_w, reserve_j=reserve_j)
    assert metres_in(low, *TROUBLE) <= metres_in(high, *TROUBLE) + one_interval_m(high)
    assert metres_in(low, State.WALKING) <= metres_in(high, State.WALKING) + one_interval_m(high)


@given(
    course=courses(20),
    pair=lower_lowest(),
    power_w=st.floats(80.0, 320.0),
    reserve_j=st.sampled_from([0.0, 3000.0, 18_000.0]),
)
def test_a_lower_lowest_gear_never_counts_more_below_it_or_on_foot(
    course: Course, pair: Pair, power_w: float, reserve_j: float
) -> None:
    high, low = both(course, pair, power_w=power_w, reserve_j=reserve_j)
    spare_s = Weights().walking * one_interval_s(low, *TROUBLE)
    assert counted_s(low, *TROUBLE) <= counted_s(high, *TROUBLE) + spare_s


def test_on_a_wall_too_steep_for_both_the_lower_gear_ranks_better() -> None:
    course = course_from_grades([0.0] * 100 + [0.14] * 40)
    high, low = both(course, (chained((40,), 29), chained((40,), 32)))
    assert seconds_in(low, *TROUBLE) > seconds_in(high, *TROUBLE)
    assert score(low).mismatch < score(high).mismatch


@given(
    course=courses(20),
    pair=lower_lowest(),
    power_w=st.floats(80.0, 320.0),
    reserve_j=st.sampled_from([0.0, 3000.0, 18_000.0]),
)
def test_a_lower_lowest_gear_never_adds_time_on_foot(
    course: Course, pair: Pair, power_w: float, reserve_j: float
) -> None:
    high, low = both(course, pair, power_w=power_w, reserve_j=reserve_j)
    spare_s = one_interval_s(low, State.WALKING)
    assert seconds_in(low, State.WALKING) <= seconds_in(high, State.WALKING) + spare_s


@given(course=courses(20), pair=lower_lowest(), power_w=st.floats(80.0, 320.0))
def test_to_who_cannot_push_harder_a_lower_lowest_gear_never_adds_time_below_it_or_on_foot(
    course: Course, pair: Pair, power_w: float
) -> None:
    # Without reserve, and with the riding power at critical power, below means on foot.
    spent = {"critical_power_w": power_w, "uphill_factor": 1.0, "reserve_j": 0.0}
    high, low = both(course, pair, power_w=power_w, **spent)
    spare_s = one_interval_s(low, *TROUBLE)
    assert seconds_in(low, *TROUBLE) <= seconds_in(high, *TROUBLE) + spare_s


def test_where_both_are_below_the_lowest_gear_the_lower_takes_longer_and_less_effort() -> None:
    course = course_from_grades([0.0] * 100 + [0.14] * 40 + [0.0] * 60)
    high, low = both(course, (chained((40,), 29), chained((40,), 32)))
    below = State.BELOW_LOWEST_GEAR
    assert metres_in(low, below) == pytest.approx(metres_in(high, below), abs=20.0)
    assert seconds_in(low, below) > 1.05 * seconds_in(high, below)
    assert low.reserve_j.min() > high.reserve_j.min() + 1000.0


@given(
    course=rolling_courses(0.08),
    teeth=st.integers(10, 14),
    smaller=st.integers(1, 2),
    power_w=st.floats(80.0, 320.0),
)
def test_a_higher_highest_gear_never_adds_time_spun_out(
    course: Course, teeth: int, smaller: int, power_w: float
) -> None:
    low, high = (
        ridden(
            course,
            Drivetrain(chainrings=(34,), sprockets=(smallest, 17, 19, 22, 25, 28, 34)),
            power_w=power_w,
            **FAST,
        )
        for smallest in (teeth, teeth - smaller)
    )
    assert_no_more_spun_out(high, low)


@given(course=rolling_courses(0.08), factor=st.floats(1.02, 1.6))
def test_a_higher_highest_ratio_never_adds_time_spun_out(course: Course, factor: float) -> None:
    low, high = (
        ridden(course, hub(2.2 * size, 1.7, 1.3, 1.0, 0.7), **FAST) for size in (1.0, factor)
    )
    assert_no_more_spun_out(high, low)


def assert_no_more_spun_out(high: Ride, low: Ride) -> None:
    spare_s, spare_m = one_interval_s(high, State.SPUN_OUT), one_interval_m(high)
    assert seconds_in(high, State.SPUN_OUT) <= seconds_in(low, State.SPUN_OUT) + spare_s
    assert metres_in(high, State.SPUN_OUT) <= metres_in(low, State.SPUN_OUT) + spare_m


def test_a_gear_more_in_the_middle_brings_the_legs_nearer_the_target() -> None:
    course = course_from_grades(0.06 * np.sin(np.arange(1000) / 30.0))
    wide = Drivetrain(chainrings=(40,), sprockets=(11, 19, 32))
    close = replace(wide, sprockets=(11, 15, 19, 25, 32))
    few, many = ridden(course, wide), ridden(course, close)
    assert seconds_in(many, State.ON_TARGET) > seconds_in(few, State.ON_TARGET)
