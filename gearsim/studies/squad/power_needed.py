"""The power that the gears which athletes have ask of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from gearsim.studies.break_even import coping_power
from gearsim.studies.over_cores import over_cores
from gearsim.studies.squad.squad import MOST_BELOW_S, Squad
from gearsim.studies.squad.standing import Standing

Done = Callable[[], None]


def with_break_even(
    squad: Squad,
    *,
    most_below_s: float = MOST_BELOW_S,
    workers: int | None = None,
    done: Done | None = None,
) -> Squad:
    """The squad with the break-even power of the gears that each athlete has.

    It is the least power at which the athlete rides the course on those gears without walking and
    with at most `most_below_s` below the lowest one.  `done` is called after each athlete.
    """

    def solved(standing: Standing) -> Standing:
        athlete = standing.athlete
        if athlete.drivetrain is None:
            return standing
        found = coping_power(
            squad.course,
            athlete,
            athlete.drivetrain,
            squad.conditions,
            most_below_s=most_below_s,
            now=standing.now,
        )
        return replace(standing, break_even=found)

    standings = over_cores(solved, squad.standings, workers=workers, done=done)
    return replace(squad, standings=tuple(standings), most_below_s=most_below_s)
