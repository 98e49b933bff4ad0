"""A ride's speed, as ratios taken in one run: an absolute time means little on shared machines."""

import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from made_rides import DOUBLE, UNHINDERED
from made_roads import wavy_road
from minimal_loops import plan_once, ride_once
from numpy.typing import NDArray
from pytest_benchmark.fixture import BenchmarkFixture
from reference_ride import finish, rig_of, whole_finish

from gearsim.course.course import Course, course_from_grades
from gearsim.ride import kernel, shifting
from gearsim.ride.arrays import body_of, ladder_of, road_of, wishes_of
from gearsim.ride.pricing import Wishes, cost_of_s
from gearsim.ride.simulate import simulate
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.gears import gears_of
from gearsim.setup.rider import Rider

KM = 100
ROUNDS = 25
RIDER, BIKE, DAY = Rider(), Bike(), Conditions(wind_mps=4.0)

AT_MOST_OVER_MINIMUM = 3.0
AT_LEAST_OVER_REFERENCE = 1000.0
ACCURACY = 1e-3
AT_MOST_OVER_LINEAR = 2.0

Job = Callable[[], object]


def hilly(km: int) -> Course:
    """A turning road with random grades (s.d. 3 %) in waves of 80 m and more."""
    height = wavy_road(np.random.default_rng(7), km * 1000.0, grade_sd=0.03)
    nodes = np.arange(km * 100 + 1) * 10.0
    bearing = np.cumsum(np.random.default_rng(8).normal(0.0, 0.05, km * 100))
    return course_from_grades(np.diff(height(nodes)) / 10.0, bearing_rad=bearing, surface="gravel")


def least_s(*jobs: Job, rounds: int = ROUNDS) -> list[float]:
    """Least time of each job, the jobs taken in turn so that a slow spell hits all."""
    spent: list[list[float]] = [[] for _ in jobs]
    for _ in range(rounds):
        for job, times in zip(jobs, spent, strict=True):
            start = time.perf_counter()
            job()
            times.append(time.perf_counter() - start)
    return [min(times) for times in spent]


def minimum(course: Course) -> tuple[Job, NDArray[np.float64], NDArray[np.int64]]:
    """One energy pass and one least-cost path on the ride's own arrays; what they write."""
    gears, count = gears_of(DOUBLE, BIKE), course.intervals
    road, body = road_of(course, RIDER, BIKE, DOUBLE, DAY), body_of(course, RIDER, BIKE, DOUBLE)
    ladder, shape = ladder_of(gears), (2, len(DOUBLE.sprockets))
    wishes = Wishes._make(float(each) for each in wishes_of(RIDER))
    rpm, upkeep = (
        np.pad(values[ladder.slot].astype(np.float64).reshape(shape), ((0, 0), (1, 1)))
        for values in (ladder.rpm_per_mps, ladder.upkeep)
    )
    drive_w = (1.0 - gears.load_loss_share.mean()) * road.wanted_w
    steady_n = road.resistance_n + gears.drag_n.mean()
    duration_s, gear = np.zeros(count), np.zeros(count, dtype=np.int64)
    came, first = np.zeros((count, *rpm.shape), np.uint8), np.zeros((count, 2), dtype=np.int64)

    def job() -> None:
        ride_once(
            road.length_m,
            steady_n,
            road.head_wind_mps,
            road.air_factor_kgpm,
            drive_w,
            body.mass_kg,
            0.091,
            0.0087,
            duration_s,
        )
        plan_once(road.length_m, duration_s, rpm, upkeep, wishes, came, first, gear)

    return job, duration_s, gear


def test_the_minimal_loops_do_the_same_job() -> None:
    # Else the ratio below would compare with something that rides another ride.
    course = hilly(KM)
    job, duration_s, gear = minimum(course)
    job()
    ride = simulate(course, RIDER, BIKE, DOUBLE, DAY)
    assert duration_s.sum() == pytest.approx(ride.finish_s, rel=0.02)
    ladder, wishes = ladder_of(gears_of(DOUBLE, BIKE)), wishes_of(RIDER)
    road = road_of(course, RIDER, BIKE, DOUBLE, DAY)
    trace = kernel.empty_trace(course.intervals, 0.0)
    trace.duration_s[:] = duration_s
    path, exact = shifting.empty_path(course.intervals, ladder), np.empty_like(gear)
    shifting.least_cost_rows(path, road, trace, ladder, wishes)
    shifting.trace_back(path, ladder, wishes, exact)
    costs = [
        cost_of_s(each, 0, course.intervals, road, trace, ladder, wishes) for each in (gear, exact)
    ]
    assert costs[0] == pytest.approx(costs[1], rel=1e-6)  # ours counts in single precision


def test_a_ride_costs_little_more_than_one_pass_and_one_path(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    course = hilly(KM)
    job, _, _ = minimum(course)

    def ride() -> object:
        return simulate(course, RIDER, BIKE, DOUBLE, DAY)

    job(), ride()
    least, whole = benchmark.pedantic(least_s, args=(job, ride), rounds=1)
    benchmark.extra_info["ratio"] = whole / least
    with capsys.disabled():
        print(
            f"\n{KM} km, 22 gears: ride {1e3 * whole:.2f} ms, one pass and one path "
            f"{1e3 * least:.2f} ms: {whole / least:.2f} ×"
        )
    assert whole / least <= AT_MOST_OVER_MINIMUM


def test_a_ride_is_a_thousand_times_faster_than_a_general_solver(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    # The one meant: the solver's default method over the whole course, at the loosest tolerance
    # that comes as near to the truth as ours.  Others are printed beside it: a stiff method that
    # is lucky with large steps is far cheaper.
    course, rider = hilly(KM), Rider(**UNHINDERED)
    even = replace(DOUBLE, efficiency=0.97)
    rig = rig_of(course, rider, BIKE, DAY, 0.97)

    def ride() -> object:
        return simulate(course, rider, BIKE, even, DAY)

    exact_s, _ = finish(rig, rtol=1e-9)

    def off(finish_s: float) -> float:
        return abs(finish_s / exact_s - 1.0)

    ours_off = off(simulate(course, rider, BIKE, even, DAY).finish_s)
    (whole,) = benchmark.pedantic(least_s, args=(ride,), rounds=1)
    rows = [
        (name, *timed(solve), is_default)
        for name, solve, is_default in (
            ("piece by piece, LSODA, 1e-9", lambda: finish(rig, rtol=1e-9)[0], False),
            ("whole course, LSODA, 1e-3", lambda: whole_finish(rig, 1e-3, "LSODA"), False),
            ("whole course, RK45, 1e-4", lambda: whole_finish(rig, 1e-4), True),
            ("whole course, RK45, 1e-5", lambda: whole_finish(rig, 1e-5), True),
            ("whole course, RK45, 1e-6", lambda: whole_finish(rig, 1e-6), True),
            ("whole course, RK45, 1e-7", lambda: whole_finish(rig, 1e-7), True),
        )
    ]
    as_good = [
        spent / whole
        for _, found_s, spent, is_default in rows
        if is_default and off(found_s) <= ours_off
    ]
    benchmark.extra_info["ratio"] = as_good[0]
    with capsys.disabled():
        print(f"\n{KM} km: ours {1e3 * whole:.2f} ms, {100 * ours_off:.4f} % off; solve_ivp takes")
        for name, found_s, spent, _ in rows:
            print(f"  {name:<28} {spent / whole:6.0f} × our time, {100 * off(found_s):.4f} % off")
    assert ours_off <= ACCURACY
    assert as_good[0] >= AT_LEAST_OVER_REFERENCE


def timed(solve: Callable[[], float]) -> tuple[float, float]:
    """What comes of it, and the time it took, s."""
    start = time.perf_counter()
    found = solve()
    return found, time.perf_counter() - start


def test_time_grows_linearly_with_the_course(
    benchmark: BenchmarkFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    short, long = hilly(100), hilly(2000)
    jobs: list[Job] = [
        lambda: simulate(short, RIDER, BIKE, DOUBLE, DAY),
        lambda: simulate(long, RIDER, BIKE, DOUBLE, DAY),
    ]
    short_s, long_s = benchmark.pedantic(least_s, args=jobs, kwargs={"rounds": 5}, rounds=1)
    over_linear = long_s / 2000.0 / (short_s / 100.0)
    benchmark.extra_info["ratio"] = over_linear
    with capsys.disabled():
        print(f"\n2000 km against 100 km: {over_linear:.2f} × the time for each km")
    assert over_linear <= AT_MOST_OVER_LINEAR
