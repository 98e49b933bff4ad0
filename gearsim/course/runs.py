"""Runs of points: where a mask holds, from the first point of each run to its last."""

from __future__ import annotations

import numpy as np

from gearsim.course.track import Indices, Mask


def runs(mask: Mask) -> tuple[Indices, Indices]:
    """First and last point of each unbroken run of True."""
    edges = np.diff(np.concatenate([[False], mask, [False]]).astype(np.int8))
    return np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1


def between(points: int, first: Indices, last: Indices) -> Mask:
    """True for the points from each `first` to its `last`, both included."""
    steps = np.zeros(points + 1, dtype=np.int64)
    np.add.at(steps, first, 1)
    np.add.at(steps, last + 1, -1)
    return np.cumsum(steps[:-1]) > 0


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
