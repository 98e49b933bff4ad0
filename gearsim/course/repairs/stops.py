"""Stops: a recorder standing still scribbles, and its scribble must not count as road."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gearsim.course.counted import counted
from gearsim.course.repairs.heights import possible_heights
from gearsim.course.repairs.places import Repaired
from gearsim.course.repairs.track_repair import TrackRepair
from gearsim.course.runs import between, runs
from gearsim.course.track import Floats, Indices, Mask, Track, gap_m, leg_lengths_m

# Standing still: for so many seconds (points, where there are no times) within so many metres,
# which is 0.25 m/s and less, a quarter of the pace at which a rider can balance (Cain SM et al.
# 2016, PLoS ONE 11:e0149340), on a path twice as long as it leads.  Judgement, no source.
STANDSTILLS = ((20.0, 5.0), (60.0, 15.0), (300.0, 40.0))
LOOKS = (0.1, 0.23, 0.37, 0.5, 0.64, 0.81, 1.0)  # uneven, so that laps are not taken for a stop
TORTUOUS = 2.0
ONE_PLACE_M = 50.0
STRIDE_M = 15.0


def without_stops(track: Track) -> Repaired:
    """Make each stop one point, in the middle of its scribble, at its median height.

    A stop whose scribble spreads over more than 50 m is thinned to points 15 m apart instead.
    """
    xyz_m = track.xyz_m
    path_m = np.concatenate([[0.0], np.cumsum(leg_lengths_m(xyz_m))])
    clock = track.time_s - track.time_s[0] if track.timed else np.arange(track.points, dtype=float)
    standing = np.zeros(track.points, dtype=bool)
    for span, radius_m in STANDSTILLS:
        standing |= _standing(xyz_m, path_m, clock, span, radius_m)
    first, last = runs(standing)
    if len(first) == 0:
        return track, []
    stopped = _with_stops_as_points(track, xyz_m, first, last)
    return stopped, [_told(track, stopped, path_m, first)]


def _standing(xyz_m: Floats, path_m: Floats, clock: Floats, span: float, radius_m: float) -> Mask:
    """Points of every stretch of `span` that stays within `radius_m` of where it begins."""
    end = np.searchsorted(clock, clock + span)
    start = np.flatnonzero(end < len(clock))
    farthest_m = np.zeros(len(start))
    for look in reversed(LOOKS):
        seen = np.searchsorted(clock, clock[start] + look * span)
        farthest_m = np.maximum(farthest_m, gap_m(xyz_m, start, seen))
        near = farthest_m < radius_m
        start, farthest_m = start[near], farthest_m[near]
    wandered_m = path_m[end[start]] - path_m[start]
    start = start[wandered_m > TORTUOUS * farthest_m]
    return between(len(clock), start, end[start])


def _with_stops_as_points(track: Track, xyz_m: Floats, first: Indices, last: Indices) -> Track:
    kept = ~between(track.points, first, last)
    elevation_m = track.elevation_m.copy()
    for a, b in zip(first, last, strict=True):
        scribble_m = xyz_m[:, a : b + 1]
        from_middle_m = _from_m(scribble_m, np.median(scribble_m, axis=1))
        if from_middle_m.max() > ONE_PLACE_M:
            kept[a + _strides(scribble_m)] = True
            continue
        middle = a + int(np.argmin(from_middle_m))
        kept[middle] = True
        elevation_m[middle] = _median(track.elevation_m[a : b + 1])
    return replace(track, elevation_m=elevation_m).at(kept)


def _from_m(xyz_m: Floats, place_m: Floats) -> Floats:
    """Distance of each point from one place, m."""
    away_m: Floats = np.sqrt(((xyz_m - place_m[:, None]) ** 2).sum(axis=0))
    return away_m


def _median(height_m: Floats) -> float:
    possible_m = height_m[possible_heights(height_m)]
    return float(np.median(possible_m)) if len(possible_m) else np.nan


def _strides(xyz_m: Floats) -> Indices:
    """Points at least 15 m from the last one kept, beginning with the first; the last too."""
    kept = [0]
    end = xyz_m.shape[1]
    ahead = 64
    while kept[-1] < end - 1:
        here = kept[-1]
        far = _from_m(xyz_m[:, here + 1 : here + ahead], xyz_m[:, here]) >= STRIDE_M
        if far.any():
            kept.append(here + 1 + int(np.argmax(far)))
            ahead = 64
        elif here + ahead >= end:
            kept.append(end - 1)
        else:
            ahead *= 2
    return np.array(kept, dtype=np.int64)


def _told(before: Track, after: Track, path_m: Floats, first: Indices) -> TrackRepair:
    scribble_m = path_m[-1] - leg_lengths_m(after.xyz_m).sum()
    points = before.points - after.points
    sentence = (
        f"{counted(len(first), 'stop')} where the recorder drifted: {scribble_m:.0f} m of scribble "
        f"taken out ({counted(points, 'point')})"
    )
    return TrackRepair(
        what="stops", count=len(first), sentence=sentence, number=before.number[first]
    )
