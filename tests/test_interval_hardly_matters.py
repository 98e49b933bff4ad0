"""On the demo's route and on recordings the interval's length hardly matters."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.course.loading import load_course
from gearsim.plan.loading import load_plan
from gearsim.ride.score import Score
from gearsim.ride.simulate import simulate
from gearsim.ride.states import State
from gearsim.studies.compare import compare_rides

PLAN = load_plan(Path(__file__).parents[1] / "routes" / "lanternmoor" / "plan.toml")

RIDES = Path(__file__).parents[2] / "shared" / "data" / "rides"
RECORDED = [f"{name}.gpx.gz" for name in ("climb-27km", "hilly-58km", "rolling-67km", "short-30km")]


def read(name: str | None, step_m: float) -> Course:
    """The demo's course, or a recording's, on intervals of that length."""
    if name is None:
        return replace(PLAN, step_m=step_m).load_course()
    if not (RIDES / name).exists():
        pytest.skip(f"{RIDES} is not there")
    return load_course(RIDES / name, step_m=step_m)


def scores(course: Course) -> dict[str, Score]:
    """Every candidate's score."""
    found = compare_rides(course, PLAN.rider, PLAN.bike, PLAN.drivetrains, PLAN.conditions)
    return {candidate.name: candidate.score for candidate in found.candidates}


@pytest.fixture(scope="module", params=[None, "hilly-58km.gpx.gz", "short-30km.gpx.gz"])
def both(request: pytest.FixtureRequest) -> list[tuple[Score, Score]]:
    """Each candidate on intervals of 10 m and of 5 m, which are another road where it is noisy."""
    coarse, fine = (scores(read(request.param, step_m)) for step_m in (10.0, 5.0))
    return [(coarse[name], fine[name]) for name in coarse]


def test_halving_the_interval_moves_the_finish_by_less_than_a_thousandth(
    both: list[tuple[Score, Score]],
) -> None:
    for coarse, fine in both:
        assert coarse.finish_s == pytest.approx(fine.finish_s, rel=0.001)


def test_halving_the_interval_moves_no_state_by_a_hundredth_of_the_ride(
    both: list[tuple[Score, Score]],
) -> None:
    for coarse, fine in both:
        for state in State:
            moved_s = abs(coarse.seconds[state] - fine.seconds[state])
            assert moved_s < 0.01 * fine.finish_s, state


@pytest.mark.parametrize("name", [None, *RECORDED])
def test_the_same_road_in_halves_is_ridden_as_fast(name: str | None) -> None:
    """Finer intervals of a file are another road; those of one road cut in two are the same.

    Of the recordings hilly-58km is where it matters most: one candidate of five is 0.05 % faster.
    """
    course = read(name, PLAN.step_m)
    for drivetrain in PLAN.drivetrains:
        whole, halves = (
            simulate(each, PLAN.rider, PLAN.bike, drivetrain, PLAN.conditions)
            for each in (course, halved(course))
        )
        assert whole.finish_s == pytest.approx(halves.finish_s, rel=0.001)


def halved(course: Course) -> Course:
    """The same road with each interval cut in two."""
    bends = np.maximum(course.bend_radius_m[1:], course.bend_radius_m[:-1])
    return replace(
        course,
        step_m=course.step_m / 2.0,
        latitude_deg=with_middles(course.latitude_deg),
        longitude_deg=with_middles(course.longitude_deg),
        elevation_m=with_middles(course.elevation_m),
        bend_radius_m=np.insert(course.bend_radius_m, np.arange(1, course.intervals + 1), bends),
        bearing_rad=np.repeat(course.bearing_rad, 2),
        surface_index=np.repeat(course.surface_index, 2),
    )


def with_middles(nodes: NDArray[np.float64]) -> NDArray[np.float64]:
    """The values at the nodes, and halfway between them."""
    return np.insert(nodes, np.arange(1, len(nodes)), (nodes[1:] + nodes[:-1]) / 2.0)
