from dataclasses import replace

import numpy as np
import pytest

from gearsim.course.course import course_from_grades
from gearsim.course.shares import length_by_grade_m, length_by_surface_m
from gearsim.course.surface import surface_named


def test_surfaces_share_the_course_the_longest_first() -> None:
    course = replace(
        course_from_grades(np.zeros(10)),
        surfaces=tuple(surface_named(name) for name in ("tarmac", "sand", "gravel")),
        surface_index=np.array([0, 0, 0, 2, 2, 2, 2, 2, 2, 0]),
    )
    assert list(length_by_surface_m(course).items()) == [("gravel", 60.0), ("tarmac", 40.0)]


def test_grades_share_the_course() -> None:
    course = course_from_grades([-0.08, 0.0, 0.001, 0.05, 0.05, 0.2], step_m=20.0)
    lengths = length_by_grade_m(course, np.array([-0.01, 0.01, 0.1]))
    assert lengths.tolist() == pytest.approx([20.0, 40.0, 40.0, 20.0])
    assert lengths.sum() == pytest.approx(course.length_m)
