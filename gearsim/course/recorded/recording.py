"""A recorded ride: what its instruments told, second by second, on the course that it makes."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from gearsim.course.course import Course
from gearsim.course.gpx_in import read_gpx
from gearsim.course.loading import course_of
from gearsim.course.recorded.points import points_of
from gearsim.course.runs import runs
from gearsim.course.track import Floats, Mask

LONGEST_BRIDGE_S = 10.0
"""Points up to so many seconds apart are joined; longer, and the recorder was off (judgement)."""

STANDING_MPS = 0.7  # under the slowest pace at which a rider balances, 1 m/s (Cain et al. 2016)
SHORTEST_STOP_S = 5.0
MOSTLY = 0.9  # share of points that must carry a speed for it to be used
SPEED_OVER_S = 5  # speed from places is taken over so many seconds


@dataclass(frozen=True, kw_only=True)
class RecordedStop:
    """A rider standing still, or a recorder switched off without going on: when, where, how long.

    `start_s` is since the start of the recording, `distance_m` along the course.
    """

    start_s: float
    duration_s: float
    distance_m: float


@dataclass(frozen=True, kw_only=True)
class Recording:
    """A recorded ride on n whole seconds, and the course that was ridden.

    `time_s` counts from the first point, which was at `began_s` (since 1970, UTC).  `part` names
    the part of the ride that it is, empty for the whole.  Missing readings are nan, and so are all
    of them where the recorder was off for longer than 10 s, except `distance_m` (along the course,
    on the map) and `elevation_m` (the course's, smoothed), which go straight on.  `bearing_rad` and
    `grade` are the course's at the place.  `speed_recorded` tells whether the file gives speed or
    it was taken from places.  `moving` is false in stops; `off` is true where the recorder was off.
    """

    name: str
    source: str
    course: Course
    began_s: float
    time_s: Floats
    distance_m: Floats
    elevation_m: Floats
    grade: Floats
    bearing_rad: Floats
    speed_mps: Floats
    power_w: Floats
    cadence_rpm: Floats
    heart_rate_bpm: Floats
    moving: Mask
    off: Mask
    stops: tuple[RecordedStop, ...]
    speed_recorded: bool
    part: str = ""

    @property
    def ended_s(self) -> float:
        """Time of the last point, s since 1970, UTC."""
        return self.began_s + self.elapsed_s

    @property
    def elapsed_s(self) -> float:
        """Time from the first point to the last, s."""
        return float(self.time_s[-1])

    @property
    def moving_s(self) -> float:
        """Time that was not spent in stops, s."""
        return max(self.elapsed_s - sum(stop.duration_s for stop in self.stops), 0.0)

    @property
    def has_power(self) -> bool:
        """Whether power was recorded for most of the ride."""
        return _mostly_known(self.power_w[self.moving & ~self.off])

    @property
    def has_cadence(self) -> bool:
        """Whether cadence was recorded for most of the ride."""
        return _mostly_known(self.cadence_rpm[self.moving & ~self.off])


def load_recording(path: str | Path, step_m: float = 10.0) -> Recording:
    """The recorded ride in a GPX file, and its course on a grid of about `step_m`.

    Points are taken in the order in which they were ridden; one whose clock does not go on is left
    out.  Raises as `load_course` and `points_of`.
    """
    path = Path(path)
    file = read_gpx(path)
    course = course_of(file, step_m)
    points = points_of(file)
    seconds = np.arange(np.floor(points.clock_s[-1]) + 1.0)
    off = _off(points.clock_s, seconds)
    distance_m = np.interp(seconds, points.clock_s, points.distance_m)
    known = {
        what: _each_second(points.clock_s, reading, seconds, off)
        for what, reading in points.readings.items()
    }
    speed_recorded = _mostly_known(known["speed"][~off])
    speed_mps = known["speed"] if speed_recorded else _speed_from_places(distance_m, off)
    stops = _stops(speed_mps, distance_m, off)
    interval = np.clip((distance_m / course.step_m).astype(np.int64), 0, course.intervals - 1)
    return Recording(
        name=course.name,
        source=str(path),
        course=course,
        began_s=points.began_s,
        time_s=seconds,
        distance_m=distance_m,
        elevation_m=np.interp(distance_m, course.distance_m, course.elevation_m),
        grade=course.grade[interval],
        bearing_rad=course.bearing_rad[interval],
        speed_mps=speed_mps,
        power_w=known["power"],
        cadence_rpm=known["cadence"],
        heart_rate_bpm=known["heart rate"],
        moving=~_in_stops(stops, seconds),
        off=off,
        stops=stops,
        speed_recorded=speed_recorded,
    )


def _off(clock_s: Floats, seconds: Floats) -> Mask:
    """Seconds between two points that are too far apart in time."""
    after = np.clip(np.searchsorted(clock_s, seconds, side="left"), 1, len(clock_s) - 1)
    apart_s = clock_s[after] - clock_s[after - 1]
    between = (seconds > clock_s[after - 1]) & (seconds < clock_s[after])
    return (apart_s > LONGEST_BRIDGE_S) & between


def _each_second(clock_s: Floats, reading: Floats, seconds: Floats, off: Mask) -> Floats:
    known = ~np.isnan(reading)
    if known.sum() < 2:
        return np.full(len(seconds), np.nan)
    value = np.interp(seconds, clock_s[known], reading[known], left=np.nan, right=np.nan)
    return np.where(off | _off(clock_s[known], seconds), np.nan, value)


def _mostly_known(reading: Floats) -> bool:
    return len(reading) > 0 and float(np.mean(~np.isnan(reading))) >= MOSTLY


def _speed_from_places(distance_m: Floats, off: Mask) -> Floats:
    half = SPEED_OVER_S // 2
    padded = np.pad(distance_m, half, mode="edge")
    speed_mps = (padded[2 * half :] - padded[: -2 * half]) / (2.0 * half)
    return np.where(off, np.nan, speed_mps)


def _stops(speed_mps: Floats, distance_m: Floats, off: Mask) -> tuple[RecordedStop, ...]:
    """Standing still for 5 s and more; a recorder that was off counts where it did not go on."""
    standing = np.nan_to_num(speed_mps, nan=np.inf) < STANDING_MPS
    for a, b in zip(*runs(off), strict=True):
        start, end = max(a - 1, 0), min(b + 1, len(off) - 1)
        gone_mps = (distance_m[end] - distance_m[start]) / (end - start)
        standing[a : b + 1] = gone_mps < STANDING_MPS
    return tuple(
        RecordedStop(start_s=float(a), duration_s=float(b - a + 1), distance_m=float(distance_m[a]))
        for a, b in zip(*runs(standing), strict=True)
        if b - a + 1 >= SHORTEST_STOP_S
    )


def _in_stops(stops: tuple[RecordedStop, ...], seconds: Floats) -> Mask:
    inside = np.zeros(len(seconds), dtype=bool)
    for stop in stops:
        start = int(stop.start_s)
        inside[start : start + int(stop.duration_s)] = True
    return inside
