"""How a drivetrain's gears lie: their range, the steps between them, the speeds they reach."""

from __future__ import annotations

import numpy as np

from gearsim.physics.gearing import speed_mps
from gearsim.setup.gears import Floats, Gears

SAME_GEAR_PERCENT = 5.0
"""Gears closer than this feel like one: about 4 rpm at 85 rpm (judgement, no source)."""


def steps_percent(gears: Gears) -> Floats:
    """Steps between neighbouring gears on one chainring (or of one hub), %, highest gear first.

    A step is how much faster the legs turn after a shift to the next lower gear at one speed:
    100·(higher ratio / lower ratio - 1).  Empty for a single gear.
    """
    steps = step_below_percent(gears)
    return steps[~np.isnan(steps)]


def step_below_percent(gears: Gears) -> Floats:
    """Each gear's step to the next lower one on its chainring, %; NaN for the ring's lowest."""
    steps = np.full(len(gears.ratio), np.nan)
    same_ring = gears.ring[1:] == gears.ring[:-1]
    steps[:-1][same_ring] = (100.0 * (gears.ratio[:-1] / gears.ratio[1:] - 1.0))[same_ring]
    return steps


def range_percent(gears: Gears) -> float:
    """Range of the gears: 100·(highest ratio / lowest ratio), %; 100 for a single gear."""
    return float(100.0 * (gears.ratio.max() / gears.ratio.min()))


def distinct_ratios(gears: Gears, tolerance_percent: float = SAME_GEAR_PERCENT) -> int:
    """How many gears are left when those within the tolerance of a higher one count once."""
    return len(same_gears(gears, tolerance_percent))


def same_gears(
    gears: Gears, tolerance_percent: float = SAME_GEAR_PERCENT
) -> tuple[tuple[int, ...], ...]:
    """The gears by index, those that count as one together, from the highest down.

    Counted from the highest down: a gear is a new one when it lies `tolerance_percent` or more
    under the last new one, measured as in `steps_percent`.
    """
    groups: list[list[int]] = []
    for gear in np.argsort(-gears.ratio, kind="stable").tolist():
        if groups and not apart(gears, groups[-1][0], gear, tolerance_percent):
            groups[-1].append(gear)
        else:
            groups.append([gear])
    return tuple(tuple(group) for group in groups)


def ring_by_ring_ratios(gears: Gears, tolerance_percent: float = SAME_GEAR_PERCENT) -> int:
    """How many distinct ratios a rider gets who uses each chainring in one stretch.

    The longest way from higher to lower gears, each `tolerance_percent` or more under the last,
    that leaves a chainring only for a smaller one and never comes back to it.
    """
    longest: list[int] = []
    for gear in range(len(gears.ratio)):  # ring by ring, each from the highest down
        before = (longest[b] for b in range(gear) if apart(gears, b, gear, tolerance_percent))
        longest.append(1 + max(before, default=0))
    return max(longest)


def apart(gears: Gears, higher: int, lower: int, tolerance_percent: float) -> bool:
    """Whether the first gear is higher than the second by the tolerance or more."""
    return bool(gears.ratio[higher] / gears.ratio[lower] >= 1.0 + tolerance_percent / 100.0)


def gear_speed_mps(gears: Gears, gear: int, cadence_rpm: float) -> float:
    """Speed on the road in a gear at a cadence, m/s."""
    return float(speed_mps(cadence_rpm, gears.development_m[gear]))
