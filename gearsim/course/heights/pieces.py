"""Recorded points cut into pieces that are smoothed each as one: not across gaps, not too long."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gearsim.course.heights.filter import NODE_STEP_M, Recorded, Stretches, record
from gearsim.course.track import Floats, Indices, Mask

WIDEST_GAP_M = 60.0
"""Points farther apart say nothing of the road between them: it is taken as straight there."""

_FEWEST_POINTS = 8
_SHORTEST_M = 100.0
_POINT_EVERY_M = 4.0  # points closer together share their errors and count for less
_SAMPLE_M, _SAMPLE_PIECE_M, _MOST_SAMPLES = 12_000.0, 3_000.0, 40
_LONGEST_M, _OVERLAP_M = 60_000.0, 2_000.0
_MOST_NODES = 8_000  # that many fit a core's cache


@dataclass(frozen=True, kw_only=True)
class Pieces:
    """Pieces of a route: points `first` to before `end`, kept from `from_m` to `to_m`."""

    first: Indices
    end: Indices
    from_m: Floats
    to_m: Floats

    def __len__(self) -> int:
        """Number of pieces."""
        return len(self.first)

    def at(self, index: Indices | Mask | slice) -> Pieces:
        """These pieces only."""
        return Pieces(
            first=self.first[index],
            end=self.end[index],
            from_m=self.from_m[index],
            to_m=self.to_m[index],
        )


def stretches_of_points(distance_m: Floats, widest_gap_m: float) -> Pieces:
    """The stretches dense and long enough to be smoothed, each as one piece."""
    wide = np.flatnonzero(np.diff(distance_m) > widest_gap_m)
    first = np.concatenate([[0], wide + 1])
    end = np.concatenate([wide + 1, [len(distance_m)]])
    from_m, to_m = distance_m[first], distance_m[end - 1]
    enough = (end - first >= _FEWEST_POINTS) & (to_m - from_m >= _SHORTEST_M)
    return Pieces(first=first, end=end, from_m=from_m, to_m=to_m).at(enough)


def working_pieces(distance_m: Floats, stretches: Pieces) -> Iterator[Pieces]:
    """All of `stretches` in pieces of bounded length, in groups of bounded size.

    Pieces of one stretch overlap, so that where they meet they agree.
    """
    pieces = _cut(distance_m, stretches, _LONGEST_M, _OVERLAP_M)
    nodes = np.cumsum((distance_m[pieces.end - 1] - distance_m[pieces.first]) / NODE_STEP_M + 4.0)
    group = (nodes / _MOST_NODES).astype(np.int64)
    bounds = np.flatnonzero(np.diff(group)) + 1
    for start, end in zip([0, *bounds], [*bounds, len(pieces)], strict=True):
        yield pieces.at(slice(start, end))


def sample_pieces(distance_m: Floats, stretches: Pieces) -> Pieces:
    """Pieces from all over the route, together up to 12 km or a little more, to choose by."""
    pieces = _cut(distance_m, stretches, _SAMPLE_PIECE_M, 0.0)
    length_m = pieces.to_m - pieces.from_m
    pieces = pieces.at(length_m >= 0.5 * length_m.max())
    wanted = min(len(pieces), _MOST_SAMPLES, int(np.ceil(_SAMPLE_M / length_m.max())))
    return pieces.at(np.linspace(0, len(pieces) - 1, wanted).round().astype(np.int64))


def _cut(distance_m: Floats, stretches: Pieces, longest_m: float, overlap_m: float) -> Pieces:
    length_m = stretches.to_m - stretches.from_m
    count = np.maximum(np.ceil(length_m / longest_m), 1.0).astype(np.int64)
    whole = np.repeat(np.arange(len(stretches)), count)
    nth = np.arange(len(whole)) - np.repeat(np.cumsum(count) - count, count)
    each_m = length_m[whole] / count[whole]
    from_m = stretches.from_m[whole] + nth * each_m
    to_m = np.where(nth + 1 == count[whole], stretches.to_m[whole], from_m + each_m)
    first = np.searchsorted(distance_m, from_m - overlap_m, "left")
    end = np.searchsorted(distance_m, to_m + overlap_m, "right")
    return Pieces(
        first=np.maximum(first, stretches.first[whole]),
        end=np.minimum(end, stretches.end[whole]),
        from_m=from_m,
        to_m=to_m,
    )


def record_pieces(distance_m: Floats, height_m: Floats, pieces: Pieces) -> Recorded:
    """The banded system of the points of `pieces`, one stretch of it a piece."""
    piece, index = members(pieces.first, pieces.end)
    start_m = np.minimum(pieces.from_m, distance_m[pieces.first])
    end_m = np.maximum(pieces.to_m, distance_m[pieces.end - 1])
    before = distance_m[np.maximum(index - 1, 0)]
    after = distance_m[np.minimum(index + 1, len(distance_m) - 1)]
    return record(
        Stretches.between(start_m, end_m),
        piece,
        distance_m[index],
        height_m[index],
        np.minimum(1.0, 0.5 * (after - before) / _POINT_EVERY_M),
    )


def members(first: Indices, end: Indices) -> tuple[Indices, Indices]:
    """The members of ranges `first` to before `end`, and which range each is of."""
    sizes = end - first
    of = np.repeat(np.arange(len(sizes)), sizes)
    return of, np.arange(len(of)) + np.repeat(end - np.cumsum(sizes), sizes)


def points_between(points: int, stretches: Pieces) -> Mask:
    """Which of all points are on one of `stretches`."""
    on = np.zeros(points, dtype=bool)
    on[members(stretches.first, stretches.end)[1]] = True
    return on
