"""A gust on the pressure sensor is taken out; steep ramps, walls and humps stay."""

from collections.abc import Callable

import numpy as np
import pytest
from made_roads import (
    barometric,
    case_of,
    exact,
    grade_of,
    ramp_road,
    satellite,
    steepest,
    wavy_road,
    whole_metres,
)

from gearsim.course.heights.elevation import smooth_elevation
from gearsim.course.repairs.heights import with_gaps_filled
from gearsim.course.repairs.restless import without_restless_heights
from gearsim.course.track import Floats

NOISES = (barometric, whole_metres, satellite, exact)
ALONG_M = 4.5 * np.arange(1_000)
NUMBER = np.arange(1_000)
GUST_M = np.array([0.4, 2.0, 3.7, 4.5, 4.0, 2.0, 1.0, 3.2, 6.0, 9.1, 8.4, 1.8, 5.2, 6.6, 3.7, 0.4])
"""Like one met in a recorded ride, 8 m up and down within 70 m."""


def recorded(seed: int, sd_m: float) -> Floats:
    """Hills as a barometric recorder with errors of `sd_m` has them."""
    rng = np.random.default_rng(seed)
    height_m = wavy_road(rng, 5_000.0, fall=2.0, grade_sd=0.03)(ALONG_M)
    return np.round((height_m + rng.normal(0.0, sd_m, 1_000)) / 0.2) * 0.2


def hump(grade: float, length_m: float) -> Callable[[Floats], Floats]:
    """A road that rises at 2 %, with a hump as steep as `grade` on either side."""
    return lambda distance_m: (
        100.0
        + 0.02 * distance_m
        + grade * np.clip(length_m - np.abs(distance_m - 1_000.0), 0.0, length_m)
    )


def wall(height_m: Floats) -> float:
    """The steepest 20 m, up or down, of the heights smoothed."""
    at_m = np.arange(0.0, 4_400.0, 10.0)
    grade = grade_of(smooth_elevation(ALONG_M, height_m, at_m).elevation_m)
    return max(steepest(grade, 20.0), steepest(-grade, 20.0))


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("sd_m", [0.05, 0.3])
@pytest.mark.parametrize("seed", range(4))
def test_a_gust_leaves_no_wall(seed: int, sd_m: float, sign: float) -> None:
    height_m = recorded(seed, sd_m)
    height_m[500:516] += sign * GUST_M
    repaired_m, found = without_restless_heights(ALONG_M, height_m, NUMBER)
    filled_m, _ = with_gaps_filled(ALONG_M, repaired_m, NUMBER)
    assert wall(height_m) > 0.15
    assert wall(filled_m) < 0.12
    assert [repair.what for repair in found] == ["restless heights"]
    assert found[0].number[0] == pytest.approx(500, abs=8)
    assert found[0].count == np.isnan(repaired_m).sum() <= 40
    assert "jumping up and down as no road does taken out, on 1 short stretch" in found[0].sentence


def test_heights_outside_the_gust_are_left_as_they_are() -> None:
    height_m = recorded(1, 0.1)
    height_m[500:516] += GUST_M
    repaired_m, _ = without_restless_heights(ALONG_M, height_m, NUMBER)
    kept = ~np.isnan(repaired_m)
    assert kept[:490].all()
    assert kept[526:].all()
    assert list(repaired_m[kept]) == list(height_m[kept])


def test_a_gust_beside_missing_heights_is_taken_out_too() -> None:
    height_m = recorded(1, 0.1)
    height_m[500:516] += GUST_M
    height_m[[300, 505, 506, 700]] = np.nan
    repaired_m, found = without_restless_heights(ALONG_M, height_m, NUMBER)
    assert np.isnan(repaired_m[500:516]).all()
    assert found[0].count == np.isnan(repaired_m).sum() - 4


@pytest.mark.parametrize("apart_m", [(0.8, 1.5), (3.0, 6.0), (4.0, 20.0), (20.0, 40.0)])
@pytest.mark.parametrize("noise", NOISES)
@pytest.mark.parametrize(
    "road",
    [
        None,
        ramp_road(1_000.0, 40.0, 0.25, 0.03),
        ramp_road(1_000.0, 60.0, 0.25, -0.05),
        ramp_road(1_000.0, 20.0, 0.35, 0.03),
        hump(0.25, 40.0),
        hump(0.30, 20.0),
        hump(-0.30, 20.0),
    ],
    ids=["wavy", "25 % for 40 m", "25 % for 60 m", "35 % for 20 m", "hump", "knob", "dip"],
)
def test_roads_keep_their_steep_parts_whatever_the_noise(
    road: Callable[[Floats], Floats] | None,
    noise: Callable[..., Floats],
    apart_m: tuple[float, float],
) -> None:
    for seed in range(3):
        case = case_of(seed, noise, road, 3_000.0, apart_m=apart_m)
        number = np.arange(len(case.distance_m))
        repaired_m, found = without_restless_heights(case.distance_m, case.recorded_m, number)
        assert found == []
        assert list(repaired_m) == list(case.recorded_m)


@pytest.mark.parametrize("points", [1, 2, 3])
@pytest.mark.parametrize("by_m", [6.0, -25.0])
def test_height_that_stays_gained_is_no_gust(points: int, by_m: float) -> None:
    height_m = recorded(2, 0.1)
    height_m[500:] += by_m * np.minimum(np.arange(1.0, 501.0) / points, 1.0)
    repaired_m, found = without_restless_heights(ALONG_M, height_m, NUMBER)
    assert found == []
    assert list(repaired_m) == list(height_m)


def test_heights_that_are_rough_everywhere_are_left_as_noise() -> None:
    rng = np.random.default_rng(3)
    height_m = 100.0 + rng.normal(0.0, 3.0, 1_000)
    assert without_restless_heights(ALONG_M, height_m, NUMBER)[1] == []


@pytest.mark.parametrize("points", [0, 1, 2, 3])
def test_few_heights_are_left_as_they_are(points: int) -> None:
    height_m = np.array([100.0, 100.5, 101.0])[:points]
    repaired_m, found = without_restless_heights(ALONG_M[:points], height_m, NUMBER[:points])
    assert found == []
    assert list(repaired_m) == list(height_m)
