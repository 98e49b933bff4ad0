import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_rides import DOUBLE, HUB, ONE_GEAR, SINGLE, TRIPLE

from gearsim.errors import PlanError
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import Gears, gears_of
from gearsim.studies.one_or_two.group_riding import PACES_MPS, group_riding

BIKE = Bike()
KMH = 3.6


def gears(drivetrain: Drivetrain) -> Gears:
    return gears_of(drivetrain, BIKE)


def off_rpm(found: Gears, ring: int, target_rpm: float, pace_mps: np.ndarray) -> np.ndarray:
    """How far the nearest gear of a ring is off, by trying them all."""
    rpm = 60.0 * pace_mps[:, None] / found.development_m[found.ring == ring]
    return np.abs(rpm - target_rpm).min(axis=1)


@pytest.mark.parametrize("drivetrain", [SINGLE, DOUBLE, TRIPLE, HUB, ONE_GEAR])
@given(target_rpm=st.floats(60.0, 110.0), slowest=st.floats(1.0, 9.0), span=st.floats(0.5, 8.0))
def test_mean_and_worst_are_those_of_trying_every_gear_at_every_pace(
    drivetrain: Drivetrain, target_rpm: float, slowest: float, span: float
) -> None:
    found = gears(drivetrain)
    paces = (slowest, slowest + span)
    group = group_riding(found, target_rpm, paces)
    pace = np.linspace(*paces, 4001)
    tried = [off_rpm(found, ring, target_rpm, pace) for ring in range(found.ring.max() + 1)]
    best = tried[group.chainring]
    assert group.mean_off_rpm == pytest.approx(best.mean(), abs=0.02)
    assert group.mean_off_rpm <= min(each.mean() for each in tried) + 0.02
    assert group.worst_off_rpm == pytest.approx(best.max(), abs=0.1)
    assert np.abs(group.cadence_rpm(pace) - target_rpm) == pytest.approx(best, abs=1e-6)


def test_a_gear_for_the_pace_leaves_nothing_off_and_two_gears_meet_half_way() -> None:
    # Gears of 4 and 6 m at 60 rpm go 4 and 6 m/s; as far off at 2/(1/4 + 1/6) = 4.8 m/s: 72 rpm
    # in the lower, 48 rpm in the higher.
    made = Drivetrain(ratios=(6.0 / BIKE.circumference_m, 4.0 / BIKE.circumference_m))
    group = group_riding(gears(made), 60.0, (4.0, 6.0))
    assert group.change_mps == pytest.approx([4.8])
    assert group.worst_off_rpm == pytest.approx(12.0)
    assert group.largest_change_rpm == pytest.approx(24.0)
    # Triangles of 12 rpm over 0.8 and 1.2 m/s of 2 m/s.
    assert group.mean_off_rpm == pytest.approx(6.0)
    assert group.cadence_rpm(np.array([4.0, 6.0])) == pytest.approx([60.0, 60.0])


def test_closer_steps_are_felt_less_in_a_group() -> None:
    close = Drivetrain(chainrings=(46,), sprockets=tuple(range(11, 22)))
    wide = Drivetrain(chainrings=(46,), sprockets=(11, 13, 15, 17, 19, 21))
    near, far = (group_riding(gears(each), 85.0) for each in (close, wide))
    assert near.mean_off_rpm < 0.6 * far.mean_off_rpm
    assert near.largest_change_rpm < 0.6 * far.largest_change_rpm


def test_the_chainring_is_that_which_suits_the_pace_better() -> None:
    found = gears(DOUBLE)
    assert group_riding(found, 85.0).chainring == 0
    assert group_riding(found, 85.0, (8.0 / KMH, 12.0 / KMH)).chainring == 1


def test_one_gear_serves_all_paces_without_a_change() -> None:
    group = group_riding(gears(ONE_GEAR), 85.0)
    assert group.largest_change_rpm == 0.0
    at_ends = [60.0 * pace / group.development_m[0] - 85.0 for pace in PACES_MPS]
    assert group.worst_off_rpm == pytest.approx(max(map(abs, at_ends)))


@pytest.mark.parametrize("paces", [(5.0, 5.0), (6.0, 5.0), (0.0, 5.0), (-1.0, 5.0)])
def test_a_span_of_paces_that_is_none_is_refused(paces: tuple[float, float]) -> None:
    with pytest.raises(PlanError, match="paces of the group"):
        group_riding(gears(SINGLE), 85.0, paces)
