"""Riding in a group, at a pace that somebody else sets: how far off its gears leave the legs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearsim.setup.checked import require_increasing
from gearsim.setup.gears import Gears
from gearsim.units import MPS_PER_KMH, SECONDS_PER_MINUTE

Floats = NDArray[np.float64]

PACES_MPS = (28.0 * MPS_PER_KMH, 38.0 * MPS_PER_KMH)
"""Paces of a group on the flat, each as likely as any other between them (judgement, no source)."""


@dataclass(frozen=True, kw_only=True)
class GroupRiding:
    """How far the nearest gear leaves the rider from the target cadence, over a span of paces.

    All paces of the span are equally likely, and the rider stays on the one `chainring` (counted
    from 0, the largest first) that suits them best, for nobody shifts both ends to keep a wheel.
    `development_m` are the gears used there, highest first, and `change_mps` (one fewer) the paces
    at which the rider changes from each to the next.  `largest_change_rpm` is by how much a change
    makes the legs faster or slower at most; 0 where one gear serves all paces.
    """

    paces_mps: tuple[float, float]
    target_rpm: float
    chainring: int
    mean_off_rpm: float
    worst_off_rpm: float
    largest_change_rpm: float
    development_m: Floats
    change_mps: Floats

    def cadence_rpm(self, pace_mps: Floats) -> Floats:
        """Cadence in the nearest gear at each pace, rpm; at a change that of the lower gear."""
        used = len(self.change_mps) - np.searchsorted(self.change_mps[::-1], pace_mps)
        return np.asarray(SECONDS_PER_MINUTE * pace_mps / self.development_m[used])


def group_riding(
    gears: Gears, target_rpm: float, paces_mps: tuple[float, float] = PACES_MPS
) -> GroupRiding:
    """The gears held against a group's paces, on the chainring with the least mean.

    Exact: the cadence is linear in the pace between two changes, and a change comes where the
    gears on both sides are as far off.  Raises `PlanError` for a span of paces that is none.
    """
    require_increasing("paces of the group", "0 < slowest < fastest", (0.0, *paces_mps))
    rings = range(int(gears.ring.max()) + 1)
    found = [_on_ring(gears, ring, target_rpm, paces_mps) for ring in rings]
    return min(found, key=lambda each: each.mean_off_rpm)


def _on_ring(
    gears: Gears, ring: int, target_rpm: float, paces_mps: tuple[float, float]
) -> GroupRiding:
    development_m = gears.development_m[gears.ring == ring]
    turn_m = target_rpm / SECONDS_PER_MINUTE * development_m  # pace of each gear at the target
    border_mps = 2.0 / (1.0 / turn_m[:-1] + 1.0 / turn_m[1:])
    fastest_mps = np.concatenate([[np.inf], border_mps]).clip(*paces_mps)
    slowest_mps = np.concatenate([border_mps, [0.0]]).clip(*paces_mps)
    used = fastest_mps > slowest_mps
    development_m, turn_m = development_m[used], turn_m[used]
    over = target_rpm * (fastest_mps[used] / turn_m - 1.0)  # rpm off where each gear is left
    under = target_rpm * (slowest_mps[used] / turn_m - 1.0)
    # The mean of |x| from a to b is (b|b| - a|a|)/(2 (b - a)); here weighted by the paces' span.
    areas = 0.5 * turn_m / target_rpm * (over * np.abs(over) - under * np.abs(under))
    changes = over[1:] - under[:-1]
    return GroupRiding(
        paces_mps=paces_mps,
        target_rpm=target_rpm,
        chainring=ring,
        mean_off_rpm=float(areas.sum() / (paces_mps[1] - paces_mps[0])),
        worst_off_rpm=float(max(np.abs(over).max(), np.abs(under).max())),
        largest_change_rpm=float(changes.max(initial=0.0)),
        development_m=development_m,
        change_mps=fastest_mps[used][1:],
    )
