"""How much of a course lies on each surface, and at each grade."""

from __future__ import annotations

import numpy as np

from gearsim.course.course import Course
from gearsim.course.track import Floats


def length_by_surface_m(course: Course) -> dict[str, float]:
    """Metres on the map on each surface that the course has, by name, the longest first."""
    counts = np.bincount(course.surface_index, minlength=len(course.surfaces))
    lengths = {
        surface.name: float(count * course.step_m)
        for surface, count in zip(course.surfaces, counts, strict=True)
        if count
    }
    return dict(sorted(lengths.items(), key=lambda item: -item[1]))


def length_by_grade_m(course: Course, edges: Floats) -> Floats:
    """Metres on the map between neighbours of `edges` (k, rising, as fractions): (k + 1).

    The first is the length below the first edge, the last that from the last edge on.
    """
    counts = np.bincount(np.digitize(course.grade, edges), minlength=len(edges) + 1)
    return counts.astype(np.float64) * course.step_m
