import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.errors import PlanError
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gear_sheet import GearSheet, gear_sheet, gear_sheets
from gearsim.setup.rider import Rider

BIKE = Bike()  # 40-622
ELEVEN_34 = (11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34)
AT_90 = Rider(target_cadence_rpm=90.0, band_rpm=(80.0, 100.0), limits_rpm=(50.0, 120.0))
KMH = 3.6

cassettes = st.lists(st.integers(9, 52), min_size=1, max_size=13, unique=True)
chainsets = st.lists(st.integers(20, 60), min_size=1, max_size=3, unique=True)
tolerances = st.floats(0.1, 50.0)


def sheet(rings: object, sprockets: object, *, rider: Rider = AT_90, **given: float) -> GearSheet:
    drivetrain = Drivetrain(chainrings=tuple(rings), sprockets=tuple(sprockets))  # type: ignore[call-overload]
    return gear_sheet(drivetrain, BIKE, rider, **given)


@pytest.mark.parametrize(
    ("front", "rear", "metres", "inches", "kmh"),
    [(40, 11, 8.0196, 100.50, 43.306), (40, 42, 2.1004, 26.32, 11.342)],
)
def test_a_gear_on_a_40_622_wheel(
    front: int, rear: int, metres: float, inches: float, kmh: float
) -> None:
    # Computed, to the printed digits: circumference 2.20540 m, speeds at 90 rpm.
    found = sheet((front,), (rear,))
    assert found.gears.development_m[0] == pytest.approx(metres, abs=5e-5)
    assert found.gear_inches[0] == pytest.approx(inches, abs=5e-3)
    assert found.speeds_mps(90.0)[0] * KMH == pytest.approx(kmh, abs=5e-4)


def test_two_rings_each_used_in_one_stretch_have_a_few_ratios_more_than_one() -> None:
    # Common practice, no source: about three.  "About" hangs on what feels the same: 9 % here.
    two, one = (sheet(rings, ELEVEN_34, tolerance_percent=9.0) for rings in ((48, 31), (48,)))
    assert two.ring_by_ring_ratios - one.ring_by_ring_ratios in (3, 4, 5)
    assert two.ring_by_ring_ratios <= two.distinct_ratios


def test_gears_that_count_as_one_share_a_place() -> None:
    found = sheet((48, 32), (12, 16, 18, 24))
    # 48×18 and 32×12 are 2.667, 48×24 and 32×16 are 2.
    assert found.place.tolist() == [1, 2, 3, 4, 3, 4, 5, 6]
    assert found.distinct_ratios == 6


def test_overlap_names_the_gears_inside_the_other_rings_range_and_the_twins() -> None:
    (overlap,) = sheet((48, 32), (12, 16, 18, 24)).overlaps
    assert (overlap.larger_teeth, overlap.smaller_teeth) == (48, 32)
    assert overlap.larger_inside == (2, 3)
    assert overlap.smaller_inside == (4, 5)
    assert overlap.twins == ((2, 4), (3, 5))


def test_rings_far_apart_do_not_overlap() -> None:
    (overlap,) = sheet((60, 20), (11, 12, 13)).overlaps
    assert (overlap.larger_inside, overlap.smaller_inside, overlap.twins) == ((), (), ())


def test_three_rings_have_two_overlaps_and_one_ring_has_none() -> None:
    assert len(sheet((50, 39, 30), ELEVEN_34).overlaps) == 2
    assert sheet((42,), ELEVEN_34).overlaps == ()


def test_a_hub_has_places_and_steps_but_no_overlap() -> None:
    found = gear_sheet(Drivetrain(ratios=(0.5, 1.0, 1.02)), BIKE, AT_90)
    assert found.place.tolist() == [1, 1, 2]
    assert found.step_below_percent.tolist()[:2] == pytest.approx([2.0, 100.0])
    assert math.isnan(found.step_below_percent[2])
    assert found.overlaps == ()


def test_a_single_gear_has_no_step_and_needs_no_shift() -> None:
    found = sheet((44,), (17,))
    assert (found.largest_step_percent, found.median_step_percent) == (None, None)
    assert (found.range_percent, found.distinct_ratios, found.ring_by_ring_ratios) == (100, 1, 1)
    assert (found.front_shifts, found.rear_clicks, found.double_shifts) == (0, 0, 0)


def test_largest_and_median_step() -> None:
    found = sheet((40,), (10, 12, 15, 18))  # 20, 25, 20 %
    assert found.largest_step_percent == pytest.approx(25.0)
    assert found.median_step_percent == pytest.approx(20.0)


def test_gears_run_out_at_the_high_limit_and_begin_at_the_low_one() -> None:
    # 40-622: circumference 2.20540 m (computed); speed is ratio × circumference × rpm / 60.
    found = sheet((46, 30), (11, 36))
    assert found.fastest_mps == pytest.approx(46 / 11 * 2.20540 * 120 / 60, rel=1e-5)
    assert found.slowest_mps == pytest.approx(30 / 36 * 2.20540 * 50 / 60, rel=1e-5)


def test_two_drivetrains_of_one_name_are_refused() -> None:
    one = Drivetrain(name="mine", chainrings=(40,), sprockets=(11,))
    with pytest.raises(PlanError, match="two drivetrains are named 'mine'"):
        gear_sheets((one, one), BIKE, AT_90)
    with pytest.raises(PlanError, match="no drivetrain"):
        gear_sheets((), BIKE, AT_90)


@pytest.mark.parametrize("tolerance", [0.0, -1.0, math.nan, 51.0])
def test_a_tolerance_that_is_none_is_refused(tolerance: float) -> None:
    with pytest.raises(PlanError, match=r"allowed is 0\.1 to 50"):
        sheet((40,), (11,), tolerance_percent=tolerance)


@given(st.integers(20, 60), cassettes)
def test_range_of_one_ring_is_the_product_of_its_steps(ring: int, sprockets: list[int]) -> None:
    found = sheet((ring,), sprockets)
    steps = found.step_below_percent[:-1] / 100.0
    assert found.range_percent == pytest.approx(100.0 * np.prod(1.0 + steps))


@given(chainsets, cassettes, tolerances)
def test_distinct_gears_are_never_more_than_gears_nor_fewer_than_ring_by_ring(
    rings: list[int], sprockets: list[int], tolerance: float
) -> None:
    found = sheet(rings, sprockets, tolerance_percent=tolerance)
    distinct, gears = found.distinct_ratios, len(found.gears.ratio)
    assert 1 <= found.ring_by_ring_ratios <= distinct <= gears
    assert found.place.max() == distinct
    assert sorted(set(found.place.tolist())) == list(range(1, distinct + 1))


@given(st.integers(10, 40), st.integers(10, 40), cassettes, tolerances)
def test_scaling_all_teeth_alike_changes_no_gear(
    one: int, other: int, sprockets: list[int], tolerance: float
) -> None:
    half = [teeth for teeth in sprockets if 9 <= teeth <= 35] or [11]
    rings = sorted({max(16, one), max(16, other)})
    small = sheet(rings, half, tolerance_percent=tolerance)
    large = sheet([2 * r for r in rings], [2 * t for t in half], tolerance_percent=tolerance)
    assert small.gears.ratio.tolist() == large.gears.ratio.tolist()
    assert small.order == large.order
    assert [o.twins for o in small.overlaps] == [o.twins for o in large.overlaps]


@given(chainsets, cassettes, tolerances)
def test_twins_are_closer_than_the_tolerance_and_lie_on_neighbouring_rings(
    rings: list[int], sprockets: list[int], tolerance: float
) -> None:
    found = sheet(rings, sprockets, tolerance_percent=tolerance)
    ratio, ring = found.gears.ratio, found.gears.ring
    for overlap in found.overlaps:
        for one, other in overlap.twins:
            assert ring[other] == ring[one] + 1
            apart = max(ratio[one] / ratio[other], ratio[other] / ratio[one])
            assert apart < 1.0 + tolerance / 100.0


@given(chainsets, cassettes, st.floats(10.0, 70.0))
def test_a_taller_tyre_makes_every_gear_longer_and_changes_no_step(
    rings: list[int], sprockets: list[int], tyre_mm: float
) -> None:
    drivetrain = Drivetrain(chainrings=tuple(rings), sprockets=tuple(sprockets))
    low = gear_sheet(drivetrain, Bike(tyre_mm=tyre_mm), AT_90)
    tall = gear_sheet(drivetrain, Bike(tyre_mm=tyre_mm + 5.0), AT_90)
    assert (tall.gears.development_m > low.gears.development_m).all()
    assert (tall.gear_inches > low.gear_inches).all()
    assert tall.range_percent == low.range_percent
    assert tall.order == low.order
