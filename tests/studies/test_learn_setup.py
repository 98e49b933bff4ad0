"""A plan gets what can be believed; what cannot be is kept out, and a replay still tries it."""

from dataclasses import replace

import numpy as np
import pytest
from made_recordings import loop, recorded, ride_of, without_cadence
from made_rides import DOUBLE, SINGLE

from gearsim.course.recorded.recording import Recording
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import gears_of
from gearsim.setup.parts.kinds import Cassette, Chainset
from gearsim.setup.rider import Rider
from gearsim.studies.learn.estimate import Estimate
from gearsim.studies.learn.learn import Given, Learnt, learn
from gearsim.studies.learn.parts import CLEAR
from gearsim.studies.learn.plausible import DRAG_AREAS_M2, ROLLING_FACTORS, doubts_of
from gearsim.studies.learn.resistance import Resistance
from gearsim.studies.learn.setup import (
    CLEAR_NAME,
    SEEN_NAME,
    bike_as_found,
    learnt_bike,
    learnt_drivetrain,
    wheel_of,
)

TOLD = Given(rider_mass_kg=75.0, bike_mass_kg=10.0, surface_told=True)


def chainset(*rings: int) -> Chainset:
    return Chainset(name=str(rings), chainrings=rings, chain_sprockets=(9, 13), mass_g=700.0)


def cassette(teeth: tuple[int, ...]) -> Cassette:
    return Cassette(name=str(teeth), sprockets=teeth, driver_body="splined, long", mass_g=300.0)


def recording_with(drivetrain: Drivetrain) -> Recording:
    return recorded(ride_of(Rider(power_w=200.0), drivetrain=drivetrain, course=loop(40_000.0)))


@pytest.fixture(scope="module")
def double() -> Recording:
    return recording_with(DOUBLE)


@pytest.fixture(scope="module")
def clear(double: Recording) -> Learnt:
    """The list has the bike's own parts, and others that are far from them."""
    chainsets, cassettes = (chainset(46, 30), chainset(53, 39)), (cassette(DOUBLE.sprockets),)
    return learn([double], TOLD, chainsets, cassettes)


@pytest.fixture(scope="module")
def unclear(double: Recording) -> Learnt:
    """The list has the bike's own parts, and two that differ in a sprocket hardly used."""
    lowest = DOUBLE.sprockets[-1]
    cassettes = tuple(cassette((*DOUBLE.sprockets[:-1], lowest + more)) for more in (0, 8, 12))
    return learn([double], TOLD, (chainset(46, 30),), cassettes)


def test_clear_match_gives_the_teeth_and_the_tyre(clear: Learnt) -> None:
    drivetrain = learnt_drivetrain(clear)
    assert drivetrain is not None
    assert (drivetrain.name, drivetrain.chainrings) == (CLEAR_NAME, (46, 30))
    assert drivetrain.sprockets == DOUBLE.sprockets
    assert learnt_bike(clear).circumference_m == pytest.approx(Bike().circumference_m, rel=0.01)


def test_unclear_match_gives_only_the_gears_seen(unclear: Learnt) -> None:
    assert unclear.parts[0].chance < CLEAR
    drivetrain = learnt_drivetrain(unclear)
    assert drivetrain is not None
    assert drivetrain.name == SEEN_NAME
    assert drivetrain.chainrings == ()


def test_unclear_match_leaves_the_tyre_at_the_default(unclear: Learnt) -> None:
    assert learnt_bike(unclear).tyre_mm == Bike().tyre_mm


def test_gears_seen_turn_the_plans_wheel_as_far_as_the_bikes_own(unclear: Learnt) -> None:
    drivetrain = learnt_drivetrain(unclear)
    assert drivetrain is not None
    rebuilt = gears_of(drivetrain, learnt_bike(unclear)).development_m
    truth = gears_of(DOUBLE, Bike()).development_m
    off = np.abs(np.log(rebuilt)[:, None] - np.log(truth)).min(axis=1)
    assert off.max() < 0.01


def test_same_teeth_under_two_names_count_once(double: Recording) -> None:
    names = [replace(chainset(46, 30), name=name) for name in ("a", "b")]
    found = learn([double], TOLD, names, (cassette(DOUBLE.sprockets), cassette(SINGLE.sprockets)))
    assert found.parts[0].chance > CLEAR
    assert [match.chainset.name for match in found.parts] == ["a", "a"]


def test_too_few_gears_seen_give_no_drivetrain(double: Recording) -> None:
    assert learnt_drivetrain(learn([without_cadence(double)], TOLD)) is None


def around(value: float) -> Estimate:
    return Estimate(value=value, low=0.9 * value, high=1.1 * value, evidence="made")


def with_resistance(learnt: Learnt, drag_area_m2: float, rolling: float) -> Learnt:
    assert isinstance(learnt.resistance, Resistance)
    other = replace(
        learnt.resistance,
        drag_area_m2=around(drag_area_m2),
        rolling_coefficient=around(rolling),
    )
    return replace(learnt, resistance=other)


def test_plausible_drag_and_rolling_go_into_the_plan(clear: Learnt) -> None:
    bike = learnt_bike(with_resistance(clear, 0.31, 0.006))
    assert (bike.drag_area_m2, bike.tyre_rolling_factor) == (0.31, 1.2)


@pytest.mark.parametrize(("drag_area_m2", "rolling"), [(0.31, 0.0236), (0.31, 0.001), (0.7, 0.005)])
def test_implausible_drag_or_rolling_keeps_both_out(
    clear: Learnt, drag_area_m2: float, rolling: float
) -> None:
    doubtful = with_resistance(clear, drag_area_m2, rolling)
    assert len(doubtful.doubts) == 1
    bike, default = learnt_bike(doubtful), Bike()
    assert bike.drag_area_m2 == default.drag_area_m2
    assert bike.tyre_rolling_factor == default.tyre_rolling_factor
    assert bike_as_found(doubtful).drag_area_m2 == drag_area_m2


def test_coefficient_too_high_for_tarmac_may_be_right_on_gravel(clear: Learnt) -> None:
    found = with_resistance(clear, 0.31, 0.012).resistance
    assert isinstance(found, Resistance)
    assert doubts_of(found, "tarmac")
    assert not doubts_of(found, "gravel")


def test_bands_hold_the_published_and_the_recalled_values() -> None:
    """Check values section 3: tarmac 0.003-0.006, rough paved 0.008, drag area 0.28 to 0.45 m²."""
    for coefficient in (0.003, 0.006, 0.008):
        assert ROLLING_FACTORS[0] <= coefficient / 0.005 <= ROLLING_FACTORS[1]
    assert DRAG_AREAS_M2[0] < 0.28 * 0.836
    assert DRAG_AREAS_M2[1] > 0.45 * 1.156


def test_drag_areas_reach_from_a_small_racer_to_a_large_rider_with_bags() -> None:
    """Heil DP (2002), Eur J Appl Physiol 87:520-528, published: frontal area ∝ mass^0.594."""
    by_mass = (np.array([55.0, 65.0, 85.0, 95.0]) / 74.4) ** 0.594
    assert by_mass == pytest.approx([0.836, 0.923, 1.082, 1.156], abs=5e-4)
    # 0.2565 m²: Martin et al. (1998), from memory; 0.45 m² and the tenth beyond: judgement.
    reach = (0.9 * 0.2565 * by_mass[0], 1.1 * 0.45 * by_mass[-1])
    assert pytest.approx(reach, abs=5e-3) == DRAG_AREAS_M2


def test_no_plausible_rider_has_the_drag_of_a_bicycle_alone() -> None:
    """Heil (2002), published: 0.122 m² of frontal area; a drag coefficient of 1 is judgement."""
    alone_m2 = 1.0 * 0.122
    assert alone_m2 < DRAG_AREAS_M2[0] < Bike().drag_area_m2


@pytest.mark.parametrize(
    ("circumference_m", "rim_mm"), [(2.205, 622.0), (2.08, 622.0), (2.05, 584.0), (1.5, 406.0)]
)
def test_wheel_told_has_its_circumference_on_a_rim_that_exists(
    circumference_m: float, rim_mm: float
) -> None:
    wheel = wheel_of(circumference_m)
    bike = Bike(rim_mm=wheel.rim_mm, tyre_mm=wheel.tyre_mm)
    assert bike.rim_mm == rim_mm
    assert bike.circumference_m == pytest.approx(circumference_m, abs=0.0004)
