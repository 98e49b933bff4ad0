"""Bounds from grip and balance: speed in bends, and the grades that tip or slip a bike."""

from __future__ import annotations

import numpy as np

from gearsim.physics.number import Number
from gearsim.units import GRAVITY_MPS2


def cornering_speed_mps(bend_radius_m: Number, side_acceleration_g: Number) -> Number:
    """Speed in a level bend at a side acceleration, m/s: √(a·g·r); inf where straight."""
    return (side_acceleration_g * GRAVITY_MPS2 * bend_radius_m) ** 0.5


def lift_grade(height_m: Number, rear_distance_m: Number) -> Number:
    """Grade above which the front wheel lifts at steady speed: tan θ = l_r/h.

    `height_m` is the centre of mass above the road, `rear_distance_m` its distance ahead of the
    rear axle along the road, both in m.
    """
    return rear_distance_m / height_m


def slip_grade(
    wheelbase_m: Number, height_m: Number, rear_distance_m: Number, friction: Number
) -> Number:
    """Grade above which the driven rear wheel slips: tan θ = μ(L - l_r)/(L - μh).

    Lengths as in `lift_grade`, `friction` is μ of tyre on ground.  Where μ is above l_r/h the front
    wheel lifts first, and from μ = L/h on the rear never slips: inf.
    """
    span = np.asarray(wheelbase_m - friction * height_m)
    slips = span > 0.0
    load = friction * (wheelbase_m - rear_distance_m)
    grade: Number = np.where(slips, load / np.where(slips, span, 1.0), np.inf)[()]
    return grade
