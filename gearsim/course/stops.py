"""Stops on the course: feed places and others, where the rider stands for a while."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches

from gearsim.course.course import Course, Place
from gearsim.errors import PlanError, as_given
from gearsim.units import SECONDS_PER_MINUTE

LONGEST_MIN = 24.0 * 60.0


@dataclass(frozen=True, kw_only=True)
class Stop:
    """A stop of so many minutes, at a distance on the map or at a place that the route names.

    Raises `PlanError` unless exactly one of `at_km` and `place` is given, and for minutes outside
    what a stop takes.
    """

    at_km: float | None = None
    place: str | None = None
    minutes: float

    def __post_init__(self) -> None:
        """Refuse what is no stop."""
        if (self.at_km is None) == (self.place is None):
            raise PlanError("stop: give either at_km or place, the name of a waypoint of the route")
        if not 0.0 < self.minutes <= LONGEST_MIN:
            raise PlanError(
                f"{self.told}: minutes is {as_given(self.minutes)}; "
                f"allowed is above 0 to {LONGEST_MIN:g}"
            )

    @property
    def told(self) -> str:
        """Which stop, for a message."""
        if self.at_km is not None:
            return f"stop at km {as_given(self.at_km)}"
        return f"stop at {self.place!r}"

    @property
    def stop_s(self) -> float:
        """How long the rider stands, s."""
        return self.minutes * SECONDS_PER_MINUTE


def with_stops(course: Course, stops: Sequence[Stop]) -> Course:
    """The course with the stops at its places; one at a distance becomes a place of its own.

    Raises `PlanError` for a stop that is not between start and finish, for a place that the course
    does not have or passes several times, and for two stops at one place.
    """
    places = list(course.places)
    for stop in stops:
        at_m = _distance_m(course, stop)
        if not 0.5 * course.step_m < at_m < course.length_m - 0.5 * course.step_m:
            at_km, length_km = as_given(at_m / 1000.0), f"{course.length_m / 1000.0:.1f}"
            raise PlanError(
                f"{stop.told}, km {at_km} of the course; allowed is between start and finish, "
                f"0 to {length_km} km"
            )
        if any(_same_node(place, at_m, course.step_m) for place in places if place.stop_s > 0.0):
            raise PlanError(f"{stop.told} is where another stop is; put their minutes together")
        if stop.place is None:
            places.append(Place(name="stop", distance_m=at_m, stop_s=stop.stop_s))
        else:
            index = next(n for n, place in enumerate(places) if _called(place, stop.place))
            places[index] = replace(places[index], stop_s=stop.stop_s)
    return replace(course, places=tuple(sorted(places, key=lambda place: place.distance_m)))


def _distance_m(course: Course, stop: Stop) -> float:
    if stop.at_km is not None:
        return 1000.0 * stop.at_km
    name = str(stop.place)
    found = [place.distance_m for place in course.places if _called(place, name)]
    if len(found) == 1:
        return found[0]
    if found:
        passes = ", ".join(f"{at_m / 1000.0:.2f}" for at_m in found)
        raise PlanError(f"{stop.told} is passed at km {passes}; say which with at_km instead")
    names = sorted({place.name for place in course.places})
    near = get_close_matches(name, names, n=1)
    if near:
        raise PlanError(f"{stop.told}: the route has no such place; did you mean {near[0]!r}?")
    known = f"its places are {', '.join(names)}" if names else "it names none"
    raise PlanError(f"{stop.told}: the route has no such place, {known}; or give at_km instead")


def _called(place: Place, name: str) -> bool:
    return place.name.casefold() == name.casefold()


def _same_node(place: Place, at_m: float, step_m: float) -> bool:
    return round(place.distance_m / step_m) == round(at_m / step_m)
