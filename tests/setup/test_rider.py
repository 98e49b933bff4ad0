import math
from typing import Any

import pytest

from gearsim.errors import PlanError
from gearsim.setup.rider import Rider

OUT_OF_BOUNDS = [
    ("mass_kg", 19.9),
    ("mass_kg", 251.0),
    ("mass_kg", math.nan),
    ("power_w", 0.0),
    ("power_w", 2001.0),
    ("critical_power_w", 10.0),
    ("reserve_j", -1.0),
    ("uphill_factor", 0.0),
    ("downhill_factor", -0.1),
    ("full_effect_grade", 0.0),
    ("stop_pedalling_mps", 1.0),
    ("descending_mps", 61.0),
    ("braking_mps2", 0.0),
    ("cornering", 1.1),
    ("slowest_riding_mps", 0.1),
    ("rear_shift_s", -0.1),
    ("front_shift_s", 11.0),
    ("rear_step_cost_s", -1.0),
    ("rear_jump_cost_s", -1.0),
    ("front_cost_s", -1.0),
    ("pushing_factor", 0.0),
    ("remount_s", -1.0),
]


@pytest.mark.parametrize(("name", "value"), OUT_OF_BOUNDS)
def test_what_no_rider_can_be_is_refused_with_name_value_and_what_is_allowed(
    name: str, value: float
) -> None:
    with pytest.raises(
        PlanError, match=rf"^rider\.{name} is {value:g}; allowed is [\d.]+ to [\d.]+$"
    ):
        Rider(**{name: value})


@pytest.mark.parametrize(
    "cadences",
    [
        {"band_rpm": (95.0, 75.0)},
        {"band_rpm": (86.0, 95.0)},
        {"limits_rpm": (80.0, 115.0)},
        {"limits_rpm": (50.0, 95.0)},
        {"target_cadence_rpm": 120.0},
        {"target_cadence_rpm": math.nan},
        {"limits_rpm": (50.0, math.nan)},
    ],
)
def test_cadences_out_of_order_are_refused_with_their_order(cadences: dict[str, Any]) -> None:
    with pytest.raises(PlanError, match="allowed is low limit < low end of the band < target"):
        Rider(**cadences)


def test_limits_no_leg_can_turn_are_refused() -> None:
    with pytest.raises(PlanError, match=r"rider\.limits_rpm is 300; allowed is 10 to 250"):
        Rider(limits_rpm=(50.0, 300.0))


def test_a_largest_power_under_the_riding_power_is_refused() -> None:
    with pytest.raises(PlanError, match=r"rider\.largest_power_w is 150; allowed is 180 to 3000"):
        Rider(largest_power_w=150.0)


def test_powers_not_given_are_a_stated_multiple_of_the_riding_power() -> None:
    rider = Rider(power_w=200.0)
    assert rider.critical_w == pytest.approx(260.0)
    assert rider.largest_w == pytest.approx(1.8 * 260.0)


def test_powers_given_are_taken() -> None:
    rider = Rider(power_w=200.0, critical_power_w=240.0, largest_power_w=700.0)
    assert rider.critical_w == 240.0
    assert rider.largest_w == 700.0


def test_the_largest_power_is_never_under_what_the_pace_asks_for() -> None:
    rider = Rider(power_w=200.0, largest_power_w=210.0, uphill_factor=1.4)
    assert rider.largest_w == pytest.approx(280.0)
