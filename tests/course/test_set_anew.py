import numpy as np
import pytest

from gearsim.course.repairs.set_anew import without_heights_set_anew
from gearsim.course.track import Floats

LEGS = 600
NUMBER = np.arange(LEGS + 1)
STOP = 400  # the leg in which the rider stands


def road(*, stood_s: float, moved_m: float, grade: float = 0.03) -> tuple[Floats, Floats, Floats]:
    """Times, distances and heights at 5 m/s, with a stop at which the height moves."""
    length_m = np.full(LEGS, 5.0)
    length_m[STOP] = 3.0
    lasting_s = length_m / 5.0
    lasting_s[STOP] += stood_s
    along_m = np.concatenate([[0.0], np.cumsum(length_m)])
    height_m = 200.0 + grade * along_m
    height_m[STOP + 1 :] += moved_m
    return np.concatenate([[0.0], np.cumsum(lasting_s)]), along_m, height_m


@pytest.mark.parametrize("moved_m", [2.4, -2.4])
def test_a_height_that_moves_at_a_stop_makes_no_wall(moved_m: float) -> None:
    time_s, along_m, height_m = road(stood_s=60.0, moved_m=moved_m)
    repaired_m, found = without_heights_set_anew(time_s, along_m, height_m, NUMBER)
    grade = np.diff(repaired_m) / np.diff(along_m)
    assert np.abs(np.diff(height_m) / np.diff(along_m)).max() > 0.7
    assert np.abs(grade).max() < 0.10
    assert repaired_m[STOP + 1 :] == pytest.approx(height_m[STOP + 1 :])
    assert repaired_m[: STOP - 200] == pytest.approx(height_m[: STOP - 200])
    assert found[0].count == 1
    assert f"{moved_m:+.0f}"[:2] in found[0].sentence
    assert found[0].number.tolist() == [STOP]


def test_a_stop_on_a_climb_keeps_what_the_road_climbs_there() -> None:
    time_s, along_m, height_m = road(stood_s=60.0, moved_m=0.0, grade=0.12)
    repaired_m, found = without_heights_set_anew(time_s, along_m, height_m, NUMBER)
    assert list(repaired_m) == list(height_m)
    assert found == []


def test_a_kerb_that_is_ridden_over_stays() -> None:
    time_s, along_m, height_m = road(stood_s=0.0, moved_m=1.0)
    assert without_heights_set_anew(time_s, along_m, height_m, NUMBER)[1] == []


def test_a_wall_that_is_pushed_up_slowly_stays() -> None:
    """30 m at 30 %, a point each 20 s: every leg takes as long as a stop."""
    length_m = np.concatenate([np.full(200, 5.0), np.full(6, 5.0), np.full(200, 5.0)])
    rise_m = np.concatenate([np.zeros(200), np.full(6, 1.5), np.zeros(200)])
    lasting_s = np.concatenate([np.full(200, 1.0), np.full(6, 20.0), np.full(200, 1.0)])
    time_s, along_m, height_m = (
        np.concatenate([[0.0], np.cumsum(each)]) for each in (lasting_s, length_m, rise_m)
    )
    repaired_m, found = without_heights_set_anew(time_s, along_m, height_m, np.arange(407))
    assert list(repaired_m) == list(height_m)
    assert found == []


def test_a_step_too_large_for_drift_is_left_to_others() -> None:
    time_s, along_m, height_m = road(stood_s=600.0, moved_m=40.0)
    assert without_heights_set_anew(time_s, along_m, height_m, NUMBER)[1] == []


def test_without_times_nothing_is_known_of_stops() -> None:
    time_s, along_m, height_m = road(stood_s=60.0, moved_m=2.4)
    repaired_m, found = without_heights_set_anew(
        np.full_like(time_s, np.nan), along_m, height_m, NUMBER
    )
    assert list(repaired_m) == list(height_m)
    assert found == []


def test_a_stop_at_the_very_start_moves_no_more_than_it() -> None:
    time_s, along_m, height_m = road(stood_s=0.0, moved_m=0.0)
    time_s[1:] += 60.0
    height_m[1:] += 2.4
    repaired_m, found = without_heights_set_anew(time_s, along_m, height_m, NUMBER)
    assert repaired_m[1:] == pytest.approx(height_m[1:])
    assert found[0].count == 1
    assert repaired_m[0] == pytest.approx(height_m[1], abs=0.5)
