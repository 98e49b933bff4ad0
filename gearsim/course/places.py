"""Waypoints as places on the course."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gearsim.course.course import Place
from gearsim.course.gpx_in import Waypoint
from gearsim.course.track import Floats, sphere_xyz_m

ON_COURSE_M = 250.0  # judgement, no source: a feed zone is named beside the road
SAME_PASS_M = 25.0


def places_on_course(
    waypoints: Sequence[Waypoint], distance_m: Floats, latitude_deg: Floats, longitude_deg: Floats
) -> tuple[tuple[Place, ...], tuple[str, ...]]:
    """Waypoints within 250 m of the course as places in the order of riding, and the others' names.

    Where the course passes a waypoint more than once, the place is at the first pass that is as
    near as the nearest, give or take 25 m.
    """
    nodes_m = sphere_xyz_m(latitude_deg, longitude_deg)
    places = []
    left_out = []
    for waypoint in waypoints:
        node, away_m = _first_pass(waypoint, nodes_m)
        if away_m > ON_COURSE_M:
            left_out.append(waypoint.name)
        else:
            places.append(Place(name=waypoint.name, distance_m=float(distance_m[node])))
    return tuple(sorted(places, key=lambda place: place.distance_m)), tuple(left_out)


def _first_pass(waypoint: Waypoint, nodes_m: Floats) -> tuple[int, float]:
    here_m = sphere_xyz_m(np.array([waypoint.latitude_deg]), np.array([waypoint.longitude_deg]))
    away_m = np.sqrt(((nodes_m - here_m) ** 2).sum(axis=0))
    near = away_m <= away_m.min() + SAME_PASS_M
    enter = int(np.argmax(near))
    leave = enter + int(np.argmin(np.append(near[enter:], False)))
    node = enter + int(np.argmin(away_m[enter:leave]))
    return node, float(away_m[node])
