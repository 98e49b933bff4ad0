"""A short invented route, for a plan that has none yet."""

from __future__ import annotations

import math
from bisect import bisect
from collections.abc import Iterator
from itertools import accumulate

NAME = "Example hill"
# Open water in the Gulf of Guinea: nobody looks for this hill on a map.
START_LATITUDE_DEG, START_LONGITUDE_DEG, START_HEIGHT_M = 2.0, 1.0, 120.0
METRES_PER_DEGREE = 111_000.0  # near the equator, near enough
SPACING_M = 12.5

STRETCHES = (
    # length m, grade %, bearing °
    (700.0, 0.0, 20.0),
    (600.0, 3.0, 35.0),
    (900.0, 7.0, 60.0),
    (250.0, 16.0, 75.0),
    (500.0, 5.0, 80.0),
    (300.0, 0.0, 110.0),
    (1400.0, -8.0, 150.0),
    (500.0, -3.0, 190.0),
    (800.0, 1.0, 220.0),
)
ENDS_M = tuple(accumulate(length_m for length_m, _, _ in STRETCHES))
EASE_M = 30.0  # a stretch's grade and bearing begin and end so much before and after its ends


def example_gpx() -> str:
    """About 6 km over one hill, with a steep ramp and a fast descent, as GPX 1.1."""
    points = "\n".join(
        f'<trkpt lat="{latitude:.6f}" lon="{longitude:.6f}"><ele>{height:.1f}</ele></trkpt>'
        for latitude, longitude, height in _points()
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<gpx version="1.1" creator="gearsim" xmlns="http://www.topografix.com/GPX/1/1">\n'
        f"<trk><name>{NAME}</name><trkseg>\n{points}\n</trkseg></trk>\n</gpx>\n"
    )


def _points() -> Iterator[tuple[float, float, float]]:
    """Latitude and longitude in degrees and height in m, point by point."""
    latitude, longitude, height_m = START_LATITUDE_DEG, START_LONGITUDE_DEG, START_HEIGHT_M
    yield latitude, longitude, height_m
    for leg in range(round(ENDS_M[-1] / SPACING_M)):
        grade_percent, bearing_deg = _road((leg + 0.5) * SPACING_M)
        bearing = math.radians(bearing_deg)
        latitude += SPACING_M * math.cos(bearing) / METRES_PER_DEGREE
        longitude += SPACING_M * math.sin(bearing) / METRES_PER_DEGREE
        height_m += SPACING_M * grade_percent / 100.0
        yield latitude, longitude, height_m


def _road(distance_m: float) -> tuple[float, float]:
    """Grade in % and bearing in ° at a distance, eased from stretch to stretch."""
    around = [_stretch(distance_m + ahead) for ahead in (-EASE_M, 0.0, EASE_M)]
    grades, bearings = zip(*around, strict=True)
    return sum(grades) / 3.0, sum(bearings) / 3.0


def _stretch(distance_m: float) -> tuple[float, float]:
    stretch = min(bisect(ENDS_M, distance_m), len(STRETCHES) - 1)
    _, grade_percent, bearing_deg = STRETCHES[stretch]
    return grade_percent, bearing_deg
