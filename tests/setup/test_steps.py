import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import gears_of
from gearsim.setup.steps import distinct_ratios, gear_speed_mps, range_percent, steps_percent

ELEVEN_34 = (11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34)


def test_steps_are_between_neighbours_on_one_ring() -> None:
    gears = gears_of(Drivetrain(chainrings=(44, 30), sprockets=(10, 12, 15)), Bike())
    assert steps_percent(gears) == pytest.approx([20.0, 25.0, 20.0, 25.0])


def test_a_hub_has_steps_between_its_ratios() -> None:
    gears = gears_of(Drivetrain(ratios=(1.0, 1.5, 3.0)), Bike())
    assert steps_percent(gears) == pytest.approx([100.0, 50.0])


def test_a_single_gear_has_no_steps_and_no_range() -> None:
    gears = gears_of(Drivetrain(chainrings=(44,), sprockets=(17,)), Bike())
    assert len(steps_percent(gears)) == 0
    assert range_percent(gears) == 100.0
    assert distinct_ratios(gears) == 1


def test_range_is_highest_over_lowest() -> None:
    gears = gears_of(Drivetrain(chainrings=(46, 30), sprockets=(11, 34)), Bike())
    assert range_percent(gears) == pytest.approx(100.0 * (46 / 11) / (30 / 34))


@given(st.floats(min_value=0.1, max_value=50.0), st.floats(min_value=0.1, max_value=50.0))
def test_a_wider_tolerance_never_finds_more_ratios(first: float, second: float) -> None:
    gears = gears_of(Drivetrain(chainrings=(48, 31), sprockets=ELEVEN_34), Bike())
    tight, wide = sorted((first, second))
    assert distinct_ratios(gears, wide) <= distinct_ratios(gears, tight) <= len(gears.ratio)


def test_speed_in_a_gear_is_its_development_times_cadence() -> None:
    # 40-622 wheel, 40/11 at 90 rpm: 43.306 km/h (computed: π·(622 + 2·40) mm × 40/11 × 90 rpm).
    gears = gears_of(Drivetrain(chainrings=(40,), sprockets=(11,)), Bike(tyre_mm=40.0))
    assert gear_speed_mps(gears, 0, 90.0) * 3.6 == pytest.approx(43.306, abs=0.0005)
