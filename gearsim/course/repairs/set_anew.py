"""Heights that move while the rider stands: an instrument that catches up, not a road."""

from __future__ import annotations

import numpy as np

from gearsim.course.counted import counted
from gearsim.course.heights.noise import rounding_step_m
from gearsim.course.repairs.heights import STEP_M, Heights
from gearsim.course.repairs.track_repair import TrackRepair
from gearsim.course.track import Floats, Indices

# Judgement, no source, all of it.
SLOWEST_MPS = 1.0  # a leg that takes longer than at this pace ...
STOOD_S = 10.0  # ... by so much has a stop in it
BESIDE_M = 10.0  # of road on either side tell the slope to expect,
SLOPE_CHANGES_BY = 0.05  # and what it may change by in between
MOVED_M = 0.4  # twice the step in which many instruments tell heights
DRIFTED_OVER_M = 1000.0  # before the stop: how long the error took to grow


def without_heights_set_anew(
    time_s: Floats, distance_m: Floats, elevation_m: Floats, number: Indices
) -> Heights:
    """Steps in height at stops, spread over the kilometre before; every height is known here.

    A pressure instrument lags and drifts, and catches up while the rider stands: within a few
    metres that would be a wall.  What the road does on either side is left in the step; a step
    of 10 m and more is none of drift.
    """
    length_m, rise_m = np.diff(distance_m), np.diff(elevation_m)
    stood = np.diff(time_s) - length_m / SLOWEST_MPS >= STOOD_S  # never where a time is missing
    before_m = elevation_m[:-1] - np.interp(distance_m[:-1] - BESIDE_M, distance_m, elevation_m)
    after_m = np.interp(distance_m[1:] + BESIDE_M, distance_m, elevation_m) - elevation_m[1:]
    slope = np.maximum(np.abs(before_m), np.abs(after_m)) / BESIDE_M + SLOPE_CHANGES_BY
    moved_m = rise_m - np.clip(rise_m, -slope * length_m, slope * length_m)
    step = np.flatnonzero(stood & (np.abs(moved_m) > MOVED_M) & (np.abs(moved_m) < STEP_M))
    if len(step) == 0:
        return elevation_m, []
    shift_m = np.zeros(len(elevation_m))
    for leg in step:
        begins_m = distance_m[leg] - DRIFTED_OVER_M
        share = np.clip((distance_m[: leg + 1] - begins_m) / DRIFTED_OVER_M, 0.0, 1.0)
        shift_m[: leg + 1] += share * moved_m[leg]
    rounding_m = rounding_step_m(elevation_m)
    if rounding_m > 0.0:  # so that heights stay in the steps that tell what instrument they are of
        shift_m = rounding_m * np.round(shift_m / rounding_m)
    largest_m = moved_m[step][np.argmax(np.abs(moved_m[step]))]
    sentence = (
        f"{counted(len(step), 'stop')} at which the height moved without the bike (the most "
        f"{largest_m:+.1f} m): spread over the kilometre before"
    )
    found = TrackRepair(
        what="heights set anew", count=len(step), sentence=sentence, number=number[step]
    )
    return elevation_m + shift_m, [found]
