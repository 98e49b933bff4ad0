"""How tight the road bends, told apart from the scatter of the points."""

from __future__ import annotations

import numpy as np
from scipy.ndimage import uniform_filter1d

from gearsim.course.geodesic import unrolled_m
from gearsim.course.track import Floats, Mask

FINE_STEP_M = 2.5
NEAR_STEPS = 0.25
"""How far from a node its bend may be, in intervals.  The tightest of the whole interval would slow
the ride over all of it, the bend at the node itself would miss what lies between: with a quarter,
halving the interval moves the finish of the recorded rides least."""

HALF_WIDTHS_M = (6.0, 9.0, 13.0, 19.0, 28.0, 42.0, 63.0, 95.0)
LEAST_TOLERANCE_M = 3.0  # a drawn line leaves the road by about that.  Judgement, no source
TOLERANCE_PER_SCATTER = 3.5
DENSE_M = 25.0  # points closer than this show their scatter
TIGHTEST_M = 2.0  # a bicycle's turn on the spot
STRAIGHT_M = 1000.0  # above this no rider slows down


def bend_radii_m(
    distance_m: Floats, latitude_deg: Floats, longitude_deg: Floats, nodes_m: Floats
) -> Floats:
    """Radius of the tightest bend near each of `nodes_m`, m, (n + 1); inf where straight.

    The path is smoothed by triangles of growing width.  At each place the widest counts that
    leaves the least smoothed path by no more than a tolerance: 3 m, or 3.5 times the scatter of
    the points, estimated from how far each stands off the line between its neighbours.  So a
    straight with noisy points is smoothed until it is straight, a hairpin is hardly smoothed, and
    the corner of a sparsely drawn line is rounded as far as the tolerance allows.
    """
    at_m = np.linspace(0.0, nodes_m[-1], max(2, int(np.ceil(nodes_m[-1] / FINE_STEP_M))) + 1)
    east_m, north_m = unrolled_m(latitude_deg, longitude_deg)
    path_m = np.stack([np.interp(at_m, distance_m, axis_m) for axis_m in (east_m, north_m)])
    tolerance_m = max(
        LEAST_TOLERANCE_M, TOLERANCE_PER_SCATTER * scatter_m(distance_m, east_m, north_m)
    )
    curvature = _curvature_within(path_m, at_m[1], tolerance_m)
    tightest = _largest_near(curvature, nodes_m / at_m[1], NEAR_STEPS * nodes_m[1] / at_m[1])
    radius_m = 1.0 / np.clip(tightest, 1e-9, 1.0 / TIGHTEST_M)
    return np.where(radius_m > STRAIGHT_M, np.inf, radius_m)


def _largest_near(values: Floats, place: Floats, near: float) -> Floats:
    """Largest value no further than `near` from each place, or the nearest; both in indices."""
    last = len(values) - 1
    first = np.clip(np.floor(place - near + 0.5), 0, last).astype(np.int64)
    end = np.clip(np.ceil(place + near - 0.5), first, last).astype(np.int64)
    largest: Floats = values[first]
    for ahead in range(1, int((end - first).max()) + 1):
        largest = np.maximum(largest, values[np.minimum(first + ahead, end)])
    return largest


def scatter_m(distance_m: Floats, east_m: Floats, north_m: Floats) -> float:
    """Standard deviation of the points across the path, m; 0 where they are too sparse to show it.

    From the median distance of a point to the line through its neighbours, for independent
    scatter: that distance has √1.5 times its standard deviation.
    """
    dense = np.maximum(np.diff(distance_m)[:-1], np.diff(distance_m)[1:]) < DENSE_M
    if dense.sum() < 20:
        return 0.0
    along_east_m, along_north_m = east_m[2:] - east_m[:-2], north_m[2:] - north_m[:-2]
    to_east_m, to_north_m = east_m[1:-1] - east_m[:-2], north_m[1:-1] - north_m[:-2]
    chord_m = np.hypot(along_east_m, along_north_m)
    across_m = along_east_m * to_north_m - along_north_m * to_east_m
    off_m = np.abs(across_m[dense]) / np.maximum(chord_m[dense], 0.01)
    return float(1.4826 * np.median(off_m) / np.sqrt(1.5))


def _curvature_within(path_m: Floats, step_m: float, tolerance_m: float) -> Floats:
    """Curvature at each place of the widest smoothing that keeps within the tolerance, 1/m."""
    least = _smoothed(path_m, step_m, HALF_WIDTHS_M[0])
    curvature = _curvature(least)
    within: Mask = np.ones(path_m.shape[1], dtype=bool)
    for half_width_m in HALF_WIDTHS_M[1:]:
        smooth = _smoothed(path_m, step_m, half_width_m)
        within &= np.hypot(*(smooth - least)) <= tolerance_m
        curvature = np.where(within, _curvature(smooth), curvature)
    return curvature


def _smoothed(path_m: Floats, step_m: float, half_width_m: float) -> Floats:
    """The path averaged under a triangle (two boxes), going on straight beyond its ends."""
    box = 2 * round(half_width_m / step_m / 2.0) + 1
    pad = min(box, path_m.shape[1] - 1)
    padded_m = np.pad(path_m, ((0, 0), (pad, pad)), mode="reflect", reflect_type="odd")
    for _ in range(2):
        padded_m = uniform_filter1d(padded_m, box, axis=1, mode="nearest")
    return padded_m[:, pad : pad + path_m.shape[1]]


def _curvature(path_m: Floats) -> Floats:
    """Turn of heading at each place over the length it happens in, 1/m, without sign."""
    leg_m = np.diff(path_m, axis=1)
    before, after = leg_m[:, :-1], leg_m[:, 1:]
    cross = before[0] * after[1] - before[1] * after[0]
    dot = before[0] * after[0] + before[1] * after[1]
    length_m = (np.hypot(*before) + np.hypot(*after)) / 2.0
    turn_rad = np.abs(np.arctan2(cross, dot))
    return np.pad(turn_rad / np.maximum(length_m, 1e-6), 1)
