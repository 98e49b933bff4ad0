"""What the rider wants: power by grade, and the speeds that the rider dares."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.physics.braking import cornering_speed_mps
from gearsim.ride.legs import legs_of
from gearsim.setup.conditions import Conditions
from gearsim.setup.rider import Rider

Floats = NDArray[np.float64]


def pace_factor(rider: Rider, grade: Floats) -> Floats:
    """Power wanted on each grade over that on the flat.

    The uphill or downhill factor from the grade of full effect on, and in proportion below it.
    """
    effect = np.clip(grade / rider.full_effect_grade, -1.0, 1.0)
    uphill = (rider.uphill_factor - 1.0) * np.maximum(effect, 0.0)
    downhill = (1.0 - rider.downhill_factor) * np.minimum(effect, 0.0)
    return np.asarray(1.0 + uphill + downhill, dtype=np.float64)


def wanted_power_w(rider: Rider, grade: Floats) -> Floats:
    """Power wanted on each grade, W: the rider's power on the flat, times the pace's factor."""
    return rider.power_w * pace_factor(rider, grade)


def dared_speed_mps(rider: Rider, course: Course, conditions: Conditions) -> Floats:
    """Speed bound at each node from descending and cornering, m/s, (n + 1).

    A bend is taken at the rider's share of the side acceleration that the surface holds, the worse
    one where it changes; a stop is reached at the slowest riding speed.  Braking ahead of them is
    not in here: the kernel lowers the bounds for that.
    """
    wet = conditions.wet
    grip = np.array([s.side_grip * (s.wet_grip_factor if wet else 1.0) for s in course.surfaces])
    grip_g = rider.cornering * grip[course.surface_index]
    worse_g = np.empty(course.intervals + 1)
    worse_g[0], worse_g[-1] = grip_g[0], grip_g[-1]
    np.minimum(grip_g[:-1], grip_g[1:], out=worse_g[1:-1])
    bend: Floats = np.asarray(cornering_speed_mps(course.bend_radius_m, worse_g))
    for leg in legs_of(course)[1:]:
        bend[leg.first] = 0.0
    dared: Floats = np.clip(bend, rider.slowest_riding_mps, rider.descending_mps)
    return dared
