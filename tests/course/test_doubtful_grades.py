import numpy as np
import pytest

from gearsim.course.course import course_from_grades
from gearsim.course.heights.doubtful_grades import doubtful_grades


def test_the_steepest_streets_are_not_doubted() -> None:
    """35 % is what the steepest streets are known for (common knowledge), over a few metres."""
    grade = np.zeros(100)
    grade[40:43] = 0.35
    assert doubtful_grades(course_from_grades(grade)) is None


@pytest.mark.parametrize("steep", [0.49, -0.49])
def test_a_stretch_that_no_road_has_is_found_up_and_down(steep: float) -> None:
    grade = np.zeros(100)
    grade[40:45] = steep
    found = doubtful_grades(course_from_grades(grade))
    assert found is not None
    assert found.grade == pytest.approx(steep)
    assert (found.start_m, found.length_m) == (400.0, 50.0)
    assert found.inside[40:45].all()
    assert not found.inside[:39].any()
    assert not found.inside[46:].any()


def test_a_course_shorter_than_the_stretch_is_judged_whole() -> None:
    found = doubtful_grades(course_from_grades([0.4, 0.4]))
    assert found is not None
    assert found.length_m == 20.0
