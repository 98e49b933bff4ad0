"""An invented squad for the tests of its texts, tables and pictures."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

from made_comparison import FIVE, HOSTILE, hills

from gearsim.lists.athletes import AthleteList
from gearsim.setup.athlete import Athlete
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider
from gearsim.studies.squad import Squad, ride_squad, with_break_even

READ = AthleteList(path=Path("athletes.csv"), athletes=(), faults=(), guesses=())


def athlete(number: int, name: str = "") -> Athlete:
    """An athlete, the stronger the larger the number; every third one has told no drivetrain."""
    return Athlete(
        rider=Rider(name=name or f"athlete {number}", power_w=110.0 + 20.0 * number),
        bike=Bike(),
        has=None if number % 3 == 2 else FIVE[number % 5].name,
        assumed=("mass_kg", "band_low_rpm"),
    )


@cache
def squad_of(
    count: int = 5, drivetrains: Sequence[Drivetrain] = FIVE, hostile: bool = False
) -> Squad:
    """So many athletes with the drivetrains on the hills."""
    names = [HOSTILE[n] if hostile and n < len(HOSTILE) else "" for n in range(count)]
    athletes = [athlete(number, name) for number, name in enumerate(names)]
    known = {drivetrain.name for drivetrain in drivetrains}
    athletes = [
        each if each.has in known else replace(each, has=drivetrains[0].name) for each in athletes
    ]
    return with_break_even(ride_squad(hills(), athletes, drivetrains, Conditions()))
