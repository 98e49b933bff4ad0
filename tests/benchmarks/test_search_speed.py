"""A search's speed against the same rides one by one, as a ratio taken in one run."""

import os
import time
from dataclasses import replace

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


def one_by_one_s(course: Course, bike: Bike, asked: InQuestion) -> float:
    """Time of the same rides, and nothing else, on one core, s."""
    start = time.perf_counter()
    for each in asked.prospects:
        simulate(course, RIDER, bike, each.drivetrain, DAY)
    return time.perf_counter() - start


def search_s(course: Course, asked: InQuestion) -> float:
    """Time of the whole search over the cores, s."""
    start = time.perf_counter()
    ride_builds(course, RIDER, BIKE, DAY, asked)
    return time.perf_counter() - start


def test_a_search_costs_little_more_than_its_rides_shared_over_the_cores(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    course, asked, cores = hilly(KM), question(), os.cpu_count() or 1
    assert len(asked.prospects) == BUILDS
    bike = ride_builds(course, RIDER, BIKE, DAY, asked).bike

    def both() -> tuple[float, float]:
        rounds = [
            (one_by_one_s(course, bike, asked), search_s(course, asked)) for _ in range(ROUNDS)
        ]
        return min(one for one, _ in rounds), min(all_ for _, all_ in rounds)

    alone, shared = benchmark.pedantic(both, rounds=1)
    ratio = shared / (alone / cores)
    benchmark.extra_info["ratio"] = ratio
    with capsys.disabled():
        print(
            f"\n{BUILDS} builds × {KM} km: search {shared:.2f} s on {cores} cores, rides one by "
            f"one {alone:.2f} s: {ratio:.2f} × the ideal share"
        )
    assert ratio <= AT_MOST_OVER_IDEAL
