"""Repairs of height along distance: impossible heights, spikes, steps and gaps."""

from __future__ import annotations

import numpy as np

from gearsim.course.counted import counted
from gearsim.course.repairs.track_repair import TrackRepair
from gearsim.course.runs import apart, between, runs
from gearsim.course.track import Floats, Indices, Mask

LOWEST_M, HIGHEST_M = -500.0, 9000.0  # the Dead Sea's shore and the highest mountain, with room
STEEPEST = 0.5  # twice what is called a wall: no road rises 1 m in 2 m for long
STEEP_ROAD = 0.2  # what the road itself may rise meanwhile
SPIKE_M = 3.0  # judgement, no source: what a rise may exceed that slope by, there and back ...
STEP_M = 10.0  # ... and for good
ONE_STEP_IN_M = 10_000.0  # a recorder's steps are no more frequent.  Judgement, no source
LONGEST_SPIKE_POINTS = 8
LONGEST_SPIKE_M = 200.0

Heights = tuple[Floats, list[TrackRepair]]


def possible_heights(elevation_m: Floats) -> Mask:
    """Which heights are given, and not higher or lower than any road's."""
    possible: Mask = (elevation_m >= LOWEST_M) & (elevation_m <= HIGHEST_M)
    return possible


def without_impossible_heights(elevation_m: Floats, number: Indices) -> Heights:
    """Heights that no road has (and codes such as -32768) become missing ones."""
    impossible = ~np.isnan(elevation_m) & ~possible_heights(elevation_m)
    return _missing_at(
        elevation_m, impossible, number, "impossible heights", "height", "that no road has"
    )


def without_zero_dropouts(distance_m: Floats, elevation_m: Floats, number: Indices) -> Heights:
    """Zeros that a road cannot drop to and rise from become missing heights.

    A zero at the end of the route needs only its one side.  A road that runs down to the sea
    keeps its zeros.
    """
    known = np.flatnonzero(~np.isnan(elevation_m))
    height_m, at_m = elevation_m[known], distance_m[known]
    first, last = runs(height_m == 0.0)
    cliff = _too_steep(at_m, height_m, STEP_M)
    inner = np.concatenate([[True], cliff, [True]])
    dropout = inner[first] & inner[last + 1] & ((first > 0) | (last < len(known) - 1))
    lost = np.zeros(len(elevation_m), dtype=bool)
    lost[known] = between(len(known), first[dropout], last[dropout])
    return _missing_at(
        elevation_m, lost, number, "zero heights", "height", "of exactly 0 m amid others"
    )


def without_height_spikes(distance_m: Floats, elevation_m: Floats, number: Indices) -> Heights:
    """Up to eight points in a row that stand out from the road become missing heights.

    They do where height leaves and comes back more steeply than 1 in 2, by 3 m and more.
    """
    known = np.flatnonzero(~np.isnan(elevation_m))
    height_m, at_m = elevation_m[known], distance_m[known]
    steep = np.flatnonzero(_too_steep(at_m, height_m, SPIKE_M))
    away, back = steep[:-1], steep[1:]
    rise_m = np.diff(height_m)
    span_m = at_m[back + 1] - at_m[away]
    left_over_m = np.abs(height_m[back + 1] - height_m[away])
    shorter_m = np.minimum(np.abs(rise_m[away]), np.abs(rise_m[back]))
    wanted = (
        (back - away <= LONGEST_SPIKE_POINTS)
        & (span_m <= LONGEST_SPIKE_M)
        & (rise_m[away] * rise_m[back] < 0.0)
        & (left_over_m < np.maximum(0.5 * shorter_m, STEEP_ROAD * span_m))
    )
    away, back = apart(away, back, wanted)
    lost = np.zeros(len(elevation_m), dtype=bool)
    lost[known] = between(len(known), away + 1, back)
    return _missing_at(
        elevation_m, lost, number, "spikes in height", "height", "standing out from the road"
    )


def without_height_steps(distance_m: Floats, elevation_m: Floats, number: Indices) -> Heights:
    """Level steps that no road has, moving all heights after them; every height is known here.

    A recorder that sets its height anew at a stop leaves such a step, now and then.  Where there
    are more, the ground or the heights are that rough: they are left, and told.
    """
    rise_m = np.diff(elevation_m)
    step = _too_steep(distance_m, elevation_m, STEP_M)
    count = int(step.sum())
    if count == 0:
        return elevation_m, []
    largest_m = rise_m[step][np.argmax(np.abs(rise_m[step]))]
    said = f"{counted(count, 'step')} in height that no road has (the largest {largest_m:+.0f} m)"
    at = number[np.flatnonzero(step) + 1]
    if count > 1 + distance_m[-1] / ONE_STEP_IN_M:
        sentence = f"{said} left as they are: too many to be a recorder's"
        return elevation_m, [TrackRepair(what="rough", count=count, sentence=sentence, number=at)]
    shift_m = np.concatenate([[0.0], np.cumsum(np.where(step, rise_m, 0.0))])
    sentence = f"{said} levelled: all heights after it moved"
    found = TrackRepair(what="steps in height", count=count, sentence=sentence, number=at)
    return elevation_m - shift_m, [found]


def with_gaps_filled(distance_m: Floats, elevation_m: Floats, number: Indices) -> Heights:
    """Fill missing heights in a straight line along distance, level at the ends."""
    missing = np.isnan(elevation_m)
    if not missing.any():
        return elevation_m, []
    filled_m = np.interp(distance_m, distance_m[~missing], elevation_m[~missing])
    count = int(missing.sum())
    sentence = (
        f"{counted(count, 'missing height')} filled along distance "
        f"(longest gap {longest_gap_m(distance_m, elevation_m):.0f} m)"
    )
    found = TrackRepair(
        what="missing heights", count=count, sentence=sentence, number=number[missing]
    )
    return filled_m, [found]


def gaps_m(distance_m: Floats, elevation_m: Floats) -> Floats:
    """Length of each stretch without heights, from the last known one to the next, m."""
    first, last = runs(np.isnan(elevation_m))
    end = len(distance_m) - 1
    lengths_m: Floats = distance_m[np.minimum(last + 1, end)] - distance_m[np.maximum(first - 1, 0)]
    return lengths_m


def longest_gap_m(distance_m: Floats, elevation_m: Floats) -> float:
    """The longest stretch without heights, m; 0 where none is missing."""
    return float(gaps_m(distance_m, elevation_m).max(initial=0.0))


def _too_steep(distance_m: Floats, height_m: Floats, excess_m: float) -> Mask:
    """Legs that rise or fall by `excess_m` more than a slope of 1 in 2 does."""
    steep: Mask = np.abs(np.diff(height_m)) > excess_m + STEEPEST * np.diff(distance_m)
    return steep


def _missing_at(
    elevation_m: Floats, lost: Mask, number: Indices, what: str, noun: str, said: str
) -> Heights:
    count = int(lost.sum())
    if count == 0:
        return elevation_m, []
    sentence = f"{counted(count, noun)} {said} taken out"
    found = TrackRepair(what=what, count=count, sentence=sentence, number=number[lost])
    return np.where(lost, np.nan, elevation_m), [found]
