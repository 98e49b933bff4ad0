"""A squad's rides against those of a comparison, in one run."""

import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from pytest_benchmark.fixture import BenchmarkFixture

from gearsim.course.course import course_from_grades
from gearsim.setup.athlete import Athlete
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame
from gearsim.setup.parts.parts_list import load_parts
from gearsim.setup.rider import Rider
from gearsim.setup.wishes import Wishes
from gearsim.studies.compare import compare_rides
from gearsim.studies.squad.open_builds import open_builds
from gearsim.studies.squad.ride_squad import ride_squad
from gearsim.studies.squad.search_squad import search_squad

COURSE = course_from_grades(0.06 * np.sin(np.arange(10_000) / 70.0))  # 100 km
ONE = Drivetrain(name="0", chainrings=(40,), sprockets=(10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44))
TWENTY = [replace(ONE, name=str(n), mass_kg=0.02 * n) for n in range(20)]
SQUAD = [Athlete(rider=Rider(name=str(n), power_w=150.0 + 20.0 * n), bike=Bike()) for n in range(5)]


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def ratio(compared: Callable[[], object], ridden: Callable[[], object], rides: int) -> float:
    """How many times longer the rides of a squad take, the best of several in turn."""
    compared()
    takes = [(seconds(compared), seconds(ridden)) for _ in range(5)]
    best = [min(each) for each in zip(*takes, strict=True)]
    print(f"compare {rides / best[0]:.0f} rides a second, squad {rides / best[1]:.0f}")
    return best[1] / best[0]


def test_a_ride_of_a_squad_costs_what_a_ride_of_a_comparison_costs(
    benchmark: BenchmarkFixture,
) -> None:
    def compared() -> None:
        for athlete in SQUAD:
            compare_rides(COURSE, athlete.rider, athlete.bike, TWENTY, Conditions())

    def ridden() -> None:
        ride_squad(COURSE, SQUAD, TWENTY, Conditions())

    rides = len(SQUAD) * len(TWENTY)
    found = benchmark.pedantic(ratio, args=(compared, ridden, rides), rounds=1)
    print(f"a ride of a squad takes {found:.2f} × one of a comparison")
    assert found <= 1.2


def test_a_ride_of_a_squads_search_costs_what_a_ride_of_a_comparison_costs(
    benchmark: BenchmarkFixture,
) -> None:
    frame = Frame(largest_ring_alone=40, driver_body="splined, short")
    builds = open_builds(
        SQUAD, ONE, load_parts(), frame, Wishes(chainrings=1, largest_mass_kg=1.45)
    )

    def compared() -> None:
        for each in builds.athletes:
            gears = [builds.drivetrains[key] for key in each.gears]
            compare_rides(COURSE, each.athlete.rider, each.bike, gears, Conditions())

    def ridden() -> None:
        search_squad(COURSE, builds, Conditions())

    assert builds.rides > 100
    found = benchmark.pedantic(ratio, args=(compared, ridden, builds.rides), rounds=1)
    print(f"a ride of a squad's search takes {found:.2f} × one of a comparison")
    assert found <= 1.2
