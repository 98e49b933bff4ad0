from dataclasses import replace

import pytest
from made_parts import CASSETTE, FRONT_MECH, HUB, ONE, REAR_MECH, TWO, TWO_RINGS

from gearsim.errors import PlanError
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.build import Build, InternalBuild
from gearsim.setup.parts.parts_list import load_parts

HUB_BUILD = InternalBuild(internal_gear=HUB, chainring=40, sprocket=20)


def test_what_is_ridden_has_the_teeth_the_names_and_the_mass_of_the_parts() -> None:
    assert TWO.drivetrain == Drivetrain(
        name="two rings + cassette + rear mech + front mech",
        chainrings=(46, 30),
        sprockets=CASSETTE.sprockets,
        mass_kg=TWO.mass_kg,
        chainset="two rings",
        rear_mech="rear mech",
        front_mech="front mech",
        driver_body="splined, long",
    )


def test_mass_is_that_of_the_parts_the_chain_and_what_shifts_the_front_mech() -> None:
    # 720 + 310 + 260 + 95 g of parts, 112 links of 2.3 g, 80 g of cable and shifter (judgement).
    assert TWO.mass_kg == pytest.approx(1.385 + 0.2576 + 0.080, abs=5e-4)


def test_hub_gear_s_ratios_come_out_with_the_chain_s() -> None:
    drivetrain = HUB_BUILD.drivetrain
    assert drivetrain.ratios == (3.0, 2.0, 1.5, 1.0)
    assert drivetrain.efficiency == 0.94
    # 1200 g of hub, 750 g of ring and cranks, 50 g of sprocket, 100 links of 2.3 g (judgement).
    assert drivetrain.mass_kg == pytest.approx(2.0 + 100 * 0.0023, abs=5e-4)
    assert HUB_BUILD.price is None
    assert replace(HUB_BUILD, internal_gear=replace(HUB, price=900.0)).price == 900.0


def test_price_is_known_only_where_every_part_has_one() -> None:
    assert TWO.price is None
    priced = [replace(part, price=10.0) for part in TWO.parts]
    names = ("chainset", "cassette", "rear_mech", "front_mech")
    build = replace(TWO, **dict(zip(names, priced, strict=True)))
    assert build.price == 40.0
    assert replace(build, cassette=CASSETTE).price is None
    free = replace(CASSETTE, price=0.0)
    assert replace(build, cassette=free).price == 30.0


def test_one_ring_is_a_mech_less_to_keep_adjusted() -> None:
    assert (ONE.parts_to_adjust, TWO.parts_to_adjust) == (1, 2)


def test_hub_gear_has_its_shifting_and_the_chain_to_keep_adjusted() -> None:
    assert HUB_BUILD.parts_to_adjust == 2


@pytest.mark.parametrize("front_mech", [FRONT_MECH, None])
def test_front_mech_and_number_of_chainrings_must_agree(front_mech: object) -> None:
    chainset = ONE.chainset if front_mech else TWO_RINGS
    with pytest.raises(PlanError, match=r"^chainset .* chainrings: it needs (no|a) front mech"):
        Build(
            chainset=chainset,
            cassette=CASSETTE,
            rear_mech=REAR_MECH,
            front_mech=front_mech,  # type: ignore[arg-type]
        )


def test_dropping_the_front_mech_its_cable_and_a_ring_saves_about_250_g() -> None:
    # Common practice, no source: "about 250 g"; here of typical weights from memory.
    parts = load_parts()
    two = Build(
        chainset=parts.chainset("48-31 gravel, 11 to 12 sprockets"),
        cassette=parts.cassette("11-34, 11 sprockets"),
        rear_mech=parts.rear_mech("11 sprockets, gravel, two rings, low to 34, clutch"),
        front_mech=parts.front_mech("two rings, gravel, up to 50"),
    )
    one = replace(two, chainset=parts.chainset("42 gravel, 11 to 13 sprockets"), front_mech=None)
    assert two.mass_kg - one.mass_kg == pytest.approx(0.25, abs=0.05)
