"""Short stretches where recorded height jumps up and down as no road does."""

from __future__ import annotations

import numpy as np

from gearsim.course.counted import counted
from gearsim.course.repairs.heights import LONGEST_SPIKE_M, SPIKE_M, STEEP_ROAD, Heights
from gearsim.course.repairs.track_repair import TrackRepair
from gearsim.course.runs import between
from gearsim.course.track import Floats, Indices, Mask

# Judgement, no source, as in `heights`.
SHARPEST = 0.3  # no road turns from 3 in 10 up to 3 in 10 down, or back, from one point to the next
LEAST_M = 0.5  # unrest counts where it is more, and ...
PER_USUAL = 5.0  # ... so many times the route's own, so that rough heights are left as noise
NEAR_M, AROUND_M = 4.0, 12.0  # what is sharp, and what else is restless beside it
CALM_M = 30.0
SD_PER_MEDIAN = 1.4826  # of normally distributed deviations


def without_restless_heights(distance_m: Floats, elevation_m: Floats, number: Indices) -> Heights:
    """Heights of short stretches that jump up and down as no road does become missing ones.

    Such a stretch, up to 200 m long, has a crest or a hollow too sharp for a road, far beyond the
    route's own noise; it strays 3 m and more from the straight line across it, and ends where a
    road of 1 in 5 at most leads.  A gust on a pressure sensor leaves one, for instance.  A ramp or
    wall whose height stays gained is left, and so is a hump that a road may have.
    """
    known = np.flatnonzero(~np.isnan(elevation_m))
    at_m, height_m = distance_m[known], elevation_m[known]
    near_m, reach_m = _unrest_m(at_m, height_m, NEAR_M)
    sharp_m = near_m - SHARPEST * reach_m
    if not (sharp_m > LEAST_M).any():
        return elevation_m, []
    around_m, _ = _unrest_m(at_m, height_m, AROUND_M)
    sharp = sharp_m > _remarkable_m(near_m)
    first, last = _stretches(at_m, sharp | (around_m > _remarkable_m(around_m)))
    wrong = _any_in(sharp, first, last) & _comes_back(at_m, height_m, first, last)
    return _taken_out(elevation_m, number, known[first[wrong]], known[last[wrong]])


def _unrest_m(at_m: Floats, height_m: Floats, least_m: float) -> tuple[Floats, Floats]:
    """How far each height is off the line between those `least_m` and more before and after, m.

    And the reach of that line, m: the harmonic mean of its two parts, since a crest between slopes
    +s and -s is off by s times that.  The ends, which have one side only, are calm.
    """
    behind = np.searchsorted(at_m, at_m - least_m, "right") - 1
    ahead = np.searchsorted(at_m, at_m + least_m)
    inside = np.flatnonzero((behind >= 0) & (ahead < len(at_m)))
    behind, ahead = behind[inside], ahead[inside]
    before_m, after_m = at_m[inside] - at_m[behind], at_m[ahead] - at_m[inside]
    span_m = before_m + after_m
    line_m = (height_m[behind] * after_m + height_m[ahead] * before_m) / span_m
    unrest_m, reach_m = np.zeros(len(at_m)), np.zeros(len(at_m))
    unrest_m[inside] = np.abs(height_m[inside] - line_m)
    reach_m[inside] = 2.0 * before_m * after_m / span_m
    return unrest_m, reach_m


def _remarkable_m(unrest_m: Floats) -> float:
    return max(LEAST_M, PER_USUAL * SD_PER_MEDIAN * float(np.median(unrest_m)))


def _stretches(at_m: Floats, restless: Mask) -> tuple[Indices, Indices]:
    """First and last point of each stretch of restless points, parted by 30 m of calm."""
    index = np.flatnonzero(restless)
    after_calm = np.diff(at_m[index], prepend=-np.inf) > CALM_M
    before_calm = np.diff(at_m[index], append=np.inf) > CALM_M
    return index[after_calm], index[before_calm]


def _any_in(mask: Mask, first: Indices, last: Indices) -> Mask:
    """Whether each stretch has a point of `mask`."""
    count = np.append(0, np.cumsum(mask))
    found: Mask = count[last + 1] > count[first]
    return found


def _comes_back(at_m: Floats, height_m: Floats, first: Indices, last: Indices) -> Mask:
    """Whether each stretch is short, strays, and a road joins the points before and after it."""
    wrong = np.zeros(len(first), dtype=bool)
    for stretch, (before, after) in enumerate(zip(first - 1, last + 1, strict=True)):
        span_m = at_m[after] - at_m[before]
        joined = abs(height_m[after] - height_m[before]) <= STEEP_ROAD * span_m
        if joined and span_m <= LONGEST_SPIKE_M:
            ends = [before, after]
            road_m = np.interp(at_m[before:after], at_m[ends], height_m[ends])
            wrong[stretch] = np.abs(height_m[before:after] - road_m).max() >= SPIKE_M
    return wrong


def _taken_out(elevation_m: Floats, number: Indices, first: Indices, last: Indices) -> Heights:
    lost = between(len(elevation_m), first, last)
    count = int(np.sum(lost & ~np.isnan(elevation_m)))
    if count == 0:
        return elevation_m, []
    sentence = (
        f"{counted(count, 'height')} jumping up and down as no road does taken out, on "
        f"{counted(len(first), 'short stretch', 'short stretches')}"
    )
    found = TrackRepair(
        what="restless heights", count=count, sentence=sentence, number=number[first]
    )
    return np.where(lost, np.nan, elevation_m), [found]
