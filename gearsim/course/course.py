"""The course: a route made usable, on one uniform grid of distance."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import ArrayLike

from gearsim.course.route_report import RouteReport
from gearsim.course.surface import Surface, surface_named
from gearsim.course.track import Floats, Indices
from gearsim.errors import PlanError, as_given

# Metres in a degree of WGS84 at latitude 0° longitude 0°, where synthetic courses begin.
METRES_PER_DEGREE_NORTH = 110_574.2758
METRES_PER_DEGREE_EAST = 111_319.4908


@dataclass(frozen=True, kw_only=True)
class Place:
    """A named place on the course (a waypoint of the GPX), at a distance on the map.

    `stop_s` is how long the rider stands there.
    """

    name: str
    distance_m: float
    stop_s: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Course:
    """A course of n intervals between n + 1 nodes, equally far apart on the map.

    Nodes (n + 1): `latitude_deg`, `longitude_deg`, `elevation_m`, `bend_radius_m` (inf where
    straight).  Intervals (n): `bearing_rad` (clockwise from north), `surface_index` (into
    `surfaces`).  Distance is on the map (WGS84); the road's own length follows from grade.
    `report` tells how the course was made from its file.
    """

    name: str
    step_m: float
    latitude_deg: Floats
    longitude_deg: Floats
    elevation_m: Floats
    bend_radius_m: Floats
    bearing_rad: Floats
    surfaces: tuple[Surface, ...]
    surface_index: Indices
    places: tuple[Place, ...] = ()
    report: RouteReport = field(default_factory=RouteReport)

    @property
    def intervals(self) -> int:
        """Number of intervals, n."""
        return len(self.bearing_rad)

    @property
    def length_m(self) -> float:
        """Length of the course on the map, m."""
        return self.intervals * self.step_m

    @property
    def distance_m(self) -> Floats:
        """Distance of each node from the start on the map, m, (n + 1)."""
        return np.arange(self.intervals + 1, dtype=np.float64) * self.step_m

    @property
    def grade(self) -> Floats:
        """Grade of each interval as a fraction, rise over map distance, (n)."""
        return np.diff(self.elevation_m) / self.step_m

    @property
    def road_length_m(self) -> Floats:
        """Length of the road in each interval, m, (n): longer than on the map where steep."""
        return self.step_m * np.sqrt(1.0 + self.grade**2)


def course_from_grades(
    grade: ArrayLike,
    *,
    step_m: float = 10.0,
    bearing_rad: ArrayLike = 0.0,
    surface: str = "tarmac",
    start_height_m: float = 0.0,
    name: str = "synthetic",
) -> Course:
    """A course made of known grades, without bends to brake for; it begins at 0° 0°.

    `grade` is rise over map distance of each interval (n), as a fraction; `bearing_rad` one for
    all intervals or one for each.  Raises `PlanError` for no grades, numbers that are not finite, a
    step that is not positive, or an unknown surface.
    """
    grades = np.atleast_1d(np.asarray(grade, dtype=float))
    given_rad = np.asarray(bearing_rad, dtype=float)
    if grades.ndim != 1 or given_rad.shape not in ((), grades.shape) or len(grades) == 0:
        raise PlanError("grade and bearing_rad must be given one for each interval")
    if not all(np.isfinite(each).all() for each in (grades, given_rad, start_height_m)):
        raise PlanError("grade, bearing_rad and start_height_m must be finite numbers")
    if not 0.0 < step_m < math.inf:
        raise PlanError(f"step_m is {as_given(step_m)}; allowed is above 0, for example 10")
    bearing = np.broadcast_to(given_rad, grades.shape)
    rise_m = np.concatenate([[0.0], np.cumsum(grades * step_m)])
    north = np.concatenate([[0.0], np.cumsum(step_m * np.cos(bearing))]) / METRES_PER_DEGREE_NORTH
    shrink = np.cos(np.radians((north[1:] + north[:-1]) / 2.0))
    east = np.concatenate([[0.0], np.cumsum(step_m * np.sin(bearing) / shrink)])
    return Course(
        name=name,
        step_m=step_m,
        latitude_deg=north,
        longitude_deg=east / METRES_PER_DEGREE_EAST,
        elevation_m=start_height_m + rise_m,
        bearing_rad=np.mod(bearing, 2.0 * np.pi),
        bend_radius_m=np.full(len(grades) + 1, np.inf),
        surfaces=(surface_named(surface),),
        surface_index=np.zeros(len(grades), dtype=np.int64),
    )


def reversed_course(course: Course) -> Course:
    """The same course ridden the other way."""
    return replace(
        course,
        name=f"{course.name}, the other way",
        latitude_deg=course.latitude_deg[::-1].copy(),
        longitude_deg=course.longitude_deg[::-1].copy(),
        elevation_m=course.elevation_m[::-1].copy(),
        bearing_rad=np.mod(course.bearing_rad[::-1] + np.pi, 2.0 * np.pi),
        bend_radius_m=course.bend_radius_m[::-1].copy(),
        surface_index=course.surface_index[::-1].copy(),
        places=tuple(
            replace(place, distance_m=course.length_m - place.distance_m)
            for place in reversed(course.places)
        ),
    )
