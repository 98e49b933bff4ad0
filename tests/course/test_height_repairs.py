import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.course.repairs.heights import (
    with_gaps_filled,
    without_height_spikes,
    without_height_steps,
    without_impossible_heights,
    without_zero_dropouts,
)
from gearsim.course.track import Floats

ALONG_M = 10.0 * np.arange(200)
NUMBER = np.arange(200)


def road() -> Floats:
    """A climb of 12 % and a descent of 12 %."""
    return 300.0 + 0.12 * np.minimum(ALONG_M, 1990.0 - ALONG_M)


def test_a_road_is_left_as_it_is() -> None:
    height = road()
    for repair in (without_zero_dropouts, without_height_spikes, without_height_steps):
        repaired, found = repair(ALONG_M, height, NUMBER)
        assert list(repaired) == list(height)
        assert found == []


@pytest.mark.parametrize("code", [-32768.0, -9999.0, -501.0, 9001.0, 99999.0, np.inf])
def test_a_height_that_no_road_has_is_missing(code: float) -> None:
    height = road()
    height[7] = code
    repaired, found = without_impossible_heights(height, NUMBER)
    assert np.isnan(repaired[7])
    assert found[0].count == 1


@pytest.mark.parametrize(("low", "high"), [(-420.0, -5.0), (5_500.0, 5_900.0)])
def test_a_road_below_the_sea_or_over_the_highest_pass_keeps_its_height(
    low: float, high: float
) -> None:
    height = np.linspace(low, high, 200)
    assert list(without_impossible_heights(height, NUMBER)[0]) == list(height)


@pytest.mark.parametrize("points", [slice(50, 51), slice(50, 90), slice(0, 4), slice(190, 200)])
def test_zeros_amid_heights_are_missing(points: slice) -> None:
    height = road()
    height[points] = 0.0
    repaired, found = without_zero_dropouts(ALONG_M, height, NUMBER)
    assert list(np.flatnonzero(np.isnan(repaired))) == list(range(200)[points])
    assert found[0].count == len(range(200)[points])


def test_a_road_along_the_sea_keeps_its_zeros() -> None:
    height = np.maximum(road() - 380.0, 0.0)
    repaired, found = without_zero_dropouts(ALONG_M, height, NUMBER)
    assert list(repaired) == list(height)
    assert found == []


@pytest.mark.parametrize("points", [1, 4, 8])
@pytest.mark.parametrize("by_m", [15.0, -400.0])
def test_a_spike_in_height_is_missing(points: int, by_m: float) -> None:
    height = road()
    height[60 : 60 + points] += by_m
    repaired, found = without_height_spikes(ALONG_M, height, NUMBER)
    assert list(np.flatnonzero(np.isnan(repaired))) == list(range(60, 60 + points))
    assert found[0].what == "spikes in height"


def test_nine_points_that_stand_out_are_no_spike() -> None:
    height = road()
    height[60:69] += 50.0
    assert list(without_height_spikes(ALONG_M, height, NUMBER)[0]) == list(height)


def test_a_short_wall_is_no_spike() -> None:
    height = road()
    height[100:] += 4.0
    height[103:] -= 4.0
    repaired, _ = without_height_spikes(ALONG_M, height, NUMBER)
    assert not np.isnan(repaired).any()


def test_what_stands_out_for_more_than_200_m_is_no_spike() -> None:
    along = 100.0 * np.arange(50)
    height = np.full(50, 300.0)
    height[20:23] += 80.0
    repaired, found = without_height_spikes(along, height, np.arange(50))
    assert list(repaired) == list(height)
    assert found == []


def test_missing_heights_are_filled_in_a_straight_line_along_distance() -> None:
    along = np.array([0.0, 10.0, 40.0, 50.0, 100.0])
    height = np.array([np.nan, 10.0, np.nan, 30.0, np.nan])
    filled, found = with_gaps_filled(along, height, np.arange(5))
    assert list(filled) == [10.0, 10.0, 25.0, 30.0, 30.0]
    assert found[0].count == 3
    assert "longest gap 50 m" in found[0].sentence


@given(st.integers(min_value=1, max_value=199), st.sampled_from([-250.0, -20.0, 20.0, 250.0]))
def test_one_step_is_levelled_and_every_other_grade_kept(at: int, by_m: float) -> None:
    height = road()
    height[at:] += by_m
    repaired, found = without_height_steps(ALONG_M, height, NUMBER)
    change = np.diff(repaired) - np.diff(road())
    assert np.delete(change, at - 1) == pytest.approx(0.0, abs=1e-9)
    assert repaired[at] == repaired[at - 1]
    assert found[0].what == "steps in height"


def test_many_steps_are_told_and_left() -> None:
    height = road()
    height[50:] += 40.0
    height[120:] += 40.0
    repaired, found = without_height_steps(ALONG_M, height, NUMBER)
    assert list(repaired) == list(height)
    assert "left as they are" in found[0].sentence
