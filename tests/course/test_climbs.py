from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.course.climbs import climbs, descents, steepest, total_climb_m, total_descent_m
from gearsim.course.course import Course, course_from_grades, reversed_course


def road(*parts: tuple[float, float]) -> Course:
    """Stretches of (length m, grade) on a 10 m grid."""
    return course_from_grades(np.concatenate([np.full(round(m / 10), g) for m, g in parts]))


def test_a_climb_is_found_where_it_is() -> None:
    (climb,) = climbs(road((1000, 0.0), (2000, 0.06), (1000, 0.0)))
    assert (climb.start_m, climb.length_m) == (1000.0, 2000.0)
    assert climb.gain_m == pytest.approx(120.0)
    assert climb.grade == pytest.approx(0.06)
    assert climb.end_m == 3000.0


def test_a_false_flat_is_no_climb() -> None:
    assert climbs(road((10_000, 0.015))) == ()


def test_a_bump_is_no_climb() -> None:
    assert climbs(road((150, 0.12), (150, -0.12))) == ()


def test_a_short_dip_does_not_part_a_climb() -> None:
    (climb,) = climbs(road((1000, 0.08), (100, -0.03), (1000, 0.08)))
    assert climb.length_m == 2100.0
    assert climb.gain_m == pytest.approx(157.0)


@pytest.mark.parametrize(("dip_m", "count"), [(50.0, 1), (100.0, 2)])
def test_a_climb_falls_back_by_no_more_than_10_m_against_its_line(dip_m: float, count: int) -> None:
    # At -13 % against a line of +2 %: 7.5 m over 50 m, 15 m over 100 m.
    assert len(climbs(road((1000, 0.08), (dip_m, -0.13), (1000, 0.08)))) == count


@pytest.mark.parametrize(("length_m", "count"), [(190.0, 0), (210.0, 1)])
def test_a_climb_gains_20_m_at_least(length_m: float, count: int) -> None:
    assert len(climbs(road((500, 0.0), (length_m, 0.1), (500, 0.0)))) == count


def test_a_flat_kilometre_parts_two_climbs() -> None:
    first, second = climbs(road((1000, 0.08), (1000, 0.0), (1000, 0.05)))
    assert (first.start_m, second.start_m) == (0.0, 2000.0)


def test_the_steepest_part_of_a_climb_is_told() -> None:
    (climb,) = climbs(road((1000, 0.05), (100, 0.18), (900, 0.05)))
    assert climb.steepest_grade == pytest.approx(0.18)


def test_a_descent_is_a_climb_the_other_way() -> None:
    course = road((1000, 0.0), (2000, -0.06), (500, 0.0))
    (descent,) = descents(course)
    assert (descent.start_m, descent.length_m) == (1000.0, 2000.0)
    assert descent.gain_m == pytest.approx(-120.0)
    assert descent.steepest_grade == pytest.approx(-0.06)
    assert climbs(course) == ()


@given(st.lists(st.floats(-0.2, 0.2), min_size=1, max_size=12))
def test_the_other_way_swaps_climbs_and_descents(grades: list[float]) -> None:
    course = course_from_grades(np.repeat(grades, 40))
    back = reversed_course(course)
    ups = [(climb.gain_m, climb.length_m) for climb in climbs(back)]
    downs = [(-descent.gain_m, descent.length_m) for descent in descents(course)][::-1]
    assert np.array(ups) == pytest.approx(np.array(downs))


@given(st.lists(st.floats(-0.2, 0.2), min_size=1, max_size=12))
def test_climbs_follow_their_rule(grades: list[float]) -> None:
    course = course_from_grades(np.repeat(grades, 40))
    found = climbs(course)
    for climb in found:
        assert climb.gain_m >= 20.0
        assert climb.grade > 0.02
        assert climb.steepest_grade >= climb.grade - 1e-9
    ends = [end for climb in found for end in (climb.start_m, climb.end_m)]
    assert ends == sorted(ends)


def test_totals_are_the_sums_of_rises_and_falls() -> None:
    course = road((1000, 0.05), (500, -0.1), (1000, 0.02))
    assert total_climb_m(course) == pytest.approx(70.0)
    assert total_descent_m(course) == pytest.approx(50.0)


def test_independent_noise_in_height_adds_the_false_climb_known() -> None:
    # Computed: the mean rise from one to the next of independent errors is σ/√π = 0.56419 σ.
    errors_m = np.random.default_rng(1).normal(0.0, 0.3, 200_001)
    noisy = replace(course_from_grades(np.zeros(200_000)), elevation_m=errors_m)
    assert total_climb_m(noisy) / 200_000 == pytest.approx(0.56419 * 0.3, rel=0.005)


def test_the_steepest_stretch_is_found() -> None:
    course = road((500, 0.05), (50, 0.2), (50, 0.1), (500, 0.0))
    assert steepest(course, 50.0).grade == pytest.approx(0.2)
    assert steepest(course, 50.0).start_m == 500.0
    assert steepest(course, 100.0).grade == pytest.approx(0.15)
    assert steepest(course, 500.0).length_m == 500.0


def test_a_window_longer_than_the_course_is_the_course() -> None:
    part = steepest(road((200, 0.03)), 500.0)
    assert (part.start_m, part.length_m) == (0.0, 200.0)
    assert part.grade == pytest.approx(0.03)


def test_on_a_descent_the_steepest_is_the_least_downhill() -> None:
    assert steepest(road((200, -0.05), (100, -0.02), (200, -0.05)), 100.0).grade == pytest.approx(
        -0.02
    )
