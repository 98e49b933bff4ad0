"""Gear sheets of invented drivetrains for the tests of tables, texts and pictures."""

from collections.abc import Sequence

from made_comparison import FIVE, FIXED, HUB, LOW, SINGLE, TWELVE

from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gear_sheet import GearSheet, gear_sheets
from gearsim.setup.rider import Rider

TRIPLE = Drivetrain(name="triple", chainrings=(50, 39, 30), sprockets=(11, 13, 15, 18, 21, 24, 28))
EXTREME = Drivetrain(
    name="extreme", chainrings=(80, 48, 16), sprockets=(8, *range(58, 71))
)  # the most gears, the longest numbers
SETS = {
    "one ring": (SINGLE,),
    "two rings": (LOW,),
    "three rings": (TRIPLE,),
    "hub": (HUB,),
    "one gear": (FIXED,),
    "extreme": (EXTREME,),
    "five": FIVE,
    "six": (*FIVE, TRIPLE),
    "twelve with hostile names": TWELVE,
}


def sheets(drivetrains: Sequence[Drivetrain] = FIVE, **rider: object) -> tuple[GearSheet, ...]:
    """The sheets on the default bike under the legs of the default rider with some changes."""
    return gear_sheets(drivetrains, Bike(), Rider(**rider))  # type: ignore[arg-type]
