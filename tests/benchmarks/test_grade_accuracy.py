"""Grade of synthetic roads against their true grade: ours, and that of simpler ways.

Noise and targets are the project's own issue's: 1.0, 1.1 and 2.7 % RMS on roads with grade s.d.
5 % and no wave shorter than 80 m; the steepest 100 m within 1 percentage point in the first two.
It leaves open how the road's power is spread over its waves.  They are asserted for the spread on
which the best fixed smoother (a cubic smoothing spline, its strength picked knowing the truth)
comes to the 0.80 and 2.54 % that the issue tells of, and shown for others.

With everything about road and noise known, the best linear estimate (a Gaussian process with the
true covariances, two roads of 8 km) has 0.74, 0.71 and 2.93 % on the roughest of these roads and
0.68, 0.68 and 2.53 % on the next: no smoother reaches 2.7 % on the roughest.
"""

from collections.abc import Callable

import numpy as np
import pytest
from made_roads import (
    FALL,
    Case,
    barometric,
    case_of,
    grade_of,
    rms,
    satellite,
    steepest,
    whole_metres,
)
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.interpolate import make_smoothing_spline

from gearsim.course.heights.elevation import smooth_elevation

SEEDS = range(5)
NOISES: dict[str, tuple[Callable, float]] = {
    "barometric": (barometric, 1.0),
    "whole metres": (whole_metres, 1.1),
    "satellite": (satellite, 2.7),
}
ROADS = {
    0.0: "rough down to 80 m",
    1.0: "as much in every octave",
    FALL: "like the issue's",
    2.0: "long hills above all",
}
FIXED_STRENGTHS = 10.0 ** np.arange(2.0, 6.1, 0.5)


def error(elevation_m: np.ndarray, case: Case) -> float:
    """RMS error of grade, in percentage points."""
    return 100.0 * rms(grade_of(elevation_m) - grade_of(case.true_m))


def central_error(case: Case) -> float:
    """That of central differences of the heights as they are, straight from point to point."""
    straight = np.interp(case.at_m, case.distance_m, case.recorded_m)
    return 100.0 * rms(np.gradient(straight, 10.0)[:-1] - grade_of(case.true_m))


def fixed_errors(case: Case) -> list[float]:
    """Those of a smoothing spline, one a strength."""
    splines = (
        make_smoothing_spline(case.distance_m, case.recorded_m, lam=strength)
        for strength in FIXED_STRENGTHS
    )
    return [error(spline(case.at_m), case) for spline in splines]


def compared(noise: Callable, fall: float) -> tuple[float, ...]:
    """Errors over all seeds: central, best fixed, ours; our steepest 100 m on average, at worst."""
    cases = [case_of(seed, noise, fall=fall) for seed in SEEDS]
    ours = [smooth_elevation(case.distance_m, case.recorded_m, case.at_m) for case in cases]
    steep = [
        100.0
        * abs(steepest(grade_of(found.elevation_m), 100.0) - steepest(grade_of(case.true_m), 100.0))
        for found, case in zip(ours, cases, strict=True)
    ]
    return (
        float(np.mean([central_error(case) for case in cases])),
        float(np.mean([fixed_errors(case) for case in cases], axis=0).min()),
        float(np.mean([error(o.elevation_m, case) for o, case in zip(ours, cases, strict=True)])),
        float(np.mean(steep)),
        float(np.max(steep)),
    )


def table() -> dict[tuple[float, str], tuple[float, ...]]:
    """The comparison on every road with every noise."""
    return {(fall, name): compared(NOISES[name][0], fall) for fall in ROADS for name in NOISES}


@pytest.mark.benchmark(group="grade accuracy")
def test_grade_is_as_right_as_wanted_whatever_the_noise(benchmark: BenchmarkFixture) -> None:
    found = benchmark.pedantic(table, rounds=1)
    print(f"\nRMS error of grade in percentage points, {len(SEEDS)} roads of 20 km each")
    print(f"{'':39}best fixed,              steepest 100 m")
    print(f"{'road':24} {'noise':12}  central  knowing truth  ours  target    mean  worst")
    for (fall, name), (central, fixed, ours, steep, worst) in found.items():
        target = f"{NOISES[name][1]:.1f}" if fall == FALL else ""
        print(
            f"{ROADS[fall]:24} {name:12} {central:8.2f} {fixed:14.2f} {ours:5.2f} {target:>7} "
            f"{steep:7.2f} {worst:6.2f}"
        )
    for name, (_, target) in NOISES.items():
        assert found[FALL, name][2] <= target
    for name in ("barometric", "whole metres"):
        assert found[FALL, name][4] <= 1.0
