import math
from dataclasses import replace

import numpy as np
import pytest
from made_rides import DOUBLE, HUB, SINGLE, TRIPLE

from gearsim.physics.chain import chain_efficiency
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import gears_of

BIKE = Bike()


@pytest.mark.parametrize(
    ("front", "rear", "development_m"), [(40, 11, 8.0196), (40, 42, 2.1004), (46, 11, 9.2226)]
)
def test_development_on_a_40_622_wheel(front: int, rear: int, development_m: float) -> None:
    # Computed, to the printed digits.
    gears = gears_of(Drivetrain(chainrings=(front,), sprockets=(rear,)), BIKE)
    assert gears.development_m[0] == pytest.approx(development_m, abs=5e-5)


def test_gears_are_listed_ring_by_ring_largest_first_each_from_highest_to_lowest() -> None:
    gears = gears_of(Drivetrain(chainrings=(46, 30), sprockets=(11, 17, 34)), BIKE)
    assert gears.chainring.tolist() == [46, 46, 46, 30, 30, 30]
    assert gears.sprocket.tolist() == [11, 17, 34, 11, 17, 34]
    assert gears.ring.tolist() == [0, 0, 0, 1, 1, 1]
    assert gears.ratio == pytest.approx(gears.chainring / gears.sprocket)
    assert (gears.highest, gears.lowest) == (0, 5)


@pytest.mark.parametrize("drivetrain", [SINGLE, DOUBLE, TRIPLE, HUB])
def test_highest_and_lowest_are_the_ends_of_all_rings(drivetrain: Drivetrain) -> None:
    gears = gears_of(drivetrain, BIKE)
    assert gears.ratio[gears.highest] == pytest.approx(drivetrain.gear_ratios[0])
    assert gears.ratio[gears.lowest] == pytest.approx(drivetrain.gear_ratios[-1])


def test_the_chain_runs_straight_on_the_middle_sprocket_of_a_single_ring() -> None:
    angle = gears_of(SINGLE, BIKE).chain_angle_rad
    assert angle[5] == 0.0
    assert angle[:5] == pytest.approx(angle[:5:-1])
    # Five sprockets of 3.74 mm out over 430 mm.
    assert angle[0] == pytest.approx(math.atan(5 * 3.74 / 430.0))


def test_big_ring_on_the_largest_sprocket_is_crossed_as_far_as_small_on_smallest() -> None:
    angle = gears_of(DOUBLE, BIKE).chain_angle_rad.reshape(2, 11)
    assert angle[0, -1] == angle.max()
    assert angle[1, 0] == pytest.approx(angle[0, -1])
    assert angle[0, 0] < angle[0, -1]
    assert angle[1, -1] < angle[1, 0]


def test_losses_are_those_of_the_chain_at_any_power_and_cadence() -> None:
    gears = gears_of(DOUBLE, BIKE)
    for gear, power_w, rpm in ((3, 150.0, 90.0), (17, 300.0, 60.0)):
        speed_mps = gears.development_m[gear] * rpm / 60.0
        lost_w = gears.load_loss_share[gear] * power_w + gears.drag_n[gear] * speed_mps
        expected = chain_efficiency(
            power_w,
            rpm,
            float(gears.chainring[gear]),
            float(gears.sprocket[gear]),
            float(gears.chain_angle_rad[gear]),
        )
        assert 1.0 - lost_w / power_w == pytest.approx(expected)


def test_a_clean_chain_loses_a_few_percent_in_every_gear() -> None:
    # Test band 0.90-0.99: Spicer et al. 2001, J Mech Des 123(4):598-605, best measured 98.6 %.
    for drivetrain in (SINGLE, DOUBLE, TRIPLE):
        gears = gears_of(drivetrain, BIKE)
        lost_w = 200.0 * gears.load_loss_share + gears.drag_n * gears.development_m * 1.5
        assert np.all((1.0 - lost_w / 200.0 > 0.90) & (1.0 - lost_w / 200.0 < 0.99))


def test_an_efficiency_given_holds_in_every_gear_whatever_the_load() -> None:
    gears = gears_of(replace(DOUBLE, efficiency=0.95), BIKE)
    assert gears.load_loss_share == pytest.approx(0.05)
    assert np.all(gears.drag_n == 0.0)


def test_a_hub_gear_has_no_teeth_no_chain_line_and_its_own_efficiency() -> None:
    gears = gears_of(replace(HUB, efficiency=0.9), BIKE)
    assert np.all(gears.chainring == 0)
    assert np.all(gears.sprocket == 0)
    assert np.all(gears.chain_angle_rad == 0.0)
    assert gears.load_loss_share == pytest.approx(0.1)


def test_a_hub_gear_of_unknown_efficiency_loses_about_two_points_more_than_a_chain() -> None:
    # Kyle CR, Berto F (2001), Human Power 52:3-11, second hand: about 2 % below at 100 W.
    hub, chain = gears_of(HUB, BIKE), gears_of(SINGLE, BIKE)
    lost_w = 100.0 * chain.load_loss_share + chain.drag_n * chain.development_m * 1.4
    assert np.mean(lost_w) / 100.0 == pytest.approx(hub.load_loss_share[0] - 0.02, abs=0.015)
