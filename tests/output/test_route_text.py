from dataclasses import replace

import numpy as np
import pytest
from made_comparison import hills
from rich.cells import cell_len

from gearsim.course.course import course_from_grades
from gearsim.course.route_report import RouteReport
from gearsim.output.route.text import route_text


def test_a_route_tells_its_climbs_steepest_parts_surfaces_and_places() -> None:
    text = route_text(hills(), 80, colour=False)
    for words in ("50 m: 22 % at km", "tarmac: 6.0 km, 100 %", "km 2.0: The wall", "steepest"):
        assert words in text


@pytest.mark.parametrize("width", [60, 80, 132])
def test_no_line_is_wider_than_the_terminal(width: int) -> None:
    course = replace(hills(), report=RouteReport(source="x" * 200, taken="track 'y' taken"))
    text = route_text(course, width, colour=False)
    assert max(cell_len(line) for line in text.split("\n")) <= width
    assert "\x1b" not in text


def test_what_came_in_and_what_was_left_out_is_told() -> None:
    report = RouteReport(
        source="a.gpx", taken="track 'a' taken", points=120, points_kept=118, left_out=("Hut",)
    )
    text = route_text(replace(hills(), report=report), 80, colour=False)
    for words in ("a.gpx", "120 points, of which 118 are kept", "Nothing to repair", ": Hut"):
        assert words in text


def test_a_flat_course_says_that_it_has_no_climb() -> None:
    assert "None: no rise" in route_text(course_from_grades(np.zeros(100)), 80, colour=False)


def test_steepest_of_a_road_that_falls_slightly_is_level() -> None:
    text = route_text(course_from_grades(np.full(100, -0.003)), 80, colour=False)
    assert "50 m: level at km" in text


def test_colour_adds_codes() -> None:
    assert "\x1b[" in route_text(hills(), 80, colour=True)


def test_heights_that_no_road_makes_are_a_caution() -> None:
    grade = np.zeros(100)
    grade[40:45] = 0.49
    text = " ".join(route_text(course_from_grades(grade), 80, colour=False).split())
    assert (
        "Caution: At km 0.4 the heights make 49 % over 50 m, steeper than almost any road: check "
        "the heights there. "
    ) in text
    assert "Caution" not in route_text(hills(), 80, colour=False)
