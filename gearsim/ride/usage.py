"""How a ride uses cadence and gears, in additive amounts: seconds and metres."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from gearsim.ride.ride import Ride
from gearsim.ride.states import STATES, State
from gearsim.setup.rider import Rider

Floats = NDArray[np.float64]

WIDEST_CLASS_RPM = 8.0
ROUNDING_RPM = 1e-6  # a cadence held at a limit may lie a hair beyond it


@dataclass(frozen=True, kw_only=True)
class Usage:
    """Where the time went: `cadence_s`, `freewheeling_s` and `on_foot_s` add up to the ride.

    `cadence_edges_rpm` (k, rising) parts the classes of `cadence_s` (k + 1): the first is below the
    first edge, the last above the last.  `gear_s` and `gear_m` have one entry a gear: the time that
    the rider pedals in it, and the road covered meanwhile.
    """

    cadence_edges_rpm: Floats
    cadence_s: Floats
    freewheeling_s: float
    on_foot_s: float
    gear_s: Floats
    gear_m: Floats

    @property
    def pedalling_s(self) -> float:
        """Time with power on the pedals, s."""
        return float(self.cadence_s.sum())


def usage(ride: Ride) -> Usage:
    """Seconds in each class of cadence, and seconds and metres in each gear."""
    pedalling = ride.cadence_rpm > 0.0
    on_foot = ~pedalling & (ride.state == STATES.index(State.WALKING))
    edges = cadence_edges_rpm(ride.rider)
    gears = len(ride.gears.ratio)
    used, seconds = ride.gear[pedalling], ride.duration_s[pedalling]
    return Usage(
        cadence_edges_rpm=edges,
        cadence_s=_sums(_class_of(ride.cadence_rpm[pedalling], edges), seconds, len(edges) + 1),
        freewheeling_s=float(ride.duration_s[~pedalling & ~on_foot].sum()),
        on_foot_s=float(ride.duration_s[on_foot].sum()),
        gear_s=_sums(used, seconds, gears),
        gear_m=_sums(used, ride.course.road_length_m[pedalling], gears),
    )


def cadence_edges_rpm(rider: Rider) -> Floats:
    """Edges of cadence classes, whole rpm, among them (rounded) the limits and the band's ends.

    Between those the classes are equally wide, at most 8 rpm or so.
    """
    marks = [rider.limits_rpm[0], *rider.band_rpm, rider.limits_rpm[1]]
    parts = [
        np.linspace(low, high, math.ceil((high - low) / WIDEST_CLASS_RPM) + 1)
        for low, high in pairwise(marks)
    ]
    return np.unique(np.rint(np.concatenate(parts)))


def _class_of(cadence_rpm: Floats, edges_rpm: Floats) -> NDArray[np.int64]:
    found = np.searchsorted(edges_rpm, cadence_rpm, side="right")
    at_top = np.abs(cadence_rpm - edges_rpm[-1]) <= ROUNDING_RPM
    return np.where(at_top, len(edges_rpm) - 1, found).astype(np.int64)


def _sums(of: NDArray[np.int64], amounts: Floats, kinds: int) -> Floats:
    """The amounts of each kind added up, (kinds)."""
    return np.asarray(np.bincount(of, weights=amounts, minlength=kinds), dtype=np.float64)
