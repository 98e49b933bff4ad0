"""The points of a recording as they were ridden, and what its instruments told at each."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from gearsim.course.choice import choose_track
from gearsim.course.counted import counted
from gearsim.course.geodesic import leg_distances_m
from gearsim.course.gpx_in import NamedTrack, RouteFile
from gearsim.course.repairs.places import order_ridden
from gearsim.course.repairs.repair import PLACE_REPAIRS
from gearsim.course.route_file import read_route_text
from gearsim.course.track import Floats, Indices, Mask, Track
from gearsim.errors import RouteError
from gearsim.units import SECONDS_PER_HOUR

ELEMENTS = {
    "speed": ("speed",),
    "power": ("power", "powerinwatts", "watts"),
    "cadence": ("cad", "cadence"),
    "heart rate": ("hr", "heartrate"),
}
"""Names, without namespace and in lower case, under which a GPX point carries each reading."""

MOST = {"speed": 45.0, "power": 2500.0, "cadence": 200.0, "heart rate": 250.0}
"""Readings above these (m/s, W, rpm, beats a minute) are taken for faults of the recorder."""

MOSTLY_TIMED = 0.9  # share of points that must have a time
LEAST_TIMED = 60  # points
DAY_S = 24.0 * SECONDS_PER_HOUR
MOST_DAYS = 30.0  # a recorder writes 1970, or a far year, before it knows the time


@dataclass(frozen=True, kw_only=True)
class RiddenPoints:
    """The points of a recording whose clock goes on, as they were ridden.

    `began_s` is the first one's time, `clock_s` each one's since then.
    """

    began_s: float
    clock_s: Floats
    distance_m: Floats
    readings: dict[str, Floats]


def points_of(file: RouteFile) -> RiddenPoints:
    """The points of the track that is taken.

    Raises `RouteError` where they have no times, hardly any that go on, or times over weeks.
    """
    choice, source = choose_track(file), str(file.path)
    _refuse_untimed(source, choice.track)
    order = order_ridden(choice.track)
    track = replace(choice.track.at(order), number=np.arange(choice.track.points))
    forward = _forward(track)
    time_s = track.time_s[forward]
    _refuse_clock(source, time_s)
    row = _rows_in_file(file, choice.parts)[order][forward]
    readings = _readings(read_route_text(file.path))
    return RiddenPoints(
        began_s=float(time_s[0]),
        clock_s=time_s - time_s[0],
        distance_m=_distances_m(track)[forward],
        readings={what: reading[row] for what, reading in readings.items()},
    )


def _refuse_untimed(source: str, track: Track) -> None:
    timed = int((~np.isnan(track.time_s)).sum())
    if timed < max(LEAST_TIMED, MOSTLY_TIMED * track.points):
        raise RouteError(
            f"{source}: {timed} of {track.points} points have a time; allowed is "
            f"{100 * MOSTLY_TIMED:.0f} % of them and {LEAST_TIMED} at least, "
            "give a recorded ride, not a planned route"
        )


def _refuse_clock(source: str, time_s: Floats) -> None:
    if len(time_s) < LEAST_TIMED:
        raise RouteError(
            f"{source}: the clock stands still or runs backwards: "
            f"{counted(len(time_s), 'point')} later than all before; allowed is {LEAST_TIMED} at "
            "least, give another recording"
        )
    days = (time_s[-1] - time_s[0]) / DAY_S
    if days > MOST_DAYS:
        began, ended = (str(np.datetime64(int(each), "s"))[:10] for each in time_s[[0, -1]])
        raise RouteError(
            f"{source}: its times run from {began} to {ended}, {days:.0f} days; allowed is "
            f"{MOST_DAYS:.0f}, take out the points whose time is wrong, or give one ride"
        )


def _rows_in_file(file: RouteFile, parts: Sequence[NamedTrack]) -> Indices:
    """The places of the parts' points among all track points (then route points) of the file."""
    rows, start = [], 0
    for named in (*file.tracks, *file.routes):
        if any(named is part for part in parts):
            rows.append(np.arange(start, start + named.track.points))
        start += named.track.points
    return np.concatenate(rows)


def _readings(text: str) -> dict[str, Floats]:
    """Readings of every track point (then route point) of the file, in order; nan where none."""
    root = ElementTree.fromstring(text)
    listed = [e for kind in ("trkpt", "rtept") for e in root.iter() if _name_of(e) == kind]
    found = {what: np.full(len(listed), np.nan) for what in ELEMENTS}
    for place, point in enumerate(listed):
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
    """Distance along the course of every point, also of those that the course leaves out."""
    kept = track
    for repair in PLACE_REPAIRS:
        kept, _ = repair(kept)
    leg_m = leg_distances_m(kept.latitude_deg, kept.longitude_deg)
    distance_m = np.concatenate([[0.0], np.cumsum(leg_m)])
    order = np.argsort(kept.number, kind="stable")
    along_m: Floats = np.interp(track.number, kept.number[order], distance_m[order])
    return np.maximum.accumulate(along_m)
