import math
from typing import Any

import pytest

from gearsim.errors import PlanError
from gearsim.setup.rider import Rider


@pytest.mark.parametrize(
    ("name", "value"), [("mass_kg", 19.9), ("mass_kg", math.nan), ("power_w", 2001.0)]
)
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


def test_a_value_just_outside_is_told_with_the_digits_that_put_it_there() -> None:
    with pytest.raises(PlanError, match=r"rider\.mass_kg is 250\.00001; allowed is 20 to 250$"):
        Rider(mass_kg=250.00001)


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


def test_a_rider_who_eases_off_on_every_slope_still_pushes_what_the_flat_takes() -> None:
    rider = Rider(power_w=200.0, critical_power_w=50.0, uphill_factor=0.5, downhill_factor=0.5)
    assert rider.largest_w == 200.0


def test_the_default_rider_rides_as_slowly_as_riders_can_balance() -> None:
    # Cain SM et al. (2016), PLoS ONE 11:e0149340, published: riders balance at 1 m/s.
    assert Rider().slowest_riding_mps == 1.0


def test_the_default_rider_pushes_at_a_pace_between_walking_off_a_path_and_on_it() -> None:
    # Tobler (1993): off a path × 0.6.  No published speed for pushing a bicycle was found.
    assert 0.6 <= Rider().pushing_factor <= 1.0


def test_the_default_rider_can_turn_the_cadences_that_were_measured() -> None:
    # Cross-country racing 68 ± 8 rpm (2018, Int J Sports Physiol Perform 13:1243-1249); most
    # economical 60 rpm unloaded and 80 rpm at 350 W (Foss and Hallén 2004, Eur J Appl Physiol
    # 92:443-451); published both.
    low_limit, high_limit = Rider().limits_rpm
    assert low_limit <= 60.0 <= 68.0 + 8.0 <= high_limit
    assert Rider().band_rpm[0] <= 80.0 <= Rider().band_rpm[1]


def test_a_sprinter_can_be_told_and_no_legs_that_have_no_power_left() -> None:
    # Dorel S et al. (2005), Int J Sports Med 26:739-746, published: 1600 W at 129.8 rpm, 118.5 N·m.
    # Power is a parabola of cadence, so at twice that cadence there is none.
    assert 118.5 * 129.8 * math.pi / 30.0 == pytest.approx(1600.0, rel=0.01)
    assert Rider(largest_power_w=1600.0, limits_rpm=(50.0, 200.0)).largest_w == 1600.0
    with pytest.raises(PlanError, match=r"rider\.limits_rpm is 260"):
        Rider(limits_rpm=(50.0, 260.0))
