"""Heights of an altimeter with a dead band: they stand still until the road has moved by so much.

Such an instrument holds what it shows until the height has changed by more than its band; then it
goes over to the new height, at once or by equal parts over a few points.  Its level stretches and
its ramps are no road's.  What it knows is the height where it begins to move: there the road has
just come to what is shown at the ramp's end.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearsim.course.heights.pieces import members
from gearsim.course.track import Floats, Indices

FARTHEST_KNOWN_M = 1_000.0
"""Known heights farther apart say too little of the road between: it is taken as straight there.
Judgement, no source: with no such bound a gentle made road (grade s.d. 1 %) comes out worse, by
0.79 instead of 0.72 % RMS, and those with s.d. 2 % and more the same."""

_FEWEST_MOVES = 20  # fewer, of sizes drawn at random, look alike too often
_SMALLEST_BAND_M = 0.5
_LEAST_STANDING = 0.3  # of the points; where fewer stand, the road outruns the band
_ALIKE = 1.25  # smallest quarter of the moves: an instrument's differ by 1.2 at most, a road's by 3
_UNEVEN = 1.9  # longer quarter to shorter, move to move: cells of 15 to 45 m less, hills 2.1 up
_FEW_STEPS, _ON_STEP, _ALMOST_ALL = 3.5, 0.03, 0.98  # 0.48 m written as 0.48 and 0.49 is a step


@dataclass(frozen=True, kw_only=True)
class HeldHeights:
    """What a dead band of `band_m` lets through: the points where height is known, and what it is.

    `point` has numbers of recorded points, rising, the first and the last among them.
    """

    band_m: float
    point: Indices
    elevation_m: Floats


@dataclass(frozen=True, kw_only=True)
class _Moves:
    """Runs of changing heights: the first and last changed point of each, its size from end to end.

    `single` moves are about as large as the smallest; others follow the road for longer.
    """

    first: Indices
    last: Indices
    size_m: Floats
    band_m: float

    @property
    def step_m(self) -> float:
        """What the instrument lets pass before it moves: the band, overshot a little."""
        return float(np.median(self.size_m[self.single]))

    @property
    def spread(self) -> int:
        """Over how many points one step is spread."""
        return int(np.median((self.last - self.first)[self.single])) + 1

    @property
    def single(self) -> Indices:
        """Numbers of the moves by one step."""
        return np.flatnonzero(self.size_m <= _ALIKE * self.band_m)


def held_heights(distance_m: Floats, elevation_m: Floats) -> HeldHeights | None:
    """The heights known in spite of a dead band, m; None where the recording shows no such band.

    A dead band shows in the moves from one level to the next: hardly any is smaller than the band,
    and many are hardly larger.  Rounding to coarse steps does that too, but by whole multiples of
    the step, while a band is overshot by a little, now more, now less.  The cells of a terrain
    model do it on a steady slope, but go over at once and are about as long as each other.
    """
    moves = _moves_of(elevation_m)
    if moves is None or (moves.spread == 1 and _as_long_as_each_other(distance_m[moves.first])):
        return None
    point, known_m = _known(moves, elevation_m)
    point = np.concatenate([[0], point, [len(elevation_m) - 1]])
    known_m = np.concatenate([elevation_m[:1], known_m, elevation_m[-1:]])
    point, first = np.unique(point, return_index=True)
    return HeldHeights(band_m=moves.band_m, point=point, elevation_m=known_m[first])


def _moves_of(elevation_m: Floats) -> _Moves | None:
    """The moves between levels, if they are those of a dead band."""
    moving = np.concatenate([[False], np.diff(elevation_m) != 0.0, [False]])
    changes = np.flatnonzero(moving[1:] != moving[:-1])
    first, last = changes[::2] + 1, changes[1::2]
    if len(first) < _FEWEST_MOVES or 1.0 - np.mean(moving[1:-1]) < _LEAST_STANDING:
        return None
    size_m = np.abs(elevation_m[last] - elevation_m[first - 1])
    band_m, larger_m = np.quantile(size_m, (0.05, 0.25))
    alike = band_m >= _SMALLEST_BAND_M and larger_m <= _ALIKE * band_m
    if not alike or _by_whole_steps(size_m / band_m):
        return None
    return _Moves(first=first, last=last, size_m=size_m, band_m=float(band_m))


def _by_whole_steps(sizes: Floats) -> bool:
    few = sizes[sizes < _FEW_STEPS]
    return bool(np.mean(np.abs(few - np.round(few)) < _ON_STEP) >= _ALMOST_ALL)


def _as_long_as_each_other(start_m: Floats) -> bool:
    shorter_m, longer_m = np.quantile(np.diff(start_m), (0.25, 0.75))
    return bool(longer_m < _UNEVEN * shorter_m)


def _known(moves: _Moves, elevation_m: Floats) -> tuple[Indices, Floats]:
    """Points where height is known, and the height there, m: what is shown a little later.

    A move of one step shows the height of its first point at its end.  A longer one follows the
    road all along: spread over n points it is (n - 1) / 2 points late, and half as many more as the
    road takes from one step to the next.
    """
    spread = moves.spread
    to_go = np.maximum(moves.last - moves.first + 1 - spread, 0)
    move, point = members(moves.first, moves.first + to_go + 1)
    shown = np.minimum(point + spread - 1, moves.last[move])
    rise_m = np.abs(elevation_m[shown] - elevation_m[point - 1])
    apart = moves.step_m * spread / np.maximum(rise_m, 0.1 * moves.step_m)
    late = np.clip(0.5 * (spread + apart) - 1.0, 0.5 * (spread - 1), spread - 1)
    at = np.where(to_go[move] > 0, point + late, shown)
    return point, np.interp(at, np.arange(len(elevation_m)), elevation_m)
