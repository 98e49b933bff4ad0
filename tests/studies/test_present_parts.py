from dataclasses import replace

import pytest
from made_parts import CASSETTE, FRAME, FRONT_MECH, HUB, REAR_MECH, TWO, TWO_RINGS, UNTOLD
from made_search import BIKE, LIGHT_CAGE, NOW, PARTS

from gearsim.errors import PlanError
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.build import InternalBuild
from gearsim.studies.search.present_parts import present_parts


def test_drivetrain_of_named_parts_weighs_what_its_build_weighs() -> None:
    found = present_parts(NOW, PARTS, BIKE, FRAME)
    assert found.mass_kg == TWO.mass_kg
    assert set(found.parts) == set(TWO.parts)
    assert found.guesses == ("its cassette as 'cassette'",)


def test_unnamed_mechs_are_taken_to_be_the_lightest_that_do_and_count_as_there() -> None:
    bare = replace(NOW, chainset=None, rear_mech=None, front_mech=None)
    found = present_parts(bare, PARTS, BIKE, FRAME)
    assert found.parts == (TWO_RINGS, CASSETTE, LIGHT_CAGE, FRONT_MECH)
    light_g = 200.0  # the light cage in place of the rear mech
    assert found.mass_kg == pytest.approx(TWO.mass_kg + (light_g - REAR_MECH.mass_g) / 1000.0)
    assert found.guesses[2:] == (
        "its rear mech, which the plan does not name, as 'light cage'",
        "its front mech, which the plan does not name, as 'front mech'",
    )


def test_mech_on_one_ring_is_taken_to_have_the_clutch_that_a_build_of_it_would_get() -> None:
    one = Drivetrain(chainrings=(42,), sprockets=CASSETTE.sprockets)
    found = present_parts(one, PARTS, BIKE, FRAME)
    assert (found.rear_mech, found.front_mech) == (REAR_MECH, None)


def test_mech_is_the_same_whatever_the_chain_that_is_on_the_bike() -> None:
    short = replace(NOW, rear_mech=None, chain_links=90)
    assert present_parts(short, PARTS, BIKE, FRAME).rear_mech is LIGHT_CAGE


def test_where_no_mech_can_be_the_one_on_the_bike_the_nearest_only_weighs_for_it() -> None:
    nine = Drivetrain(chainrings=(46, 30), sprockets=(11, 13, 15, 17, 20, 23, 26, 30, 34))
    found = present_parts(nine, PARTS, BIKE, FRAME)
    assert found.rear_mech is None  # all of the list are made for eleven
    assert "its rear mech, which the plan does not name, in weight only as" in found.guesses[2]
    far = present_parts(replace(nine, chainrings=(46, 28)), PARTS, BIKE, FRAME)
    assert (found.front_mech, far.front_mech) == (FRONT_MECH, None)
    fronts = tuple(replace(each, mass_g=each.mass_g + 400.0) for each in PARTS.front_mechs)
    heavier = present_parts(far.drivetrain, replace(PARTS, front_mechs=fronts), BIKE, FRAME)
    assert heavier.mass_kg == pytest.approx(far.mass_kg + 0.4)


def test_teeth_that_the_list_does_not_have_weigh_as_the_nearest() -> None:
    odd = Drivetrain(chainrings=(47, 31), sprockets=(11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 33))
    found = present_parts(odd, PARTS, BIKE, FRAME)
    assert found.chainset is not None
    assert found.cassette is not None
    assert (found.chainset.chainrings, found.cassette.sprockets) == (odd.chainrings, odd.sprockets)
    assert found.chainset.mass_g == TWO_RINGS.mass_g
    assert found.cassette.mass_g == CASSETTE.mass_g
    assert found.chainset.price is None
    assert "the nearest in the list, as 'two rings'" in found.guesses[0]


def test_driver_body_told_in_the_plan_stays_the_cassette_s() -> None:
    found = present_parts(replace(NOW, driver_body="splined, fine"), PARTS, BIKE, FRAME)
    assert found.cassette is not None
    assert found.cassette.driver_body == "splined, fine"


def test_cassette_that_is_on_the_bike_goes_on_its_hub_whatever_the_list_has() -> None:
    """Else a search would never offer to keep it."""
    found = present_parts(NOW, PARTS, BIKE, replace(FRAME, driver_body="splined, fine"))
    assert found.cassette is not None
    assert found.cassette.sprockets == CASSETTE.sprockets
    assert found.cassette.driver_body == "splined, fine"


def test_driver_body_that_is_told_nowhere_is_a_guess_that_is_told() -> None:
    odd = replace(NOW, sprockets=(12, 14, 16, 18, 20, 22, 24, 26, 28, 31, 34))
    assert "for a driver body" in present_parts(odd, PARTS, BIKE, UNTOLD).guesses[0]
    assert "for a driver body" not in present_parts(odd, PARTS, BIKE, FRAME).guesses[0]


def test_single_gear_has_no_mech_to_weigh() -> None:
    found = present_parts(Drivetrain(chainrings=(42,), sprockets=(17,)), PARTS, BIKE, FRAME)
    assert found.parts_to_adjust == 0
    assert found.cassette is None
    assert 0.65 + 0.05 < found.mass_kg < 1.1  # chainset and sprocket, and a chain


def test_hub_gear_is_known_by_its_ratios_or_its_name() -> None:
    ratios = InternalBuild(internal_gear=HUB, chainring=40, sprocket=20).drivetrain.ratios
    found = present_parts(Drivetrain(ratios=ratios), PARTS, BIKE, FRAME)
    named = present_parts(Drivetrain(ratios=ratios, internal_gear="hub"), PARTS, BIKE, FRAME)
    assert found.mass_kg == named.mass_kg > HUB.mass_g / 1000.0
    assert (len(found.guesses), len(named.guesses)) == (1, 0)


def test_unknown_hub_gear_must_be_weighed() -> None:
    unknown = Drivetrain(name="hub", ratios=(1.0, 1.7))
    with pytest.raises(PlanError, match="'hub': what it weighs is not told; give mass_kg"):
        present_parts(unknown, PARTS, BIKE, FRAME)
    assert present_parts(replace(unknown, mass_kg=2.5), PARTS, BIKE, FRAME).mass_kg == 2.5
