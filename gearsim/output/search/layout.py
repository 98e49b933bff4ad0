"""Where ranks, names and the corners of the front stand in the picture of a search."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

PLOT_HIGH_IN = 4.6
ROW_IN, LEAST_ROW_IN = 0.5, 0.33
RANK_IN, RANK_HIGH_IN = 0.085, 0.13  # width of a digit of a rank beside its mark, and its height
AWAY_IN = 0.125  # of a rank from its mark

Floats = NDArray[np.float64]
Spot = tuple[float, float]  # inches across and down from the plot's upper left corner


def lower_left(points: Floats) -> Floats:
    """The corners (k, 2) of the points that none lies both left of and below, from the left."""
    order = np.lexsort((points[:, 1], points[:, 0]))
    kept: list[int] = []
    for row in order:
        if not kept or points[row, 1] < points[kept[-1], 1]:
            kept.append(int(row))
    return points[kept]


def rank_spots(
    marks_in: Sequence[Spot], words: Sequence[str], others_in: Sequence[Spot] = ()
) -> list[Spot]:
    """Where ranks stand beside their marks: on the side that is freest of marks and ranks.

    `others_in` are marks without a rank.
    """
    spots: list[Spot] = []
    for (across, down), word in zip(marks_in, words, strict=True):
        away = AWAY_IN + 0.5 * RANK_IN * (len(word) - 1)
        around = [(-away, 0), (0, AWAY_IN), (away, 0), (0, -AWAY_IN)]
        around += [(x * away, y * AWAY_IN) for x in (-0.8, 0.8) for y in (0.8, -0.8)]
        taken = [each for each in (*marks_in, *others_in, *spots) if each != (across, down)]
        tried = [(across + right, down + below) for right, below in around]
        spots.append(max(tried, key=lambda spot: min(_room(spot, taken), 1.0)))
    return spots


def _room(spot: Spot, taken: Sequence[Spot]) -> float:
    """How far a spot is from the nearest place taken, in heights of a rank; 1: far enough."""
    return min(
        (
            max(abs(spot[0] - across) / (2.5 * RANK_IN), abs(spot[1] - down) / RANK_HIGH_IN)
            for across, down in taken
        ),
        default=1.0,
    )


def rows_in(wanted_in: Sequence[float]) -> list[float]:
    """Where rows stand, from the top: near where they are wanted, in order, none on another."""
    count = len(wanted_in)
    pitch = min(ROW_IN, max(LEAST_ROW_IN, PLOT_HIGH_IN / count))
    placed: list[float] = []
    for wanted in wanted_in:
        placed.append(max(wanted, placed[-1] + pitch) if placed else max(wanted, pitch / 2.0))
    lowest = max(PLOT_HIGH_IN - pitch / 2.0, pitch * (count - 0.5))
    for number in range(count - 1, -1, -1):
        placed[number] = min(placed[number], lowest)
        lowest = placed[number] - pitch
    return placed
