import math
from typing import Any

import pytest

from gearsim.errors import PlanError
from gearsim.setup.drivetrain import Drivetrain


def test_teeth_are_kept_from_outside_inwards_however_they_were_given() -> None:
    drivetrain = Drivetrain(chainrings=(30, 46), sprockets=(34, 11, 20))
    assert drivetrain.chainrings == (46, 30)
    assert drivetrain.sprockets == (11, 20, 34)


def test_ratios_are_kept_highest_first() -> None:
    assert Drivetrain(ratios=(1.0, 3.0, 2.0)).ratios == (3.0, 2.0, 1.0)


@pytest.mark.parametrize(
    ("teeth", "name"),
    [
        ({"chainrings": (46, 30), "sprockets": (11, 20, 34)}, "46-30 × 11-34 (3)"),
        ({"chainrings": (42,), "sprockets": (17,)}, "42 × 17 (1)"),
        ({"ratios": (0.8, 1.5, 4.2)}, "3 ratios 0.80-4.20"),
        ({"name": "mine", "ratios": (1.0,)}, "mine"),
        ({"name": " ", "chainrings": (42,), "sprockets": (17,)}, "42 × 17 (1)"),
    ],
)
def test_a_drivetrain_without_a_name_is_called_by_its_gears(
    teeth: dict[str, Any], name: str
) -> None:
    assert Drivetrain(**teeth).name == name


def test_every_gear_s_ratio_is_told_highest_first() -> None:
    drivetrain = Drivetrain(chainrings=(40, 30), sprockets=(10, 20))
    assert drivetrain.gear_ratios == (4.0, 3.0, 2.0, 1.5)


@pytest.mark.parametrize(
    ("given", "why"),
    [
        ({}, "has no chainrings; give 1 to 3, for example"),
        ({"chainrings": (40,)}, "has no sprockets; give 1 to 14, for example"),
        ({"sprockets": (11,)}, "has no chainrings"),
        ({"ratios": (1.0,), "chainrings": (40,)}, "has ratios and teeth; allowed is one of them"),
        ({"chainrings": (50, 46, 40, 30), "sprockets": (11,)}, "allowed are up to 3 and 14"),
        ({"chainrings": (40,), "sprockets": tuple(range(11, 26))}, "allowed are up to 3 and 14"),
        ({"chainrings": (400,), "sprockets": (11,)}, "chainrings is 400; allowed is 16 to 80"),
        ({"chainrings": (40,), "sprockets": (7,)}, "sprockets is 7; allowed is 8 to 70"),
        ({"ratios": (0.1,)}, r"ratios is 0\.1; allowed is 0\.2 to 12"),
        ({"ratios": (math.nan,)}, "ratios is nan; allowed is"),
        ({"chainrings": (40,), "sprockets": (11, 11)}, "name one size twice; remove one of them"),
        ({"ratios": (1.0,), "efficiency": 1.1}, r"efficiency is 1\.1; allowed is 0\.3 to 1"),
        ({"chainrings": (40.5,), "sprockets": (11,)}, r"chainrings is 40\.5; allowed are whole"),
        ({"ratios": (1.0,), "mass_kg": 31.0}, "mass_kg is 31; allowed is 0 to 30$"),
        (
            {"ratios": (1.0,), "mass_kg": -0.25},
            r"mass_kg is -0\.25; allowed is 0 to 30, which is added .* take .* off bike\.mass_kg",
        ),
    ],
)
def test_gears_that_cannot_turn_are_refused_with_the_remedy(
    given: dict[str, Any], why: str
) -> None:
    with pytest.raises(PlanError, match=why):
        Drivetrain(name="mine", **given)


def test_what_is_refused_is_named() -> None:
    with pytest.raises(PlanError, match=r"^drivetrain 'mine'"):
        Drivetrain(name="mine")
