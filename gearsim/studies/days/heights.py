"""The course as it might really be: its heights with an error that is alike over a distance."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.studies.days.draws import HEIGHTS_SOURCE, Day, Input

Floats = NDArray[np.float64]

STEEP_SHARE = 0.05
"""The steepest part of the course, by distance, whose lean is drawn with the day (judgement)."""

REACH = 4.0  # standard deviations of the kernel after which it is as good as 0


@dataclass(frozen=True, kw_only=True)
class HeightErrors:
    """The law of the error of a course's heights, made once for all days.

    The error is normal with standard deviation `sd_m` and correlation exp(-d²/(2·L²)) over a
    distance d: white noise under a Gaussian `kernel`.  The smoothed height is the best guess, so
    the true one scatters about it.  `lean` (n + 1) is what a day's heights differ by for each unit
    of its score: the regression of the error on the mean error of grade over the steepest part,
    whose standard deviation is `steep_grade_sd` and whose weights on height are `steep` (n + 1).
    """

    course: Course
    seed: int
    sd_m: float
    kernel: Floats
    steep: Floats
    lean: Floats
    steep_grade_sd: float


def height_errors(course: Course, *, seed: int, sd_m: float, over_m: float) -> HeightErrors:
    """The law of height errors of `sd_m` that stay much the same over `over_m`."""
    kernel = _kernel(over_m / np.sqrt(2.0) / course.step_m)
    steep = _steep_weights(course)
    covariance = sd_m**2 * np.convolve(np.convolve(steep, kernel), kernel, mode="valid")
    grade_sd = float(np.sqrt(steep @ covariance))
    return HeightErrors(
        course=course,
        seed=seed,
        sd_m=sd_m,
        kernel=kernel,
        steep=steep,
        lean=covariance / grade_sd if grade_sd > 0.0 else covariance,
        steep_grade_sd=grade_sd,
    )


def course_on(errors: HeightErrors, day: Day) -> Course:
    """The course with the day's heights; the course itself where they are certain."""
    if errors.sd_m == 0.0 or day.heights_certain:
        return errors.course
    return replace(
        errors.course, elevation_m=errors.course.elevation_m + height_error_m(errors, day)
    )


def height_error_m(errors: HeightErrors, day: Day) -> Floats:
    """The day's error of height at each node, m, (n + 1).

    A random error from the day's own seed, changed by so much of `lean` that the grade of the
    steepest part is off by exactly the day's score: conditional simulation (Journel and
    Huijbregts 1978, Mining Geostatistics, from memory), so that one number of the quasi-random
    draw stands for the part of the error that matters most.
    """
    spawned = np.random.SeedSequence(errors.seed, spawn_key=(HEIGHTS_SOURCE, day.number))
    white = np.random.default_rng(spawned).normal(size=len(errors.steep) + len(errors.kernel) - 1)
    error: Floats = errors.sd_m * np.convolve(white, errors.kernel, mode="valid")
    found = float(errors.steep @ error) / errors.steep_grade_sd
    return error + (day.score(Input.HEIGHTS) - found) * errors.lean


def _kernel(sd_nodes: float) -> Floats:
    reach = int(np.ceil(REACH * sd_nodes))
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sd_nodes) ** 2)
    scaled: Floats = kernel / np.sqrt((kernel**2).sum())
    return scaled


def _steep_weights(course: Course) -> Floats:
    """Weights on height at the nodes whose sum is the mean grade of the steepest part, (n + 1)."""
    grade = course.grade
    steep = np.argsort(-grade, kind="stable")[: max(1, round(STEEP_SHARE * len(grade)))]
    weights = np.zeros(len(grade) + 1)
    share = 1.0 / (course.step_m * len(steep))
    np.add.at(weights, steep + 1, share)
    np.add.at(weights, steep, -share)
    return weights
