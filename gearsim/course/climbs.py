"""What a course asks for: its climbs and descents one by one, and its steepest parts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearsim.course.course import Course
from gearsim.course.track import Floats

# Common practice differs; these are ours.
FALSE_FLAT_GRADE = 0.02  # a climb gains on a line rising at this grade ...
LARGEST_DIP_M = 10.0  # ... never falling back against it by more than this ...
LEAST_GAIN_M = 20.0  # ... and gains at least this much height
STEEPEST_PART_M = 100.0


@dataclass(frozen=True, kw_only=True)
class Climb:
    """A climb, or, with negative gain and grades, a descent.

    `steepest_grade` is the mean over its steepest 100 m, or over all of it where it is shorter.
    """

    start_m: float
    length_m: float
    gain_m: float
    grade: float
    steepest_grade: float

    @property
    def end_m(self) -> float:
        """Where it ends along the course, m."""
        return self.start_m + self.length_m


@dataclass(frozen=True, kw_only=True)
class SteepPart:
    """The steepest stretch of a given length: mean grade and where it begins."""

    grade: float
    start_m: float
    length_m: float


def climbs(course: Course) -> tuple[Climb, ...]:
    """The climbs of a course, in order.

    The rule: seen against a line that rises at 2 %, a climb runs from a low point to a high point,
    on the way never falls back by more than 10 m, and gains at least 20 m of height.  So a long
    false flat is no climb, a flat kilometre parts two climbs, and a short dip does not.
    """
    return _rises(course.elevation_m, course.step_m)


def descents(course: Course) -> tuple[Climb, ...]:
    """The descents of a course, in order: the climbs of the road the other way, seen from here."""
    rises = _rises(course.elevation_m[::-1], course.step_m)
    return tuple(
        Climb(
            start_m=course.length_m - rise.end_m,
            length_m=rise.length_m,
            gain_m=-rise.gain_m,
            grade=-rise.grade,
            steepest_grade=-rise.steepest_grade,
        )
        for rise in reversed(rises)
    )


def total_climb_m(course: Course) -> float:
    """Sum of all rises, m."""
    return float(np.maximum(np.diff(course.elevation_m), 0.0).sum())


def total_descent_m(course: Course) -> float:
    """Sum of all falls, m, as a positive number."""
    return float(np.maximum(-np.diff(course.elevation_m), 0.0).sum())


def steepest(course: Course, window_m: float) -> SteepPart:
    """The stretch of about `window_m` (whole intervals, at most all of them) that rises most."""
    window = min(max(1, round(window_m / course.step_m)), course.intervals)
    grade, start = _steepest(course.elevation_m, course.step_m, window)
    return SteepPart(grade=grade, start_m=start * course.step_m, length_m=window * course.step_m)


def _steepest(elevation_m: Floats, step_m: float, window: int) -> tuple[float, int]:
    rise_m = elevation_m[window:] - elevation_m[:-window]
    start = int(np.argmax(rise_m))
    return float(rise_m[start] / (window * step_m)), start


def _rises(elevation_m: Floats, step_m: float) -> tuple[Climb, ...]:
    against_line_m = elevation_m - FALSE_FLAT_GRADE * step_m * np.arange(len(elevation_m))
    spans = _between_turns(against_line_m, LARGEST_DIP_M)
    return tuple(
        _climb(elevation_m, step_m, low, high)
        for low, high in spans
        if elevation_m[high] - elevation_m[low] >= LEAST_GAIN_M
    )


def _climb(elevation_m: Floats, step_m: float, low: int, high: int) -> Climb:
    gain_m = float(elevation_m[high] - elevation_m[low])
    length_m = (high - low) * step_m
    window = min(max(1, round(STEEPEST_PART_M / step_m)), high - low)
    steepest_grade, _ = _steepest(elevation_m[low : high + 1], step_m, window)
    return Climb(
        start_m=low * step_m,
        length_m=length_m,
        gain_m=gain_m,
        grade=gain_m / length_m,
        steepest_grade=steepest_grade,
    )


def _between_turns(height_m: Floats, dip_m: float) -> list[tuple[int, int]]:
    """Each low and the high after it, where height turns by more than `dip_m` between."""
    spans = []
    low = high = 0
    for node, height in enumerate(height_m.tolist()):
        if height > height_m[high]:
            high = node
        elif height < height_m[high] - dip_m or height < height_m[low]:
            spans.append((low, high))
            low = high = node
    spans.append((low, high))
    return [(low, high) for low, high in spans if height_m[high] - height_m[low] > dip_m]
