"""The points of one track, as arrays."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
Indices = NDArray[np.int64]

EARTH_RADIUS_M = 6_371_008.8
"""Mean radius of WGS84: only for choices, never for the course's length."""


@dataclass(frozen=True, kw_only=True)
class Track:
    """n points in the order of the ride: WGS84 place in degrees, height, clock time.

    `elevation_m` is nan where the file has no height, `time_s` (since 1970, UTC) where it has no
    time.  `number` counts the points as they came and stays with them when others are taken out.
    """

    latitude_deg: Floats
    longitude_deg: Floats
    elevation_m: Floats
    time_s: Floats
    number: Indices

    @property
    def points(self) -> int:
        """Number of points, n."""
        return len(self.latitude_deg)

    @property
    def timed(self) -> bool:
        """Whether every point has a time."""
        return not bool(np.isnan(self.time_s).any())

    @property
    def xyz_m(self) -> Floats:
        """The points on a sphere, m, (3, n); see `sphere_xyz_m`."""
        return sphere_xyz_m(self.latitude_deg, self.longitude_deg)

    def at(self, index: Indices | Mask) -> Track:
        """The track of these points only."""
        return Track(**{field.name: getattr(self, field.name)[index] for field in fields(self)})


def joined(tracks: list[Track]) -> Track:
    """One track of all the points of several, in that order, counted anew."""
    whole = Track(
        **{
            field.name: np.concatenate([getattr(track, field.name) for track in tracks])
            for field in fields(Track)
        }
    )
    return replace(whole, number=np.arange(whole.points))


def sphere_xyz_m(latitude_deg: Floats, longitude_deg: Floats) -> Floats:
    """Points on a sphere of the earth's mean radius, m, (3, n): no seam at the date line.

    Distances between them are within 0.6 % of the ellipsoid's: good enough to judge what is a
    jump, a spike or a stop.
    """
    latitude, longitude = np.radians(latitude_deg), np.radians(longitude_deg)
    cos_latitude = np.cos(latitude)
    x, y = cos_latitude * np.cos(longitude), cos_latitude * np.sin(longitude)
    return EARTH_RADIUS_M * np.stack([x, y, np.sin(latitude)])


def gap_m(xyz_m: Floats, start: Indices, end: Indices) -> Floats:
    """Straight distance between each of the points `start` and each of `end`, m."""
    difference = xyz_m[:, end] - xyz_m[:, start]
    gap: Floats = np.sqrt(np.einsum("ij,ij->j", difference, difference))
    return gap


def leg_lengths_m(xyz_m: Floats) -> Floats:
    """Straight distance from each point to the next, m, (n - 1)."""
    difference = np.diff(xyz_m, axis=1)
    length: Floats = np.sqrt(np.einsum("ij,ij->j", difference, difference))
    return length


def usual_long_leg_m(leg_m: Floats) -> float:
    """The leg that nine in ten legs of a track are shorter than, m: how sparse its points are."""
    moving = leg_m[leg_m > 0.0]
    return float(np.percentile(moving, 90.0)) if len(moving) else 0.0
