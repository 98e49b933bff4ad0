"""Distance and bearing on the WGS84 ellipsoid."""

from __future__ import annotations

import numpy as np
from pyproj import Geod

from gearsim.course.track import Floats

WGS84 = Geod(ellps="WGS84")


def leg_distances_m(latitude_deg: Floats, longitude_deg: Floats) -> Floats:
    """Geodesic distance from each of n points to the next, m, (n - 1).

    Karney CFF (2013), Algorithms for geodesics, J Geodesy 87:43-55, as PROJ computes it.
    """
    lengths_m: Floats = np.asarray(
        WGS84.line_lengths(longitude_deg, latitude_deg), dtype=np.float64
    )
    return lengths_m


def leg_bearings_rad(latitude_deg: Floats, longitude_deg: Floats) -> Floats:
    """Bearing of the geodesic from each of n points to the next, in 0..2π from north, (n - 1)."""
    azimuth_deg = WGS84.inv(
        longitude_deg[:-1],
        latitude_deg[:-1],
        longitude_deg[1:],
        latitude_deg[1:],
        return_back_azimuth=False,
    )[0]
    bearing_rad: Floats = np.mod(np.radians(np.asarray(azimuth_deg)), 2.0 * np.pi)
    return bearing_rad


def unrolled_m(latitude_deg: Floats, longitude_deg: Floats) -> tuple[Floats, Floats]:
    """The path laid out flat, point after point: metres east and north of the first, (n), (n).

    True to scale and bearing along the path (radii of curvature of the ellipsoid in the meridian
    and across it); places far apart along the path are not where a map would have them.
    """
    middle_rad = np.radians((latitude_deg[1:] + latitude_deg[:-1]) / 2.0)
    w_squared = 1.0 - WGS84.es * np.sin(middle_rad) ** 2
    across_m = WGS84.a / np.sqrt(w_squared)
    meridian_m = WGS84.a * (1.0 - WGS84.es) / w_squared**1.5
    turn_rad = np.diff(np.unwrap(np.radians(longitude_deg)))
    east_m = turn_rad * across_m * np.cos(middle_rad)
    north_m = np.diff(np.radians(latitude_deg)) * meridian_m
    return np.concatenate([[0.0], np.cumsum(east_m)]), np.concatenate([[0.0], np.cumsum(north_m)])
