"""Stops: where on the course the rider stands, and for how long."""

import re
from dataclasses import replace

import pytest

from gearsim.course.course import Course, Place, course_from_grades, reversed_course
from gearsim.course.stops import Stop, with_stops
from gearsim.errors import PlanError

FEED, BRIDGE = "Feed, Ember hall", "Bridge"
COURSE = replace(
    course_from_grades([0.0] * 1000),
    places=(
        Place(name="Start", distance_m=0.0),
        Place(name=BRIDGE, distance_m=2000.0),
        Place(name=FEED, distance_m=4003.0),
        Place(name=BRIDGE, distance_m=7000.0),
    ),
)


def stops_of(course: Course) -> dict[float, float]:
    return {each.distance_m: each.stop_s for each in course.places if each.stop_s > 0.0}


def test_a_route_has_no_stops_of_its_own() -> None:
    assert stops_of(COURSE) == {}
    assert with_stops(COURSE, ()) == COURSE


def test_a_stop_is_at_the_place_that_it_names() -> None:
    stopping = with_stops(COURSE, [Stop(place="feed, ember hall", minutes=10.0)])
    assert stops_of(stopping) == {4003.0: 600.0}
    assert [place.name for place in stopping.places] == [place.name for place in COURSE.places]


def test_a_stop_at_a_kilometre_is_a_place_in_its_order() -> None:
    stopping = with_stops(COURSE, [Stop(at_km=5.0, minutes=2.5)])
    assert stops_of(stopping) == {5000.0: 150.0}
    assert [place.distance_m for place in stopping.places] == [0.0, 2000.0, 4003.0, 5000.0, 7000.0]


def test_stops_stay_where_they_are_when_the_course_is_ridden_the_other_way() -> None:
    back = reversed_course(with_stops(COURSE, [Stop(place=FEED, minutes=1.0)]))
    assert stops_of(back) == {5997.0: 60.0}


@pytest.mark.parametrize(
    ("stop", "told"),
    [
        (
            Stop(at_km=0.0, minutes=1.0),
            "stop at km 0, km 0 of the course; allowed is between start",
        ),
        (Stop(place="Start", minutes=1.0), "allowed is between start and finish, 0 to 10.0 km"),
        (Stop(at_km=10.0, minutes=1.0), "allowed is between start and finish"),
        (Stop(at_km=-3.0, minutes=1.0), "allowed is between start and finish"),
        (Stop(at_km=float("nan"), minutes=1.0), "allowed is between start and finish"),
        (Stop(place="Fed, Ember hall", minutes=1.0), f"did you mean {FEED!r}?"),
        (Stop(place="xyz", minutes=1.0), f"its places are Bridge, {FEED}, Start; or give at_km"),
        (Stop(place=BRIDGE, minutes=1.0), "is passed at km 2.00, 7.00; say which with at_km"),
    ],
)
def test_a_stop_that_is_not_on_the_way_is_refused(stop: Stop, told: str) -> None:
    with pytest.raises(PlanError, match=re.escape(told)):
        with_stops(COURSE, [stop])


def test_two_stops_at_one_place_are_refused() -> None:
    twice = [Stop(place=FEED, minutes=5.0), Stop(at_km=4.0, minutes=5.0)]
    with pytest.raises(PlanError, match="put their minutes together"):
        with_stops(COURSE, twice)


@pytest.mark.parametrize("where", [{}, {"at_km": 1.0, "place": FEED}])
def test_a_stop_needs_one_place(where: dict[str, object]) -> None:
    with pytest.raises(PlanError, match="give either at_km or place"):
        Stop(**where, minutes=5.0)  # type: ignore[arg-type]


@pytest.mark.parametrize("minutes", [0.0, -5.0, 1441.0, float("nan")])
def test_a_stop_takes_some_minutes(minutes: float) -> None:
    with pytest.raises(PlanError, match=r"stop at km 3: minutes is .*; allowed is above 0 to 1440"):
        Stop(at_km=3.0, minutes=minutes)
