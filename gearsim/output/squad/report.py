"""The report that a coach takes away: a squad as page data, and as one HTML file."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from gearsim.lists.athletes import AthleteList
from gearsim.output.assumptions import surface_table
from gearsim.output.course_words import length_and_climb
from gearsim.output.report.comparison import route_told, surface_note
from gearsim.output.report.html import rendered
from gearsim.output.report.parts import Row, Table
from gearsim.output.ridden_by import day
from gearsim.output.search.words import wishes_told
from gearsim.output.squad.cells import cost_cells
from gearsim.output.squad.matrix import COST_HEADS, Matrix, board_of, matrices_of, shown_places
from gearsim.output.squad.offers import made_of
from gearsim.output.squad.sentences import (
    gears_told,
    guessed,
    others_told,
    outliers_told,
    ridden_told,
    served_told,
    shared_told,
)
from gearsim.output.squad.sheets import Sheet, sheets_of
from gearsim.output.squad.verdict import squad_verdict
from gearsim.output.squad.words import definitions, unsettled
from gearsim.output.words import CAUTIONS, at_least_shown, clean, letter, listed, minute_decimals
from gearsim.studies.squad.squad import Squad

MOST_SHEETS = 12
"""Athletes up to whom each has a block of their own; more have a line each."""


@dataclass(frozen=True, kw_only=True)
class Shared:
    """A drivetrain, whom it suits and what it is made of, in sentences."""

    letter: str
    name: str
    told: tuple[str, ...]
    made_of: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class SquadPage:
    """Everything that the report of a squad says, every text final.

    A few athletes are in `matrices`, `costs` and `sheets`, many in a `board` with `assumed`.
    """

    title: str
    facts: str
    day: str
    verdict: str
    served: tuple[str, ...]
    shared: tuple[Shared, ...]
    others: tuple[str, ...]
    drivetrains: Table
    outliers: tuple[str, ...]
    matrices: tuple[Matrix, ...]
    costs: Table | None
    sheets: tuple[Sheet, ...]
    board: Matrix | None
    assumed: str
    left_out: tuple[str, ...]
    guesses: tuple[str, ...]
    surfaces: Table
    surface_note: str
    route: tuple[str, ...]
    definitions: tuple[str, ...]
    cautions: tuple[str, ...]


def squad_report(squad: Squad, read: AthleteList, cautions: Sequence[str] = ()) -> bytes:
    """The report as one HTML file that opens without a network and runs no script."""
    return rendered("squad.html", page=squad_page(squad, read, cautions))


def squad_page(squad: Squad, read: AthleteList, cautions: Sequence[str] = ()) -> SquadPage:
    """What the report says; `read` tells what was wrong or guessed in reading the list.

    `cautions` are those of the plan.
    """
    few = len(squad.standings) <= MOST_SHEETS
    wishes = "" if squad.sought is None else wishes_told(squad.sought.wishes)
    return SquadPage(
        title=clean(squad.course.name),
        facts=f"{length_and_climb(squad.course)}; {ridden_told(squad)}",
        day=f"{day(squad.conditions)} {wishes}".strip(),
        verdict=squad_verdict(squad),
        served=tuple(served_told(squad, each) for each in squad.served),
        shared=tuple(_shared(squad, place) for place in _shared_places(squad)),
        others=tuple(f"{mark}: {told}" for mark, told in others_told(squad)),
        drivetrains=_drivetrains_table(squad),
        outliers=outliers_told(squad),
        matrices=matrices_of(squad) if few else (),
        costs=_costs_table(squad) if few else None,
        sheets=sheets_of(squad) if few else (),
        board=None if few else board_of(squad),
        assumed="" if few else _assumed(squad),
        left_out=(*_of_list(read, read.faults), *map(clean, squad.left_out)),
        guesses=_of_list(read, guessed(squad, read)),
        surfaces=surface_table(squad.course),
        surface_note=surface_note(squad.course),
        route=route_told(squad.course),
        definitions=definitions(squad),
        cautions=(*map(clean, cautions), *unsettled(squad), *CAUTIONS),
    )


def _shared_places(squad: Squad) -> list[int]:
    """The drivetrains of which it is told who shares them: those shown, and anyone's best."""
    told = {*shown_places(squad), *squad.shared}
    return sorted(told)


def _shared(squad: Squad, place: int) -> Shared:
    drivetrain = squad.drivetrains[place]
    return Shared(
        letter=letter(place),
        name=gears_told(drivetrain),
        told=shared_told(squad, place),
        made_of=made_of(squad, place),
    )


def _drivetrains_table(squad: Squad) -> Table:
    return Table(
        caption="The drivetrains, by their mismatch for all together",
        corner="drivetrain",
        heads=("all to\u00adgether", "best for", "as good for"),
        rows=tuple(
            Row(
                title=f"{letter(place)}  {gears_told(each)}",
                cells=(
                    at_least_shown(squad.together[place], 1),
                    str(len(squad.shared.get(place, ()))),
                    str(_also(squad, place)),
                ),
            )
            for place, each in enumerate(squad.drivetrains)
        ),
    )


def _also(squad: Squad, place: int) -> int:
    return sum(each.best != place and each.will_do(place) for each in squad.standings)


def _of_list(read: AthleteList, told: Sequence[str]) -> tuple[str, ...]:
    """What was told of the list, with its name but not the folder it is in."""
    folder = str(read.path.parent) + os.sep
    return tuple(clean(each.removeprefix(folder)) for each in told)


def _costs_table(squad: Squad) -> Table:
    longest_s = max(score.finish_s for each in squad.standings for score in each.scores)
    decimals = minute_decimals(longest_s)
    return Table(
        caption="What the gears that an athlete has cost against the best, in minutes more or less",
        corner="athlete",
        heads=COST_HEADS,
        rows=tuple(
            Row(title=clean(each.athlete.name), cells=tuple(cost_cells(squad, each, decimals)))
            for each in squad.standings
        ),
    )


def _assumed(squad: Squad) -> str:
    """Which values were not told, and of how many athletes."""
    counts = Counter(column for each in squad.standings for column in each.athlete.assumed)
    told = [f"{column} of {count}" for column, count in counts.most_common()]
    values = f"Assumed, since the list does not tell it: {listed(told)}. " if told else ""
    return f"{values}What each athlete was ridden with is in squad.csv."
