"""The uniform grid of distance that a course stands on."""

from __future__ import annotations

import numpy as np

from gearsim.course.geodesic import leg_bearings_rad
from gearsim.course.track import Floats


def node_distances_m(length_m: float, step_m: float) -> Floats:
    """Distances of the n + 1 nodes of n equal intervals that end exactly at `length_m`.

    The intervals are as near to `step_m` as a whole number of them allows.
    """
    return np.linspace(0.0, length_m, max(1, round(length_m / step_m)) + 1)


def places_at(
    distance_m: Floats, latitude_deg: Floats, longitude_deg: Floats, at_m: Floats
) -> tuple[Floats, Floats]:
    """Latitude and longitude at distances `at_m` along the points, straight between them.

    Longitudes come out in -180..180 and are not thrown around the globe by the date line.
    """
    latitude = np.interp(at_m, distance_m, latitude_deg)
    turned = np.interp(at_m, distance_m, np.unwrap(longitude_deg, period=360.0))
    return latitude, np.mod(turned + 180.0, 360.0) - 180.0


def interval_bearings_rad(latitude_deg: Floats, longitude_deg: Floats) -> Floats:
    """Bearing of each interval from its first node to its last, 0..2π from north, (n).

    An interval whose nodes coincide (the turn of a way out and back) keeps the bearing before it.
    """
    bearing = leg_bearings_rad(latitude_deg, longitude_deg)
    moved = (np.diff(latitude_deg) != 0.0) | (np.diff(longitude_deg) != 0.0)
    last_moved = np.maximum.accumulate(np.where(moved, np.arange(len(moved)), 0))
    return bearing[last_moved]
