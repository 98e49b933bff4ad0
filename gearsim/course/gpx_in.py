"""GPX files in: tracks, routes and waypoints as arrays."""

from __future__ import annotations

import datetime
import gc
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import gpxpy
import gpxpy.gpx
import numpy as np

from gearsim.course.route_file import read_route_text
from gearsim.course.track import Floats, Track
from gearsim.errors import RouteError, as_given

Points = Sequence[gpxpy.gpx.GPXTrackPoint] | Sequence[gpxpy.gpx.GPXRoutePoint]


@dataclass(frozen=True, kw_only=True)
class NamedTrack:
    """A `<trk>` (all its segments, one after the other) or a `<rte>` of the file.

    `given` is false where the file has no name for it and it is called `track 2`.
    """

    name: str
    track: Track
    given: bool = True


@dataclass(frozen=True, kw_only=True)
class Waypoint:
    """A named place of the file, not yet on the course."""

    name: str
    latitude_deg: float
    longitude_deg: float


@dataclass(frozen=True, kw_only=True)
class RouteFile:
    """What a GPX file holds; tracks and routes without a point are left out.

    `title` is the name that the file gives itself, else that of the file.
    """

    path: Path
    title: str
    tracks: tuple[NamedTrack, ...]
    routes: tuple[NamedTrack, ...]
    waypoints: tuple[Waypoint, ...]


def read_gpx(path: str | Path) -> RouteFile:
    """Read GPX 1.0 or 1.1, plain or gzipped.

    Raises `FileError` for a file that cannot be read and `RouteError` for one that is not GPX, is
    damaged, or has coordinates that are no place on earth.
    """
    path = Path(path)
    with _without_garbage_rounds():
        return _as_arrays(path, _parsed(path, read_route_text(path)))


@contextmanager
def _without_garbage_rounds() -> Iterator[None]:
    """Keep the garbage collector from walking millions of points that are all still in use."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _as_arrays(path: Path, gpx: gpxpy.gpx.GPX) -> RouteFile:
    tracks = [(trk.name, [p for seg in trk.segments for p in seg.points]) for trk in gpx.tracks]
    routes = [(rte.name, rte.points) for rte in gpx.routes]
    return RouteFile(
        path=path,
        title=_one_line(gpx.name or "") or Path(path.name.removesuffix(".gz")).stem,
        tracks=_named_tracks(path, "track", tracks),
        routes=_named_tracks(path, "route", routes),
        waypoints=_waypoints(path, gpx.waypoints),
    )


def _parsed(path: Path, text: str) -> gpxpy.gpx.GPX:
    try:
        return gpxpy.parse(text)
    except gpxpy.gpx.GPXXMLSyntaxException as error:
        reason = re.sub(r" \(<string>, line \d+\)$", "", _one_line(str(error.__cause__)))
        raise RouteError(
            f"{path}: damaged or cut short: {reason}; export or download the route again"
        ) from error
    except (gpxpy.gpx.GPXException, ValueError) as error:
        reason = _fault(text, str(error))
        raise RouteError(
            f"{path}: {_one_line(reason)}; correct it there, or export the route again"
        ) from error


def _fault(text: str, reason: str) -> str:
    """What the parser complains of, with the line where it stands first in the file."""
    wrong = re.search(r"Invalid value for <(.*?)>\.\.\. (.*) \(", reason, re.DOTALL)
    if wrong:
        value = wrong.group(2)
        tag = "lat or lon" if wrong.group(1) == "None" else f"<{wrong.group(1)}>"
        place = _line_of(text, rf"[>\"']\s*{re.escape(value)}\s*[<\"']")
        return f"{place}{tag} is '{_shortened(value, 40)}'; allowed is a number such as 45.67"
    missing = re.match(r"(lat|lon)\w* is mandatory", reason)
    if missing:
        name = missing.group(1)
        place = _line_of(text, rf"<(trkpt|rtept|wpt)\b(?![^>]*\s{name}\s*=)")
        return f"{place}a point has no {name}; allowed is a number such as 45.67"
    return reason


def _line_of(text: str, pattern: str) -> str:
    found = re.search(pattern, text)
    return f"line {text.count(chr(10), 0, found.start()) + 1}: " if found else ""


def _named_tracks(
    path: Path, kind: str, found: Sequence[tuple[str | None, Points]]
) -> tuple[NamedTrack, ...]:
    named = []
    for number, (name, points) in enumerate(found, start=1):
        given = _one_line(name or "")
        shown = given or f"{kind} {number}"
        if points:
            track = _as_track(points)
            _refuse_impossible_places(path, shown, track.latitude_deg, track.longitude_deg)
            named.append(NamedTrack(name=shown, track=track, given=bool(given)))
    return tuple(named)


def _as_track(points: Points) -> Track:
    return Track(
        latitude_deg=np.array([point.latitude for point in points], dtype=float),
        longitude_deg=np.array([point.longitude for point in points], dtype=float),
        elevation_m=np.array([point.elevation for point in points], dtype=float),
        time_s=np.array([_seconds(point.time) for point in points], dtype=float),
        number=np.arange(len(points)),
    )


def _seconds(time: datetime.datetime | None) -> float:
    """Seconds since 1970; a clock time without a zone is taken as UTC, as GPX says."""
    if time is None:
        return np.nan
    if time.tzinfo is None:
        time = time.replace(tzinfo=datetime.UTC)
    try:
        return time.timestamp()
    except (OverflowError, ValueError):  # a year or a zone that no clock has
        return np.nan


def _waypoints(path: Path, found: Sequence[gpxpy.gpx.GPXWaypoint]) -> tuple[Waypoint, ...]:
    latitude = np.array([point.latitude for point in found], dtype=float)
    longitude = np.array([point.longitude for point in found], dtype=float)
    _refuse_impossible_places(path, "waypoints", latitude, longitude)
    return tuple(
        Waypoint(
            name=_one_line(point.name or "") or f"waypoint {number}",
            latitude_deg=float(point.latitude),
            longitude_deg=float(point.longitude),
        )
        for number, point in enumerate(found, start=1)
    )


def _refuse_impossible_places(path: Path, name: str, latitude: Floats, longitude: Floats) -> None:
    possible = (np.abs(latitude) <= 90.0) & (np.abs(longitude) <= 180.0)
    if possible.all():
        return
    first = int(np.argmin(possible))
    raise RouteError(
        f"{path}: {name}, point {first + 1}: latitude {as_given(latitude[first])}, longitude "
        f"{as_given(longitude[first])}; allowed is -90 to 90 and -180 to 180 degrees, "
        "correct or remove the point"
    )


def _one_line(text: str) -> str:
    """The text without line breaks and other invisible characters, shortened when long."""
    return _shortened(" ".join("".join(c if c.isprintable() else " " for c in text).split()), 120)


def _shortened(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"
