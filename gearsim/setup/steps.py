"""How a drivetrain's gears lie: their range, the steps between them, the speeds they reach."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearsim.setup.gears import Gears
from gearsim.units import SECONDS_PER_MINUTE

SAME_GEAR_PERCENT = 5.0
"""Gears closer than this feel like one: about 4 rpm at 85 rpm (judgement, no source)."""

Floats = NDArray[np.float64]


def steps_percent(gears: Gears) -> Floats:
    """Steps between neighbouring gears on one chainring (or of one hub), %, highest gear first.

    A step is how much faster the legs turn after a shift to the next lower gear at one speed:
    100·(higher ratio / lower ratio - 1).  Empty for a single gear.
    """
    same_ring = gears.ring[1:] == gears.ring[:-1]
    steps = 100.0 * (gears.ratio[:-1] / gears.ratio[1:] - 1.0)
    return np.asarray(steps[same_ring], dtype=float)


def range_percent(gears: Gears) -> float:
    """Range of the gears: 100·(highest ratio / lowest ratio), %; 100 for a single gear."""
    return float(100.0 * (gears.ratio.max() / gears.ratio.min()))


def distinct_ratios(gears: Gears, tolerance_percent: float = SAME_GEAR_PERCENT) -> int:
    """How many gears are left when those within the tolerance of a higher one count once.

    Counted from the highest down: a gear is a new one when it lies `tolerance_percent` or more
    under the last one counted, measured as in `steps_percent`.
    """
    largest_same = 1.0 + tolerance_percent / 100.0
    count, counted = 0, np.inf
    for ratio in np.sort(gears.ratio)[::-1]:
        if counted / ratio >= largest_same:
            count, counted = count + 1, ratio
    return count


def gear_speed_mps(gears: Gears, gear: int, cadence_rpm: float) -> float:
    """Speed on the road in a gear at a cadence, m/s: development × turns a second."""
    return float(gears.development_m[gear] * cadence_rpm / SECONDS_PER_MINUTE)
