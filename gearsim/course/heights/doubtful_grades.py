"""Grades so steep that the heights, not the road, are likely to be wrong."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearsim.course.course import Course
from gearsim.course.track import Mask

DOUBTFUL_GRADE = 0.30
DOUBTFUL_OVER_M = 50.0
"""Judgement, no source: the steepest streets that are made known for it have about 35 %, and those
in their steepest few metres."""


@dataclass(frozen=True, kw_only=True)
class DoubtfulGrades:
    """Where the heights make grades that hardly any road has.

    `grade` is the steepest mean over `length_m`, negative downhill, from `start_m` on; `inside` (n)
    tells the intervals of every such stretch.
    """

    grade: float
    start_m: float
    length_m: float
    inside: Mask


def doubtful_grades(course: Course) -> DoubtfulGrades | None:
    """Where a course is steeper than 30 % over 50 m, up or down; None where it nowhere is."""
    window = min(max(1, round(DOUBTFUL_OVER_M / course.step_m)), course.intervals)
    length_m = window * course.step_m
    grade = (course.elevation_m[window:] - course.elevation_m[:-window]) / length_m
    starts = np.flatnonzero(np.abs(grade) > DOUBTFUL_GRADE)
    if len(starts) == 0:
        return None
    inside = np.zeros(course.intervals, dtype=np.bool_)
    for start in starts.tolist():
        inside[start : start + window] = True
    steepest = int(np.argmax(np.abs(grade)))
    return DoubtfulGrades(
        grade=float(grade[steepest]),
        start_m=float(course.distance_m[steepest]),
        length_m=length_m,
        inside=inside,
    )
