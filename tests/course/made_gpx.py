"""Small invented GPX files and tracks for the tests."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from gearsim.course.geodesic import WGS84
from gearsim.course.track import Track

HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="test">'
START_S = 1_700_000_000.0


def point(latitude: float, longitude: float, height: float | str | None, time: str = "") -> str:
    """One `<trkpt>`."""
    ele = "" if height is None else f"<ele>{height}</ele>"
    stamp = f"<time>{time}</time>" if time else ""
    return f'<trkpt lat="{latitude:.8f}" lon="{longitude:.8f}">{ele}{stamp}</trkpt>'


def gpx_track(points: Sequence[str], name: str = "made") -> str:
    """A `<trk>` of one segment."""
    return f"<trk><name>{name}</name><trkseg>{''.join(points)}</trkseg></trk>"


def hill(count: int = 101, north_deg: float = 45.0, step_deg: float = 1e-4) -> list[str]:
    """Points about 11 m apart, due north, over a hill of 20 m."""
    heights = 100.0 + 20.0 * np.sin(np.linspace(0.0, np.pi, count))
    return [point(north_deg + i * step_deg, 7.0, round(float(heights[i]), 2)) for i in range(count)]


def write(folder: Path, *body: str, name: str = "made.gpx") -> Path:
    """A GPX file with this inside."""
    path = folder / name
    path.write_text(HEAD + "".join(body) + "</gpx>", encoding="utf-8")
    return path


def track_of(
    east_m: Sequence[float] | np.ndarray,
    north_m: Sequence[float] | np.ndarray,
    height_m: Sequence[float] | np.ndarray | None = None,
    time_s: Sequence[float] | np.ndarray | None = None,
    origin: tuple[float, float] = (45.0, 7.0),
) -> Track:
    """A track from metres east and north of a place (geodesics from it)."""
    east, north = np.asarray(east_m, dtype=float), np.asarray(north_m, dtype=float)
    count = len(east)
    latitude, longitude = np.full(count, origin[0]), np.full(count, origin[1])
    bearing_deg = np.degrees(np.arctan2(east, north))
    lon, lat, _ = WGS84.fwd(longitude, latitude, bearing_deg, np.hypot(east, north))
    nothing = np.full(count, np.nan)
    heights = np.full(count, 100.0) if height_m is None else np.asarray(height_m, dtype=float)
    return Track(
        latitude_deg=np.asarray(lat),
        longitude_deg=np.asarray(lon),
        elevation_m=heights,
        time_s=nothing if time_s is None else START_S + np.asarray(time_s, dtype=float),
        number=np.arange(count),
    )
