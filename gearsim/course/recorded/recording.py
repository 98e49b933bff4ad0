"""A recorded ride: what its instruments told, second by second, on the course that it makes."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from gearsim.course.choice import choose_track
from gearsim.course.course import Course
from gearsim.course.geodesic import leg_distances_m
from gearsim.course.gpx_in import read_gpx
from gearsim.course.loading import load_course
from gearsim.course.repairs.finding import runs
from gearsim.course.repairs.repair import PLACE_REPAIRS
from gearsim.course.route_file import read_route_text
from gearsim.course.track import Floats, Mask, Track
from gearsim.errors import RouteError

ELEMENTS = {
    "speed": ("speed",),
    "power": ("power", "powerinwatts", "watts"),
    "cadence": ("cad", "cadence"),
    "heart rate": ("hr", "heartrate"),
}
"""Names, without namespace and in lower case, under which a GPX point carries each reading."""

MOST = {"speed": 45.0, "power": 2500.0, "cadence": 200.0, "heart rate": 250.0}
"""Readings above these (m/s, W, rpm, beats a minute) are taken for faults of the recorder."""

LONGEST_BRIDGE_S = 10.0
"""Points up to so many seconds apart are joined; longer, and the recorder was off (judgement)."""

STANDING_MPS = 0.7  # under the slowest pace at which a rider balances, 1 m/s (Cain et al. 2016)
SHORTEST_STOP_S = 5.0
MOSTLY = 0.9  # share of points that must carry a speed for it to be used
SPEED_OVER_S = 5  # speed from places is taken over so many seconds
LEAST_TIMED = 60


@dataclass(frozen=True, kw_only=True)
class Stop:
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
    stops: tuple[Stop, ...]
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
        return self.elapsed_s - sum(stop.duration_s for stop in self.stops)

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

    Raises as `load_course`, and `RouteError` where the points have no times.
    """
    path = Path(path)
    course = load_course(path, step_m)
    file = read_gpx(path)
    choice = choose_track(file)
    track = choice.track
    _refuse_untimed(str(path), track)
    given_s = np.concatenate([named.track.time_s for named in (*file.tracks, *file.routes)])
    readings = _readings(read_route_text(path), len(given_s))
    at = _forward(track)
    order = np.argsort(given_s, kind="stable")
    row = order[np.searchsorted(given_s[order], track.time_s[at])]
    clock_s = track.time_s[at] - track.time_s[at][0]
    seconds = np.arange(np.floor(clock_s[-1]) + 1.0)
    off = _off(clock_s, seconds)
    distance_m = np.interp(seconds, clock_s, _distances_m(track)[at])
    known = {what: _each_second(clock_s, r[row], seconds, off) for what, r in readings.items()}
    speed_recorded = _mostly_known(known["speed"][~off])
    speed_mps = known["speed"] if speed_recorded else _speed_from_places(distance_m, off)
    stops = _stops(speed_mps, distance_m, off)
    interval = np.clip((distance_m / course.step_m).astype(np.int64), 0, course.intervals - 1)
    return Recording(
        name=choice.name,
        source=str(path),
        course=course,
        began_s=float(track.time_s[at][0]),
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


def _refuse_untimed(source: str, track: Track) -> None:
    timed = int((~np.isnan(track.time_s)).sum())
    if timed < max(LEAST_TIMED, MOSTLY * track.points):
        raise RouteError(
            f"{source}: {timed} of {track.points} points have a time; allowed is "
            f"{100 * MOSTLY:.0f} % of them and {LEAST_TIMED} at least, "
            "give a recorded ride, not a planned route"
        )


def _readings(text: str, points: int) -> dict[str, Floats]:
    """Readings of every track point (then route point) of the file, in order; nan where none."""
    found = {what: np.full(points, np.nan) for what in ELEMENTS}
    root = ElementTree.fromstring(text)
    listed = [e for kind in ("trkpt", "rtept") for e in root.iter() if _name_of(e) == kind]
    for place, point in enumerate(listed[:points]):
        told = {_name_of(part): part.text for part in point.iter()}
        for what, names in ELEMENTS.items():
            found[what][place] = _number(next((told[n] for n in names if n in told), None))
    return {what: np.where(r <= MOST[what], r, np.nan) for what, r in found.items()}


def _name_of(element: ElementTree.Element) -> str:
    return element.tag.rpartition("}")[2].lower()


def _number(text: str | None) -> float:
    try:
        return max(float(text or "nan"), 0.0)
    except ValueError:
        return np.nan


def _forward(track: Track) -> Mask:
    """Points whose clock goes on from the one before."""
    clock_s = np.where(np.isnan(track.time_s), -np.inf, track.time_s)
    latest_s = np.concatenate([[-np.inf], np.maximum.accumulate(clock_s)[:-1]])
    return clock_s > latest_s


def _distances_m(track: Track) -> Floats:
    """Distance along the course of every point as it came."""
    kept = track
    for repair in PLACE_REPAIRS:
        kept, _ = repair(kept)
    leg_m = leg_distances_m(kept.latitude_deg, kept.longitude_deg)
    distance_m = np.concatenate([[0.0], np.cumsum(leg_m)])
    order = np.argsort(kept.number, kind="stable")
    along_m: Floats = np.interp(track.number, kept.number[order], distance_m[order])
    return np.maximum.accumulate(along_m)


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


def _stops(speed_mps: Floats, distance_m: Floats, off: Mask) -> tuple[Stop, ...]:
    """Standing still for 5 s and more; a recorder that was off counts where it did not go on."""
    standing = np.nan_to_num(speed_mps, nan=np.inf) < STANDING_MPS
    for a, b in zip(*runs(off), strict=True):
        start, end = max(a - 1, 0), min(b + 1, len(off) - 1)
        gone_mps = (distance_m[end] - distance_m[start]) / (end - start)
        standing[a : b + 1] = gone_mps < STANDING_MPS
    return tuple(
        Stop(start_s=float(a), duration_s=float(b - a + 1), distance_m=float(distance_m[a]))
        for a, b in zip(*runs(standing), strict=True)
        if b - a + 1 >= SHORTEST_STOP_S
    )


def _in_stops(stops: tuple[Stop, ...], seconds: Floats) -> Mask:
    inside = np.zeros(len(seconds), dtype=bool)
    for stop in stops:
        start = int(stop.start_s)
        inside[start : start + int(stop.duration_s)] = True
    return inside
