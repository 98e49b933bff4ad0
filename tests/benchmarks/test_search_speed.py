"""A search's speed against the same rides one by one, as a ratio taken in one run."""

import os
import time
from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from test_ride_speed import BIKE, DAY, KM, RIDER, hilly

from gearsim.course.course import Course
from gearsim.ride.simulate import simulate
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame
from gearsim.setup.parts.parts_list import load_parts
from gearsim.setup.wishes import Wishes
from gearsim.studies.search.builds_in_question import InQuestion, builds_in_question
from gearsim.studies.search.search import ride_builds

BUILDS = 500
ROUNDS = 8
AT_MOST_OVER_IDEAL = 1.2


def question() -> InQuestion:
    """The first so many builds of the package's own list that have gears of their own."""
    now = Drivetrain(name="now", chainrings=(42,), sprockets=(11, 13, 15, 17, 19, 22, 25, 28))
    found = builds_in_question(now, load_parts(), BIKE, Frame(), Wishes())
    every = len(found.prospects) // BUILDS
    return replace(found, prospects=found.prospects[::every][:BUILDS])


class Spent(NamedTuple):
    """Time on the clock and on the cores, s."""

    wall_s: float
    cores_s: float


def spent_on(job: Callable[[], object]) -> Spent:
    """What a job takes."""
    wall, cores = time.perf_counter(), time.process_time()
    job()
    return Spent(time.perf_counter() - wall, time.process_time() - cores)


def one_by_one(course: Course, bike: Bike, asked: InQuestion) -> None:
    """The same rides, and nothing else, on one core."""
    for each in asked.prospects:
        simulate(course, RIDER, bike, each.drivetrain, DAY)


def test_a_search_costs_little_more_than_its_rides_shared_over_the_cores(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    course, asked, cores = hilly(KM), question(), os.cpu_count() or 1
    assert len(asked.prospects) == BUILDS
    bike = ride_builds(course, RIDER, BIKE, DAY, asked).bike

    def both() -> list[tuple[Spent, Spent]]:
        return [
            (
                spent_on(lambda: one_by_one(course, bike, asked)),
                spent_on(lambda: ride_builds(course, RIDER, BIKE, DAY, asked)),
            )
            for _ in range(ROUNDS)
        ]

    rounds = benchmark.pedantic(both, rounds=1)
    alone, shared = (
        Spent(*map(min, zip(*each, strict=True))) for each in zip(*rounds, strict=True)
    )
    ratio = shared.wall_s / (alone.wall_s / cores)
    benchmark.extra_info["ratio"] = ratio
    with capsys.disabled():
        # Other work on the machine takes cores from the search alone: seen where the clock's ratio
        # is far above that of the time on the cores.
        print(
            f"\n{BUILDS} builds × {KM} km: search {shared.wall_s:.2f} s on {cores} cores, rides "
            f"one by one {alone.wall_s:.2f} s: {ratio:.2f} × the ideal share; time on the cores "
            f"{shared.cores_s / alone.cores_s:.2f} × that of the rides"
        )
    assert ratio <= AT_MOST_OVER_IDEAL
