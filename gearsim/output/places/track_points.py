"""Which nodes of a course to write, so that a head unit gets no more points than it needs."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.course.track import EARTH_RADIUS_M, sphere_xyz_m

Floats = NDArray[np.float64]
Nodes = NDArray[np.int64]

LARGEST_OFFSET_M = 0.5  # of a node left out from the line that is drawn, on the map,
HEIGHT_COUNTS = 4.0  # and a quarter of that in height
LONGEST_LEG_M = 100.0


def track_nodes(course: Course) -> Nodes:
    """The nodes that show the course's line and heights, both ends among them.

    A line is split at the node farthest off it until none is farther than half a metre on the map
    or a quarter of that in height (Ramer 1972, Computer Graphics and Image Processing 1:244-256),
    and no leg is longer than about 100 m, so that whatever reads the track sees no hole in it.
    """
    xyz_m = _stretched_xyz_m(course)
    kept = np.zeros(course.intervals + 1, dtype=bool)
    kept[[0, -1]] = True
    kept[:: max(1, int(LONGEST_LEG_M // course.step_m))] = True
    ends = np.flatnonzero(kept)
    spans = list(zip(ends[:-1].tolist(), ends[1:].tolist(), strict=True))
    while spans:
        first, last = spans.pop()
        if last - first < 2:
            continue
        offset_m = _offsets_m(xyz_m[:, first : last + 1])
        farthest = int(np.argmax(offset_m))
        if offset_m[farthest] > LARGEST_OFFSET_M:
            middle = first + farthest
            kept[middle] = True
            spans += [(first, middle), (middle, last)]
    return np.flatnonzero(kept)


def _stretched_xyz_m(course: Course) -> Floats:
    """Nodes in space, m, (3, n + 1), heights drawn out so that they count as much as places."""
    ground = sphere_xyz_m(course.latitude_deg, course.longitude_deg)
    return np.asarray(ground * (1.0 + HEIGHT_COUNTS * course.elevation_m / EARTH_RADIUS_M))


def _offsets_m(xyz_m: Floats) -> Floats:
    """Distance of each point from the straight line between the first and the last, m."""
    off = xyz_m - xyz_m[:, :1]
    chord = off[:, -1]
    along = chord @ off / max(float(chord @ chord), 1e-12)
    return np.asarray(np.sqrt(((off - np.outer(chord, along)) ** 2).sum(axis=0)))
