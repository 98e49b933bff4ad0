"""Waypoints as places on the course."""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np

from gearsim.course.course import Place
from gearsim.course.gpx_in import Waypoint
from gearsim.course.runs import runs
from gearsim.course.track import Floats, Indices, sphere_xyz_m

ON_COURSE_M = 250.0  # judgement, no source: a feed zone is named beside the road
SAME_PASS_M = 25.0
ENDS_PASS_M = 100.0  # recordings of a loop begin and end so far apart, or less
NEXT_PASS_M = 250.0  # a hairpin that comes by again sooner is the same pass

START_WORDS = frozenset({"start", "départ", "depart", "partenza", "salida", "inicio", "largada"})
FINISH_WORDS = frozenset(
    {"finish", "end", "ziel", "arrivée", "arrivee", "arrivo", "meta", "llegada", "chegada", "mål"}
)


def places_on_course(
    waypoints: Sequence[Waypoint], distance_m: Floats, latitude_deg: Floats, longitude_deg: Floats
) -> tuple[tuple[Place, ...], tuple[str, ...]]:
    """Waypoints within 250 m of the course as places in the order of riding, and the others' names.

    A waypoint that the course passes several times is a place at every pass that is as near as the
    nearest, give or take 25 m; one whose name says start (finish) only at the first (last).
    """
    nodes_m = sphere_xyz_m(latitude_deg, longitude_deg)
    places = []
    left_out = []
    for waypoint in waypoints:
        away_m = _away_m(waypoint, nodes_m)
        if away_m.min() > ON_COURSE_M:
            left_out.append(waypoint.name)
        else:
            at_m = distance_m[_nodes_passing(waypoint.name, distance_m, away_m)]
            places += [Place(name=waypoint.name, distance_m=float(pass_m)) for pass_m in at_m]
    return tuple(sorted(places, key=lambda place: place.distance_m)), tuple(left_out)


def _away_m(waypoint: Waypoint, nodes_m: Floats) -> Floats:
    here_m = sphere_xyz_m(np.array([waypoint.latitude_deg]), np.array([waypoint.longitude_deg]))
    away_m: Floats = np.sqrt(((nodes_m - here_m) ** 2).sum(axis=0))
    return away_m


def _nodes_passing(name: str, distance_m: Floats, away_m: Floats) -> Indices:
    """The nodes where the course passes: all, the first (a start) or the last (a finish)."""
    words = set(re.findall(r"\w+", name.casefold()))
    start, finish = not words.isdisjoint(START_WORDS), not words.isdisjoint(FINISH_WORDS)
    if start == finish:
        return _passes(distance_m, away_m, SAME_PASS_M)
    passes = _passes(distance_m, away_m, ENDS_PASS_M)
    return passes[:1] if start else passes[-1:]


def _passes(distance_m: Floats, away_m: Floats, tolerance_m: float) -> Indices:
    """The nearest node of each pass that is as near as the nearest, give or take the tolerance."""
    first, last = runs(away_m <= away_m.min() + tolerance_m)
    enters = np.append(True, distance_m[first[1:]] - distance_m[last[:-1]] > NEXT_PASS_M)
    leaves = np.append(enters[1:], True)
    spans = zip(first[enters], last[leaves], strict=True)
    return np.array([a + np.argmin(away_m[a : b + 1]) for a, b in spans], dtype=np.int64)
