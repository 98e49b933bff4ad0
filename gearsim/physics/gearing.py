"""Gears: from teeth and wheels to metres, inches, speed and cadence."""

from __future__ import annotations

import math

from gearsim.physics.number import Number
from gearsim.units import METRES_PER_INCH, SECONDS_PER_MINUTE


def development_m(ratio: Number, wheel_circumference_m: Number) -> Number:
    """Metres travelled per turn of the crank: ratio (front/rear teeth) × circumference."""
    return ratio * wheel_circumference_m


def gear_inches(ratio: Number, wheel_circumference_m: Number) -> Number:
    """Diameter in inches of the directly driven wheel that goes as far: ratio × diameter."""
    return development_m(ratio, wheel_circumference_m) / (math.pi * METRES_PER_INCH)


def speed_mps(cadence_rpm: Number, development_m: Number) -> Number:
    """Speed at a cadence in a gear, m/s."""
    return cadence_rpm / SECONDS_PER_MINUTE * development_m


def cadence_rpm(speed_mps: Number, development_m: Number) -> Number:
    """Cadence at a speed in a gear of development above 0, rpm.  Compiles from scalars."""
    return speed_mps / development_m * SECONDS_PER_MINUTE
