import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numba import njit

from gearsim.physics.gearing import cadence_rpm, development_m, gear_inches, speed_mps
from gearsim.physics.wheel import wheel_circumference_m

WHEEL_M = wheel_circumference_m(0.622, 0.040)


@pytest.mark.parametrize(
    ("front", "rear", "metres", "inches"),
    [(40, 11, 8.0196, 100.50), (40, 42, 2.1004, 26.32), (46, 11, 9.2226, 115.58)],
)
def test_development_and_gear_inches_on_a_40_622_wheel(front, rear, metres, inches):
    # Computed, to the printed digits.
    assert development_m(front / rear, WHEEL_M) == pytest.approx(metres, abs=5e-5)
    assert gear_inches(front / rear, WHEEL_M) == pytest.approx(inches, abs=5e-3)


@pytest.mark.parametrize(("front", "rear", "kmh"), [(40, 11, 43.306), (40, 42, 11.342)])
def test_speed_at_90_rpm_on_a_40_622_wheel(front, rear, kmh):
    # Computed, to the printed digits.
    speed = speed_mps(90.0, development_m(front / rear, WHEEL_M))
    assert speed * 3.6 == pytest.approx(kmh, abs=5e-4)


def test_a_directly_driven_wheel_measures_its_own_diameter():
    assert gear_inches(1.0, np.pi * 26 * 0.0254) == pytest.approx(26.0)


@given(cadence=st.floats(1.0, 200.0), development=st.floats(0.5, 15.0))
def test_cadence_is_what_gives_the_speed(cadence, development):
    assert cadence_rpm(speed_mps(cadence, development), development) == pytest.approx(cadence)


def test_compiled_cadence_is_the_interpreted_one():
    assert njit(cadence_rpm)(8.3, 5.1) == cadence_rpm(8.3, 5.1)
