import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.physics.braking import cornering_speed_mps, lift_grade, slip_grade


def test_cornering_speed_turns_at_the_side_acceleration_given():
    assert cornering_speed_mps(25.0, 0.4) ** 2 / 25.0 == pytest.approx(0.4 * 9.80665)


def test_a_straight_has_no_cornering_speed():
    assert cornering_speed_mps(math.inf, 0.3) == math.inf


def test_observed_riders_take_wider_bends_faster_and_none_beyond_25_kmh():
    # FHWA trail study, 85th percentile of 142 bicycles: side acceleration on each radius.  The
    # span of 15 to 25 km/h is judgement: what such riders do on a path.
    radius_m = np.array([3.1, 6.1, 9.2, 15.3, 25.4])
    kmh = 3.6 * cornering_speed_mps(radius_m, np.array([0.61, 0.52, 0.36, 0.26, 0.18]))
    assert np.all(np.diff(kmh) > 0.0)
    assert np.all((kmh > 15.0) & (kmh < 25.0))


@given(radius_m=st.floats(1.0, 1e4), wider=st.floats(0.0, 100.0), side=st.floats(0.05, 1.0))
def test_a_wider_bend_is_never_slower(radius_m, wider, side):
    assert cornering_speed_mps(radius_m + wider, side) >= cornering_speed_mps(radius_m, side)


def test_front_wheel_lifts_where_the_worked_example_says():
    # Computed: L 1.02, h 1.10, l_r 0.45 m lifts at 40.9 %.
    assert lift_grade(1.10, 0.45) == pytest.approx(0.409, abs=5e-4)


def test_rear_wheel_slips_where_the_worked_example_says():
    # Computed: the same bike slips at 24.8 % for μ 0.3.
    assert slip_grade(1.02, 1.10, 0.45, 0.3) == pytest.approx(0.248, abs=5e-4)


def test_slip_grade_is_where_grip_equals_the_weight_along_the_road():
    wheelbase, height, rear, friction = 1.05, 1.0, 0.45, 0.4
    slope = math.atan(slip_grade(wheelbase, height, rear, friction))
    rear_load = (math.cos(slope) * (wheelbase - rear) + math.sin(slope) * height) / wheelbase
    assert friction * rear_load == pytest.approx(math.sin(slope))


@given(wheelbase=st.floats(0.95, 1.2), height=st.floats(0.8, 1.3), rear=st.floats(0.3, 0.6))
def test_front_lifts_and_rear_slips_at_once_where_grip_is_the_grade_of_lifting(
    wheelbase, height, rear
):
    # Both formulas at μ = l_r/h; with less grip the rear slips first, with more the front lifts.
    lifts = lift_grade(height, rear)
    assert slip_grade(wheelbase, height, rear, rear / height) == pytest.approx(lifts)
    assert slip_grade(wheelbase, height, rear, 0.9 * rear / height) < lifts
    assert slip_grade(wheelbase, height, rear, 1.1 * rear / height) > lifts


def test_with_enough_grip_the_rear_wheel_never_slips():
    assert slip_grade(1.02, 1.10, 0.45, 0.95) == math.inf


@given(friction=st.floats(0.05, 0.9), more=st.floats(0.0, 0.5))
def test_more_grip_never_slips_on_a_gentler_grade(friction, more):
    assert slip_grade(1.02, 1.10, 0.45, friction + more) >= slip_grade(1.02, 1.10, 0.45, friction)
