"""Repairs of where and when: order, duplicates, points that no rider was at."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy.ndimage import median_filter

from gearsim.course.counted import counted
from gearsim.course.repairs.heights import possible_heights
from gearsim.course.repairs.track_repair import TrackRepair
from gearsim.course.runs import apart, between
from gearsim.course.track import (
    Floats,
    Indices,
    Mask,
    Track,
    gap_m,
    leg_lengths_m,
    usual_long_leg_m,
)

SAME_PLACE_M = 0.001
SAME_LENGTH = 1.0 + 1e-9  # to rounding
LONGEST_SPIKE_POINTS = 8
STRAY_END_POINTS = 5
JUMP_M = 2000.0  # judgement, no source
JUMP_LIMIT_M = 5000.0  # farther apart, no file's points tell a grade
JUMP_PER_USUAL_LEG = 5.0

# A leg is more than a rider does when it is longer than 30 m and faster than 40 m/s, or eight
# times as fast as the ride around it (then at least 12 m/s).  Judgement, no source.
SPIKE_M = 30.0
FASTEST_MPS = 40.0
SPIKE_PER_LOCAL = 8.0
SLOWEST_LOCAL_MPS = 1.5
SPIKE_PER_LEG = 5.0  # without times: times as long as any of the three legs on either side
TIMES_NEEDED = 0.9  # share of the points that must have a time for times to be used

Repaired = tuple[Track, list[TrackRepair]]


def without_lost_fixes(track: Track) -> Repaired:
    """Take out points at 0° 0°, which recorders write before they know where they are."""
    lost = (track.latitude_deg == 0.0) & (track.longitude_deg == 0.0)
    elsewhere = np.abs(track.latitude_deg) + np.abs(track.longitude_deg) > 1.0
    if not lost.any() or elsewhere.mean() < 0.5:
        return track, []
    count = int(lost.sum())
    sentence = f"{counted(count, 'point')} at 0° 0°, written without a fix, taken out"
    found = TrackRepair(what="no fix", count=count, sentence=sentence, number=track.number[lost])
    return track.at(~lost), [found]


def in_order(track: Track) -> Repaired:
    """Put points in the order of their times unless that makes the path longer.

    Points out of order make the path longer; a clock that was set back does not, and putting its
    points in order would.  After this every point has a time and none is earlier than
    the one before, or no point has one.
    """
    timed = ~np.isnan(track.time_s)
    if track.points < 2 or timed.mean() < TIMES_NEEDED:
        return _untimed(track), []
    track = replace(track, time_s=clock_s(track))
    step_s = np.diff(track.time_s)
    if (step_s < 0.0).any():
        return _ordered(track, np.flatnonzero(step_s < 0.0) + 1)
    if np.mean(step_s > 0.0) < 0.5:
        return _untimed(track), []
    return track, []


def clock_s(track: Track) -> Floats:
    """The times of a track of which some are known, the missing ones filled in between."""
    index, timed = np.arange(track.points), ~np.isnan(track.time_s)
    return np.interp(index, index[timed], track.time_s[timed])


def order_ridden(track: Track) -> Indices:
    """The points in the order of their times, or as they came where that makes the path longer."""
    by_time = np.argsort(clock_s(track), kind="stable")
    longer = _length_m(track.at(by_time)) > _length_m(track) * SAME_LENGTH
    return np.arange(track.points) if longer else by_time


def _ordered(track: Track, backwards: Indices) -> Repaired:
    count = len(backwards)
    ordered = track.at(order_ridden(track))
    if (np.diff(ordered.time_s) >= 0.0).all():
        sentence = f"{counted(count, 'place')} with points out of order put in the order of time"
        number = track.number[backwards]
        found = TrackRepair(what="out of order", count=count, sentence=sentence, number=number)
        return replace(ordered, number=np.arange(ordered.points)), [found]
    sentence = (
        f"the clock runs backwards at {counted(count, 'point')} although the places are in order: "
        "times not used"
    )
    number = track.number[backwards]
    found = TrackRepair(what="clock backwards", count=count, sentence=sentence, number=number)
    return _untimed(track), [found]


def _untimed(track: Track) -> Track:
    return replace(track, time_s=np.full(track.points, np.nan))


def _length_m(track: Track) -> float:
    return float(leg_lengths_m(track.xyz_m).sum())


def without_duplicates(track: Track) -> Repaired:
    """Merge points at the same place as the one before; their possible heights are averaged."""
    new = np.concatenate([[True], leg_lengths_m(track.xyz_m) > SAME_PLACE_M])
    count = int(track.points - new.sum())
    if count == 0:
        return track, []
    start = np.flatnonzero(new)
    possible = possible_heights(track.elevation_m)
    total_m = np.add.reduceat(np.where(possible, track.elevation_m, 0.0), start)
    heights = np.add.reduceat(possible.astype(float), start)
    mean_m = np.divide(total_m, heights, out=track.elevation_m[start], where=heights > 0.0)
    sentence = f"{counted(count, 'point')} at the same place as the one before merged with it"
    found = TrackRepair(
        what="duplicate points", count=count, sentence=sentence, number=track.number[~new]
    )
    return replace(track.at(start), elevation_m=mean_m), [found]


def without_spikes(track: Track) -> Repaired:
    """Take out up to eight points in a row that lie where no rider can have been in that time."""
    if track.points < LONGEST_SPIKE_POINTS:
        return track, []
    xyz_m = track.xyz_m
    leg_m = leg_lengths_m(xyz_m)
    out = _out_of_reach(track, leg_m)
    away, back = out[:-1], out[1:]
    wanted = _is_spike(track, xyz_m, leg_m, away, back)
    away, back = apart(away, back, wanted)
    if len(away) == 0:
        return track, []
    spike = between(track.points, away + 1, back)
    sentence = (
        f"{counted(len(away), 'spike')} in place taken out ({counted(int(spike.sum()), 'point')})"
    )
    found = TrackRepair(
        what="spikes in place", count=len(away), sentence=sentence, number=track.number[away + 1]
    )
    return track.at(~spike), [found]


def _out_of_reach(track: Track, leg_m: Floats) -> Indices:
    """Legs that are longer than the ride around them can explain."""
    far = leg_m > SPIKE_M
    if not track.timed:
        return np.flatnonzero(far & (leg_m > SPIKE_PER_LEG * median_filter(leg_m, 11)))
    speed_mps = leg_m / np.maximum(np.diff(track.time_s), 1.0)
    local_mps = np.maximum(median_filter(speed_mps, 11), SLOWEST_LOCAL_MPS)
    return np.flatnonzero(far & (speed_mps > np.minimum(SPIKE_PER_LOCAL * local_mps, FASTEST_MPS)))


def _is_spike(track: Track, xyz_m: Floats, leg_m: Floats, away: Indices, back: Indices) -> Mask:
    """Whether the path comes back to where it left between legs `away` and `back`."""
    shorter_m = np.minimum(leg_m[away], leg_m[back])
    return_m = gap_m(xyz_m, away, back + 1)
    spike = (back - away <= LONGEST_SPIKE_POINTS) & (return_m < 0.5 * shorter_m)
    if track.timed:
        return spike
    # A drawn way out and back returns to the very point that it left; a spike does not.
    drawn = return_m < 1.0
    padded_m = np.pad(leg_m, 3)
    around_m: Floats = np.max(
        [padded_m[leg + 3 + k] for k in (1, 2, 3) for leg in (away - 4, back)], axis=0
    )
    lone: Mask = shorter_m > SPIKE_PER_LEG * around_m
    return spike & ~drawn & lone


def jump_limit_m(leg_m: Floats) -> float:
    """The longest leg that is no jump: 2 km, or five times the usual long leg, up to 5 km.

    So a recording is refused for a hole of 2 km, and a plan drawn with points kilometres apart on
    straight roads is not.
    """
    return min(max(JUMP_M, JUMP_PER_USUAL_LEG * usual_long_leg_m(leg_m)), JUMP_LIMIT_M)


def without_stray_ends(track: Track) -> Repaired:
    """Take out up to five points at either end that a jump, or 40 m/s, parts from the rest."""
    if track.points < 4 * STRAY_END_POINTS:
        return track, []
    leg_m = leg_lengths_m(track.xyz_m)
    jump = leg_m > jump_limit_m(leg_m)
    if track.timed:
        speed_mps = leg_m / np.maximum(np.diff(track.time_s), 1.0)
        jump |= (leg_m > SPIKE_M) & (speed_mps > FASTEST_MPS)
    at_start = np.flatnonzero(jump[:STRAY_END_POINTS])
    at_end = np.flatnonzero(jump[-STRAY_END_POINTS:])
    first = int(at_start[-1]) + 1 if len(at_start) else 0
    last = track.points - STRAY_END_POINTS + int(at_end[0]) if len(at_end) else track.points
    kept = np.zeros(track.points, dtype=bool)
    kept[first:last] = True
    count = int(track.points - kept.sum())
    if count == 0:
        return track, []
    sentence = f"{counted(count, 'stray point')} at the ends, far from the rest, taken out"
    found = TrackRepair(
        what="stray ends", count=count, sentence=sentence, number=track.number[~kept]
    )
    return track.at(kept), [found]
