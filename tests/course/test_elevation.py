"""Smoothed heights: as right as wanted, blind to none of the road, and hard to upset."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_roads import (
    barometric,
    case_of,
    exact,
    grade_of,
    ramp_road,
    rms,
    satellite,
    steepest,
    wavy_road,
    whole_metres,
)

from gearsim.course.heights.elevation import smooth_elevation

SEEDS = range(3)


def smoothed_grade(case) -> np.ndarray:
    return grade_of(smooth_elevation(case.distance_m, case.recorded_m, case.at_m).elevation_m)


# --- how right: targets of the project's own issue; the benchmark has more roads ---


@pytest.mark.parametrize(
    ("noise", "target"), [(barometric, 0.010), (whole_metres, 0.011), (satellite, 0.027)]
)
def test_grade_is_as_right_as_wanted(noise: Callable, target: float) -> None:
    cases = [case_of(seed, noise) for seed in SEEDS]
    errors = [rms(smoothed_grade(case) - grade_of(case.true_m)) for case in cases]
    assert np.mean(errors) <= target


@pytest.mark.parametrize("noise", [barometric, whole_metres])
@pytest.mark.parametrize("seed", SEEDS)
def test_steepest_100_m_is_right_within_a_point(noise: Callable, seed: int) -> None:
    case = case_of(seed, noise)
    found, true = smoothed_grade(case), grade_of(case.true_m)
    assert steepest(found, 100.0) == pytest.approx(steepest(true, 100.0), abs=0.01)


def test_short_steep_ramp_keeps_its_grade() -> None:
    short_of = []
    for seed in range(8):
        case = case_of(seed, barometric, ramp_road(5_000.0, 60.0, 0.18, 0.03), 10_000.0)
        found, true = smoothed_grade(case), grade_of(case.true_m)
        short_of.append(steepest(true, 50.0) - steepest(found, 50.0))
    assert np.mean(short_of) <= 0.015
    # 0.3 m on four points 12.5 m apart moves their own best line by 0.011 (one s.d.)
    assert max(short_of) <= 0.015 + 0.011


@pytest.mark.parametrize("slope", [0.0, 0.03])
@pytest.mark.parametrize(
    ("noise", "most"), [(barometric, 0.005), (whole_metres, 0.005), (satellite, 0.01)]
)
def test_noise_makes_no_ramps_on_a_steady_road(slope: float, noise: Callable, most: float) -> None:
    for seed in SEEDS:
        case = case_of(seed, noise, ramp_road(0.0, 0.0, slope, slope), 10_000.0)
        assert steepest(smoothed_grade(case), 50.0) - slope <= most


def test_false_climb_of_noise_is_taken_out() -> None:
    # Independent errors σ add 0.56419 σ of climb a point (computed); 0.3 m in the barometric case.
    case = case_of(1, barometric, ramp_road(0.0, 0.0, 0.0, 0.0), 10_000.0)
    found_m = smooth_elevation(case.distance_m, case.recorded_m, case.at_m).elevation_m
    false_m, left_m = (
        float(np.maximum(np.diff(each), 0.0).sum()) for each in (case.recorded_m, found_m)
    )
    assert false_m == pytest.approx(0.56419 * 0.3 * len(case.distance_m), rel=0.1)
    assert left_m < 0.05 * false_m


@pytest.mark.parametrize("seed", SEEDS)
def test_climb_of_a_barometric_recording_is_good_to_about_2_percent(seed: int) -> None:
    # Menaspà P et al. (2016), J Sci Cycling 5(1):10-12, published, dry.  As recorded it is 20 % too
    # much on these roads.
    case = case_of(seed, barometric)
    found_m = smooth_elevation(case.distance_m, case.recorded_m, case.at_m).elevation_m
    found, true = (float(np.maximum(np.diff(each), 0.0).sum()) for each in (found_m, case.true_m))
    assert found == pytest.approx(true, rel=0.025)


@pytest.mark.parametrize("seed", SEEDS)
def test_gentle_road_in_whole_metres_is_no_staircase(seed: int) -> None:
    case = case_of(seed, whole_metres, ramp_road(3_000.0, 2_000.0, 0.02, 0.005), 8_000.0)
    stairs = grade_of(np.interp(case.at_m, case.distance_m, case.recorded_m))
    error = smoothed_grade(case) - grade_of(case.true_m)
    # A stair a metre high every 200 m could be a wave of the road as well: a wave of 0.5 m, which
    # is 1.1 % of grade (RMS).  The likelihood takes a third of it for road, not knowing better.
    assert rms(error) <= 0.0042
    assert rms(error) <= 0.25 * rms(stairs - grade_of(case.true_m))


# --- the ends, where the road is known from one side only ---

# With everything about road and noise known, the best linear estimate (a Gaussian process with the
# true covariances, twelve roads of 2 km) is off by 1.03 and 1.00 % on the first and last 50 m, 1.56
# and 1.52 % on the outermost 10 m.
ENDS = [(barometric, 0.0135, 0.020), (whole_metres, 0.0135, 0.020)]


@pytest.mark.parametrize(("noise", "on_50_m", "on_10_m"), ENDS)
@pytest.mark.parametrize("backwards", [False, True])
def test_ends_are_nearly_as_right_as_can_be(
    noise: Callable, on_50_m: float, on_10_m: float, backwards: bool
) -> None:
    errors = [end_error(seed, noise, backwards) for seed in range(20)]
    assert rms(np.array(errors)) <= on_50_m
    assert rms(np.array(errors)[:, 0]) <= on_10_m


def end_error(seed: int, noise: Callable, backwards: bool) -> np.ndarray:
    """Errors of grade on the first five intervals, the outermost first."""
    case = case_of(seed, noise, length_m=3_000.0)
    end_m = case.distance_m[-1]
    at_m = np.arange(0.0, 51.0, 10.0)
    if not backwards:
        found = smooth_elevation(case.distance_m, case.recorded_m, at_m).elevation_m
        return grade_of(found - case.true_m[:6])
    height = wavy_road(np.random.default_rng(seed), 3_000.0)
    found = smooth_elevation(end_m - case.distance_m[::-1], case.recorded_m[::-1], at_m).elevation_m
    return grade_of(found - height(end_m - at_m))


# --- heights that are exact ---


def test_exact_heights_of_a_wavy_road_come_back() -> None:
    case = case_of(1, exact)
    found = smooth_elevation(case.distance_m, case.recorded_m, case.at_m)
    assert found.elevation_m == pytest.approx(case.true_m, abs=0.05)


def test_sparse_planned_route_passes_unchanged() -> None:
    distance_m = np.arange(0.0, 20_001.0, 500.0)
    height_m = 300.0 + 40.0 * np.sin(distance_m) ** 3
    at_m = np.arange(0.0, 20_001.0, 10.0)
    found = smooth_elevation(distance_m, height_m, at_m)
    assert np.array_equal(found.elevation_m, np.interp(at_m, distance_m, height_m))
    assert "left as they came" in found.noise.sentence


@pytest.mark.parametrize("apart_m", [10.0, 25.0, 50.0])
def test_corner_between_straight_slopes_does_not_ring(apart_m: float) -> None:
    distance_m = np.arange(0.0, 10_001.0, apart_m)
    height_m = np.interp(distance_m, [0.0, 4_000.0, 5_000.0, 10_000.0], [50.0, 50.0, 130.0, 130.0])
    at_m = np.arange(0.0, 10_001.0, 10.0)
    grade = grade_of(smooth_elevation(distance_m, height_m, at_m).elevation_m)
    assert grade.min() >= -0.01
    assert grade.max() <= 0.09
    beyond = np.abs(at_m[:-1] - 4_500.0) > 700.0
    assert np.abs(grade[beyond]).max() <= 0.001


def test_wide_gap_is_a_straight_line() -> None:
    case = case_of(2, barometric, length_m=6_000.0)
    kept = (case.distance_m < 2_000.0) | (case.distance_m > 2_500.0)
    found = smooth_elevation(case.distance_m[kept], case.recorded_m[kept], case.at_m).elevation_m
    inside = grade_of(found[(case.at_m > 2_010.0) & (case.at_m < 2_490.0)])
    assert np.ptp(inside) <= 1e-9


# --- the kind of noise ---


@pytest.mark.parametrize(
    ("noise", "kind", "error_m", "step_m"),
    [
        (barometric, "barometric", 0.3, 0.2),
        (whole_metres, "rounded to whole metres", 0.29, 1.0),
        (satellite, "satellite", 3.0, 0.0),
        (exact, "none to speak of", 0.0, 0.0),
    ],
)
def test_kind_of_noise_is_told(noise: Callable, kind: str, error_m: float, step_m: float) -> None:
    case = case_of(1, noise)
    found = smooth_elevation(case.distance_m, case.recorded_m, case.at_m).noise
    assert found.kind == kind
    assert found.sd_m == pytest.approx(error_m, rel=0.3, abs=0.05)
    assert found.rounding_m == pytest.approx(step_m, abs=0.001)
    assert kind in found.sentence


@pytest.mark.parametrize("step_m", [0.0, 0.01])
def test_cells_of_a_terrain_model_are_told(step_m: float) -> None:
    rng = np.random.default_rng(5)
    case = case_of(5, exact, apart_m=(4.0, 12.0))
    edges_m = np.append(0.0, np.cumsum(rng.uniform(8.0, 40.0, 1_500)))
    cell = np.searchsorted(edges_m, case.distance_m, "right") - 1
    height_m = np.interp(edges_m[cell] + 12.0, case.distance_m, case.recorded_m)
    if step_m > 0.0:
        height_m = np.round(height_m / step_m) * step_m
    found = smooth_elevation(case.distance_m, height_m, case.at_m).noise
    assert found.kind == "terrain model"


def test_step_of_heights_written_as_single_precision_is_found() -> None:
    case = case_of(1, barometric)
    written_m = case.recorded_m.astype(np.float32).astype(np.float64)
    found = smooth_elevation(case.distance_m, written_m, case.at_m).noise
    assert found.rounding_m == pytest.approx(0.2, abs=0.001)


def test_rougher_noise_is_smoothed_more() -> None:
    details_m = []
    for noise in (exact, barometric, satellite):
        case = case_of(1, noise)
        found = smooth_elevation(case.distance_m, case.recorded_m, case.at_m).noise
        details_m.append(found.shortest_detail_m)
    assert details_m == sorted(details_m)
    assert details_m[0] < 80.0 < details_m[2]


# --- hard to upset ---


def test_same_heights_come_out_bit_for_bit() -> None:
    case = case_of(1, barometric)
    first, second = (
        smooth_elevation(case.distance_m, case.recorded_m, case.at_m) for _ in range(2)
    )
    assert np.array_equal(first.elevation_m, second.elevation_m)
    assert first.noise == second.noise


@pytest.mark.parametrize("seed", SEEDS)
def test_raising_a_whole_route_raises_the_result(seed: int) -> None:
    case = case_of(seed, satellite, length_m=5_000.0)
    low = smooth_elevation(case.distance_m, case.recorded_m, case.at_m).elevation_m
    high = smooth_elevation(case.distance_m, case.recorded_m + 2_000.0, case.at_m).elevation_m
    assert high - low == pytest.approx(np.full(len(low), 2_000.0), abs=0.001)


def test_pieces_of_a_long_route_join_without_a_step() -> None:
    case = case_of(3, barometric, length_m=130_000.0)
    error = smoothed_grade(case) - grade_of(case.true_m)
    assert rms(error) <= 0.010
    assert np.abs(error[5:-5]).max() <= 5.0 * rms(error)  # the ends know one side only


def test_sudden_step_after_a_gap_does_not_ring() -> None:
    # met in a recorded ride: quiet heights, 27 m without a point, a lone point, 3.4 m up
    hills = wavy_road(np.random.default_rng(1), 10_000.0, fall=2.0, grade_sd=0.02)
    distance_m = np.concatenate(
        [np.arange(0.0, 5_001.0, 5.0), [5_027.0], np.arange(5_031.0, 10_000.0, 5.0)]
    )
    level_m = hills(np.minimum(distance_m, 4_700.0))
    rise_m = 0.003 * np.clip(distance_m - 4_700.0, 0.0, 300.0)
    step_m = 0.8 * (distance_m > 5_001.0) + 3.4 * (distance_m > 5_030.0)
    height_m = np.round((level_m + rise_m + step_m) / 0.2) * 0.2
    at_m = np.arange(4_900.0, 5_150.0, 5.0)
    found = smooth_elevation(distance_m, height_m, at_m).elevation_m
    near = (distance_m >= 4_900.0) & (distance_m <= 5_150.0)
    assert found.min() >= height_m[near].min() - 1.0
    assert found.max() <= height_m[near].max() + 1.0


def test_step_in_a_gap_between_points_does_not_ring() -> None:
    distance_m = np.concatenate([np.arange(0.0, 5_001.0, 8.0), np.arange(5_025.0, 10_000.0, 8.0)])
    height_m = np.where(distance_m < 5_010.0, 100.0, 104.0)
    found = smooth_elevation(distance_m, height_m, np.arange(0.0, 9_990.0, 10.0)).elevation_m
    assert found.min() >= 99.5
    assert found.max() <= 104.5


def test_repeated_points_at_a_stop_do_not_count_as_knowledge() -> None:
    case = case_of(4, barometric, ramp_road(0.0, 0.0, 0.03, 0.03), 4_000.0)
    stop_m = 2_000.0 + np.linspace(0.001, 1.0, 500)
    distance_m = np.concatenate([case.distance_m, stop_m])
    order = np.argsort(distance_m)
    wrong_m = np.full(500, 100.0 + 0.03 * 2_000.0 + 1.0)
    height_m = np.concatenate([case.recorded_m, wrong_m])[order]
    found = smooth_elevation(distance_m[order], height_m, case.at_m).elevation_m
    assert np.abs(grade_of(found) - 0.03).max() <= 0.03


def test_points_a_metre_apart_share_their_rounding() -> None:
    cases = [case_of(seed, whole_metres, length_m=6_000.0, apart_m=(0.5, 1.5)) for seed in SEEDS]
    errors = [rms(smoothed_grade(case) - grade_of(case.true_m)) for case in cases]
    assert np.mean(errors) <= 0.0075  # 0.0094 were every point to count in full


@pytest.mark.parametrize("points", [2, 3, 20])
def test_few_points_come_back_as_they_are(points: int) -> None:
    distance_m = np.linspace(0.0, 90.0, points)
    height_m = np.linspace(10.0, 14.0, points)
    found = smooth_elevation(distance_m, height_m, np.array([0.0, 45.0, 90.0])).elevation_m
    assert found == pytest.approx([10.0, 12.0, 14.0])


def test_level_road_stays_level() -> None:
    distance_m = np.arange(0.0, 3_000.0, 7.0)
    found = smooth_elevation(distance_m, np.full(len(distance_m), 88.0), distance_m[::2])
    assert found.elevation_m == pytest.approx(np.full(len(distance_m[::2]), 88.0), abs=1e-6)
    assert found.noise.kind == "none to speak of"


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    seed=st.integers(0, 2**31),
    points=st.integers(2, 400),
    apart_m=st.sampled_from([0.3, 3.0, 12.0, 45.0, 300.0]),
    unevenness=st.floats(0.0, 3.0),
    jump_m=st.sampled_from([0.0, 1.0, 100.0, 5_000.0]),
    step_m=st.sampled_from([0.0, 0.2, 1.0]),
)
def test_any_heights_give_finite_ones_at_every_node(
    seed: int, points: int, apart_m: float, unevenness: float, jump_m: float, step_m: float
) -> None:
    rng = np.random.default_rng(seed)
    distance_m = np.cumsum(apart_m * rng.lognormal(0.0, unevenness, points).clip(0.01, 100.0))
    height_m = np.cumsum(rng.normal(0.0, 0.5, points)) + jump_m * (rng.random(points) < 0.05)
    if step_m > 0.0:
        height_m = np.round(height_m / step_m) * step_m
    at_m = np.linspace(distance_m[0], distance_m[-1], 500)
    found = smooth_elevation(distance_m, height_m, at_m)
    assert np.isfinite(found.elevation_m).all()
    assert len(found.noise.sentence) > 20
