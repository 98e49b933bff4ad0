"""On foot: how fast, and at what cost."""

from __future__ import annotations

import numpy as np

from gearsim.physics.number import Number
from gearsim.units import MPS_PER_KMH

STEEPEST_MEASURED_GRADE = 0.45


def tobler_speed_mps(grade: Number) -> Number:
    """Walking speed on a path, m/s: 6·exp(-3.5·|S + 0.05|) km/h, S the grade as a fraction.

    Fastest at 5 % downhill.  Tobler W (1993), Three presentations on geographical analysis and
    modeling, NCGIA report 93-1: a fit to marching times, for a walker without a load.  Compiles.
    """
    speed: Number = 6.0 * MPS_PER_KMH * np.exp(-3.5 * np.abs(grade + 0.05))
    return speed


def minetti_cost_j_per_kg_m(grade: Number) -> Number:
    """Metabolic cost of walking, J per kg of walker and m of road, at its cheapest speed.

    C = 280.5i⁵ - 58.7i⁴ - 76.8i³ + 51.9i² + 19.6i + 2.5, i the grade as a fraction.  Measured for
    |i| ≤ 0.45; NaN beyond, where the polynomial is no guide.  Minetti AE et al. (2002), J Appl
    Physiol 93:1039-1046.
    """
    cost = np.polyval((280.5, -58.7, -76.8, 51.9, 19.6, 2.5), grade)
    measured = np.abs(grade) <= STEEPEST_MEASURED_GRADE
    known: Number = np.where(measured, cost, np.nan)[()]
    return known
