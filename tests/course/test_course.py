from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.course.climbs import total_climb_m, total_descent_m
from gearsim.course.course import course_from_grades, reversed_course
from gearsim.course.geodesic import leg_bearings_rad, leg_distances_m
from gearsim.course.surface import surface_named
from gearsim.errors import PlanError

GRADES = st.lists(st.floats(-0.3, 0.3), min_size=1, max_size=60)


@given(GRADES, st.floats(1.0, 50.0))
def test_a_course_has_the_grades_it_is_made_from(grades: list[float], step_m: float) -> None:
    course = course_from_grades(grades, step_m=step_m, start_height_m=500.0)
    assert course.grade == pytest.approx(grades, abs=1e-9)
    assert course.elevation_m[0] == 500.0
    assert course.distance_m[-1] == pytest.approx(course.length_m)


def test_the_road_is_longer_than_the_map_where_it_is_steep() -> None:
    course = course_from_grades([0.0, 0.75])
    assert course.road_length_m == pytest.approx([10.0, 12.5])


def test_places_of_a_synthetic_course_are_as_far_apart_as_its_step() -> None:
    bearing = np.linspace(0.0, 2.0 * np.pi, 2000, endpoint=False)
    course = course_from_grades(np.zeros(2000), step_m=50.0, bearing_rad=bearing)
    legs_m = leg_distances_m(course.latitude_deg, course.longitude_deg)
    assert legs_m == pytest.approx(50.0, rel=1e-4)
    ahead = leg_bearings_rad(course.latitude_deg, course.longitude_deg)
    turn = np.mod(ahead - course.bearing_rad + np.pi, 2.0 * np.pi) - np.pi
    assert np.abs(turn).max() < 1e-3


@given(GRADES)
def test_the_other_way_swaps_gain_and_loss(grades: list[float]) -> None:
    course = course_from_grades(grades)
    back = reversed_course(course)
    assert total_climb_m(back) == pytest.approx(total_descent_m(course))
    assert total_descent_m(back) == pytest.approx(total_climb_m(course))
    assert back.grade == pytest.approx(-course.grade[::-1])
    assert back.length_m == course.length_m


def test_the_other_way_all_that_lies_on_the_road_comes_from_behind() -> None:
    surfaces = (surface_named("tarmac"), surface_named("sand"))
    course = replace(
        course_from_grades([0.0, 0.0, 0.0], bearing_rad=[0.0, 1.0, 4.0]),
        surfaces=surfaces,
        surface_index=np.array([0, 0, 1]),
        bend_radius_m=np.array([np.inf, 5.0, 9.0, 20.0]),
    )
    back = reversed_course(course)
    assert back.bearing_rad == pytest.approx([4.0 - np.pi, 1.0 + np.pi, np.pi])
    assert back.surface_index.tolist() == [1, 0, 0]
    assert back.bend_radius_m.tolist() == [20.0, 9.0, 5.0, np.inf]
    assert list(back.latitude_deg) == list(course.latitude_deg[::-1])
    assert list(back.longitude_deg) == list(course.longitude_deg[::-1])


@given(GRADES, st.floats(0.0, 6.0))
def test_the_other_way_twice_is_the_same_course(grades: list[float], bearing: float) -> None:
    course = course_from_grades(grades, bearing_rad=bearing, surface="gravel")
    again = reversed_course(reversed_course(course))
    assert list(again.elevation_m) == list(course.elevation_m)
    assert np.cos(again.bearing_rad - course.bearing_rad) == pytest.approx(1.0)
    assert again.surfaces == course.surfaces


@pytest.mark.parametrize(
    ("grade", "options", "said"),
    [
        ([], {}, "one for each interval"),
        ([0.1, float("nan")], {}, "must be finite"),
        ([[0.1]], {}, "one for each interval"),
        ([0.1], {"bearing_rad": float("inf")}, "must be finite"),
        ([0.1], {"start_height_m": float("nan")}, "must be finite"),
        ([0.1, 0.2], {"bearing_rad": [0.0, 1.0, 2.0]}, "one for each interval"),
        ([0.1], {"step_m": 0.0}, "step_m is 0"),
        ([0.1], {"surface": "ice"}, "surface 'ice' is unknown"),
    ],
)
def test_an_impossible_course_is_refused(
    grade: list[float], options: dict[str, float], said: str
) -> None:
    with pytest.raises(PlanError, match=said):
        course_from_grades(grade, **options)
