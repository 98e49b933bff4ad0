"""A course with stops is ridden in legs, each from rest."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from gearsim.course.course import Course
from gearsim.ride.road import Road


class Leg(NamedTuple):
    """Intervals first up to end, ridden after standing for `rest_s`."""

    first: int
    end: int
    rest_s: float


def legs_of(course: Course) -> tuple[Leg, ...]:
    """The legs between the stops at the course's places, each stop at the nearest node.

    One leg where there is no stop on the way; stops at one node follow each other.
    """
    rests: dict[int, float] = {0: 0.0}
    for place in course.places:
        node = round(place.distance_m / course.step_m)
        if place.stop_s > 0.0 and 0 < node < course.intervals:
            rests[node] = rests.get(node, 0.0) + place.stop_s
    firsts = sorted(rests)
    ends = [*firsts[1:], course.intervals]
    return tuple(Leg(first, end, rests[first]) for first, end in zip(firsts, ends, strict=True))


def stopped_s(course: Course) -> float:
    """Time stood at stops, s."""
    return sum(leg.rest_s for leg in legs_of(course))


def rested_before_s(course: Course) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Time stood before each interval, s, (n)."""
    before_s = np.zeros(course.intervals)
    for leg in legs_of(course):
        before_s[leg.first :] += leg.rest_s
    return before_s


def road_on(road: Road, leg: Leg) -> Road:
    """The road of one leg, as views of the whole."""
    intervals = slice(leg.first, leg.end)
    return Road(
        length_m=road.length_m[intervals],
        grade=road.grade[intervals],
        resistance_n=road.resistance_n[intervals],
        head_wind_mps=road.head_wind_mps[intervals],
        air_factor_kgpm=road.air_factor_kgpm[intervals],
        wanted_w=road.wanted_w[intervals],
        bound_mps=road.bound_mps[leg.first : leg.end + 1],
    )
