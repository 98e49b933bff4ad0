"""What a repair found on a track: how much, where, and in which words it is told."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearsim.course.track import Floats, Indices, Mask


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One kind of repair: its name, how often, the sentence, and the numbers of the points."""

    what: str
    count: int
    sentence: str
    number: Indices


def counted(count: int, one: str, many: str = "") -> str:
    """`1 point`, `3 points`: a number and its noun."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def between(points: int, first: Indices, last: Indices) -> Mask:
    """True for the points from each `first` to its `last`, both included."""
    steps = np.zeros(points + 1, dtype=np.int64)
    np.add.at(steps, first, 1)
    np.add.at(steps, last + 1, -1)
    return np.cumsum(steps[:-1]) > 0


def runs(mask: Mask) -> tuple[Indices, Indices]:
    """First and last point of each unbroken run of True."""
    edges = np.diff(np.concatenate([[False], mask, [False]]).astype(np.int8))
    return np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1


def apart(first: Indices, last: Indices, wanted: Mask) -> tuple[Indices, Indices]:
    """The wanted spans from `first` to `last`, less any that starts before the one before ends."""
    kept = []
    end = -1
    for span in np.flatnonzero(wanted):
        if first[span] > end:
            kept.append(span)
            end = last[span]
    chosen = np.array(kept, dtype=np.int64)
    return first[chosen], last[chosen]


def usual_long_leg_m(leg_m: Floats) -> float:
    """The leg that nine in ten legs of the track are shorter than: how sparse its points are."""
    moving = leg_m[leg_m > 0.0]
    return float(np.percentile(moving, 90.0)) if len(moving) else 0.0
