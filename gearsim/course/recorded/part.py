"""A part of a recorded ride, with the part of the course that it went over."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gearsim.course.course import Course
from gearsim.course.recorded.recording import RecordedStop, Recording

SECONDS = (
    "elevation_m",
    "grade",
    "bearing_rad",
    "speed_mps",
    "power_w",
    "cadence_rpm",
    "heart_rate_bpm",
    "moving",
    "off",
)
"""The arrays of a recording that are cut as they are."""


def halves_of(recording: Recording) -> tuple[Recording, Recording]:
    """The first and the second half of a recording, by moving time."""
    moved_s = np.cumsum(recording.moving)
    middle = int(np.searchsorted(moved_s, 0.5 * moved_s[-1]))
    last = len(recording.time_s) - 1
    return (
        part_of(recording, 0, middle, "first half"),
        part_of(recording, middle, last, "second half"),
    )


def part_of(recording: Recording, first: int, last: int, called: str) -> Recording:
    """The seconds from `first` to `last`, both included, on their part of the course."""
    kept = slice(first, last + 1)
    gone_m = recording.distance_m[kept]
    course, start_m = _stretch(recording.course, float(gone_m[0]), float(gone_m[-1]), called)
    return replace(
        recording,
        name=f"{recording.name}, {called}",
        part=called,
        course=course,
        began_s=recording.began_s + first,
        time_s=recording.time_s[kept] - recording.time_s[first],
        distance_m=np.clip(gone_m - start_m, 0.0, course.length_m),
        stops=tuple(
            _stop_within(stop, first, last, start_m)
            for stop in recording.stops
            if first - stop.duration_s < stop.start_s <= last
        ),
        **{name: getattr(recording, name)[kept] for name in SECONDS},
    )


def _stop_within(stop: RecordedStop, first: int, last: int, start_m: float) -> RecordedStop:
    """As much of a stop as is from second `first` to `last`, told from there and `start_m` on."""
    begin_s, end_s = max(stop.start_s, first), min(stop.start_s + stop.duration_s, last + 1)
    return replace(
        stop,
        start_s=begin_s - first,
        duration_s=end_s - begin_s,
        distance_m=stop.distance_m - start_m,
    )


def _stretch(course: Course, from_m: float, to_m: float, called: str) -> tuple[Course, float]:
    """The whole intervals that hold a stretch of the course, and where they begin, m."""
    first = min(int(from_m / course.step_m), course.intervals - 1)
    last = max(min(round(to_m / course.step_m), course.intervals), first + 1)
    nodes, intervals = slice(first, last + 1), slice(first, last)
    start_m = first * course.step_m
    part = replace(
        course,
        name=f"{course.name}, {called}",
        latitude_deg=course.latitude_deg[nodes],
        longitude_deg=course.longitude_deg[nodes],
        elevation_m=course.elevation_m[nodes],
        bearing_rad=course.bearing_rad[intervals],
        bend_radius_m=course.bend_radius_m[nodes],
        surface_index=course.surface_index[intervals],
        places=tuple(
            replace(place, distance_m=place.distance_m - start_m)
            for place in course.places
            if start_m <= place.distance_m <= last * course.step_m
        ),
    )
    return part, start_m
