"""The course's heights on a drawn day."""

import numpy as np
import pytest
from made_rides import HILLS, course_of_height

from gearsim.setup.conditions import Conditions
from gearsim.setup.uncertain import Uncertain
from gearsim.studies.days.draws import Day, Input, day_of, draw_days
from gearsim.studies.days.heights import (
    HeightErrors,
    course_on,
    height_error_m,
    height_errors,
)

COURSE = course_of_height(lambda x: 2.0 * HILLS(x), 8_000.0)
DAYS = draw_days(Uncertain(), Conditions(), 512)


@pytest.fixture(scope="module")
def errors() -> HeightErrors:
    return height_errors(COURSE, seed=1, sd_m=0.8, over_m=150.0)


def test_errors_have_the_stated_size_and_stay_alike_over_the_stated_distance(
    errors: HeightErrors,
) -> None:
    found = np.stack([height_error_m(errors, day) for day in DAYS])
    assert found.std(axis=0).mean() == pytest.approx(0.8, rel=0.03)
    assert np.abs(found.mean(axis=0)).max() < 0.2
    for apart, lag in ((75.0, 7.5), (150.0, 15.0), (300.0, 30.0)):
        nodes = round(lag)
        together = (found[:, nodes:] * found[:, :-nodes]).mean() / (found**2).mean()
        expected = np.exp(-0.5 * (COURSE.step_m * nodes / 150.0) ** 2)
        assert together == pytest.approx(expected, abs=0.04), apart


def test_grades_are_off_by_the_height_error_over_its_distance(errors: HeightErrors) -> None:
    # The derivative of a process with correlation exp(-d²/(2·L²)) has standard deviation σ/L.
    grades = np.diff(np.stack([height_error_m(errors, day) for day in DAYS])) / COURSE.step_m
    assert grades.std() == pytest.approx(0.8 / 150.0, rel=0.03)


def test_the_steepest_part_leans_by_exactly_the_days_score(errors: HeightErrors) -> None:
    steepest = np.argsort(-COURSE.grade, kind="stable")[: round(0.05 * COURSE.intervals)]
    for day in DAYS[:8]:
        leaned = course_on(errors, day).grade[steepest].mean() - COURSE.grade[steepest].mean()
        assert leaned == pytest.approx(
            day.score(Input.HEIGHTS) * errors.steep_grade_sd, rel=1e-6, abs=1e-12
        )


def test_a_day_has_its_heights_whoever_asks_and_in_whatever_order(errors: HeightErrors) -> None:
    backwards = [height_error_m(errors, day) for day in DAYS[:4][::-1]][::-1]
    for day, found in zip(DAYS[:4], backwards, strict=True):
        assert found.tobytes() == height_error_m(errors, day).tobytes()
    assert not np.allclose(backwards[0], backwards[1])


def test_without_error_the_course_is_the_very_same() -> None:
    assert course_on(height_errors(COURSE, seed=1, sd_m=0.0, over_m=100.0), DAYS[0]) is COURSE
    sure: Day = day_of([0.0] * 9, Uncertain(), Conditions(), number=3, heights_certain=True)
    assert course_on(height_errors(COURSE, seed=1, sd_m=1.0, over_m=100.0), sure) is COURSE


@pytest.mark.parametrize("over_m", [20.0, 5000.0])
def test_short_and_level_courses_have_errors_too(over_m: float) -> None:
    level = course_of_height(lambda x: 0.0 * x, 50.0)
    errors = height_errors(level, seed=1, sd_m=0.5, over_m=over_m)
    assert np.isfinite(height_error_m(errors, DAYS[0])).all()
