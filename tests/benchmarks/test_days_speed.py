"""A ride on a drawn day costs what a ride of a comparison costs, in time of all cores together."""

import time
from dataclasses import replace
from pathlib import Path

from pytest_benchmark.fixture import BenchmarkFixture

from gearsim.plan.loading import load_plan
from gearsim.studies.compare import compare_rides
from gearsim.studies.days.days import ride_days

PLAN = Path(__file__).parents[2] / "routes" / "lanternmoor" / "plan.toml"


def test_64_days_of_8_candidates_cost_the_same_a_ride_as_a_comparison(
    benchmark: BenchmarkFixture,
) -> None:
    plan = load_plan(PLAN)
    course = plan.load_course()
    more = [replace(each, name=f"{each.name}, again") for each in plan.drivetrains[:3]]
    eight = [*plan.drivetrains, *more]

    def compared_s() -> float:
        start = time.process_time()
        compare_rides(course, plan.rider, plan.bike, eight, plan.conditions)
        return time.process_time() - start

    comparison = compare_rides(course, plan.rider, plan.bike, eight, plan.conditions)
    uncertain = replace(plan.uncertain, stop_early=False)

    def ratio() -> float:
        a_ride_s = min(compared_s() for _ in range(5)) / 8
        start = time.process_time()
        ride_days(comparison, uncertain, most_days=64)
        return (time.process_time() - start) / (64 * 8) / a_ride_s

    found = benchmark.pedantic(ratio, rounds=1)
    print(f"a ride on a drawn day takes {found:.2f} × a ride of a comparison")
    assert found <= 1.2
