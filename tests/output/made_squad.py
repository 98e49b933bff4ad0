"""An invented squad for the tests of its texts, tables and pictures."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

from made_comparison import FIVE, HOSTILE, hills
from made_parts import FRAME
from made_search import BIKE, CLOSE, NOW, PARTS, RIDER
from made_search import hills as short_hills

from gearsim.lists.athletes import AthleteList
from gearsim.setup.athlete import Athlete
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider
from gearsim.setup.wishes import Wishes
from gearsim.studies.squad.open_builds import open_builds
from gearsim.studies.squad.power_needed import with_break_even
from gearsim.studies.squad.ride_squad import ride_squad
from gearsim.studies.squad.search_squad import search_squad
from gearsim.studies.squad.squad import Squad

READ = AthleteList(path=Path("athletes.csv"), athletes=(), faults=(), guesses=())


def athlete(number: int, name: str = "") -> Athlete:
    """An athlete, the stronger the larger the number; every third one has told no drivetrain."""
    return Athlete(
        rider=Rider(name=name or f"athlete {number}", power_w=110.0 + 20.0 * number),
        bike=Bike(),
        drivetrain=None if number % 3 == 2 else FIVE[number % 5],
        assumed=("mass_kg", "band_low_rpm"),
    )


@cache
def squad_of(
    count: int = 5, drivetrains: Sequence[Drivetrain] = FIVE, hostile: bool = False
) -> Squad:
    """So many athletes with the drivetrains on the hills."""
    names = [HOSTILE[n] if hostile and n < len(HOSTILE) else "" for n in range(count)]
    athletes = [athlete(number, name) for number, name in enumerate(names)]
    athletes = [
        each if each.drivetrain in drivetrains else replace(each, drivetrain=drivetrains[0])
        for each in athletes
    ]
    return with_break_even(ride_squad(hills(), athletes, drivetrains, Conditions()))


OWN = (
    NOW,
    Drivetrain(name="old road bike", chainrings=(50, 34), sprockets=CLOSE.sprockets),
    None,
    Drivetrain(name="mum's bike", chainrings=(48,), sprockets=CLOSE.sprockets),
)
GRINDING = replace(
    RIDER, power_w=330.0, target_cadence_rpm=62.0, band_rpm=(52.0, 72.0), limits_rpm=(35.0, 85.0)
)


@cache
def sought_of(count: int = 5, wishes: Wishes | None = None, most_kinds: int = 6) -> Squad:
    """So many athletes, every fifth a grinder, for whom all that fits was ridden."""
    likes = [GRINDING if number % 5 == 4 else RIDER for number in range(count)]
    athletes = [
        Athlete(
            rider=replace(like, name=f"athlete {number}", power_w=like.power_w - 4.0 * number),
            bike=BIKE,
            drivetrain=OWN[1 if like is GRINDING else number % len(OWN)],
        )
        for number, like in enumerate(likes)
    ]
    builds = open_builds(athletes, NOW, PARTS, FRAME, wishes or Wishes(smallest_tyre_mm=42.0))
    found = search_squad(short_hills(), builds, Conditions(), most_kinds=most_kinds)
    return with_break_even(found)
