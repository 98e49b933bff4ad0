"""The report that a coach takes away: a squad as page data, and as one HTML file."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass

from gearsim.lists.athletes import AthleteList
from gearsim.output.assumptions import surface_table
from gearsim.output.report.comparison import route_told, surface_note
from gearsim.output.report.html import rendered
from gearsim.output.report.parts import Row, Table
from gearsim.output.route.text import length_and_climb
from gearsim.output.squad.cells import athlete_cells, cost_cells
from gearsim.output.squad.words import (
    MOST_LETTERS,
    count_of,
    day,
    definitions,
    letter,
    names,
    quoted,
    squad_verdict,
    stands_out,
    unsettled,
)
from gearsim.output.words import CAUTIONS, at_least_shown, clean, minute_decimals, shorten
from gearsim.ride.score import Score
from gearsim.ride.states import State
from gearsim.studies.squad import Squad, Standing

MOST_COLUMNS = 7  # of a matrix, so that its numbers can be read on a printed page
BEST, AS_GOOD, HAS, WALKS = "best", "as good", "has", "walks"

COST_HEADS = (
    "best",
    "mis\u00admatch",
    "has",
    "mis\u00admatch",
    "off tar\u00adget min",
    "below lowest min",
    "walk\u00ading min",
    "finish min",
    "power W",
    "needs W",
)
ATHLETE_HEADS = (
    "mass kg",
    "power W",
    "criti\u00adcal W",
    "re\u00adserve kJ",
    "target rpm",
    "band rpm",
    "limits rpm",
    "drag m²",
    "bike kg",
)


@dataclass(frozen=True, kw_only=True)
class Cell:
    """One athlete with one drivetrain: the mismatch, and in words what there is to know of it.

    `percent` is the mismatch in % of the largest in the squad.
    """

    mismatch: str
    percent: float
    flags: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class MatrixRow:
    """An athlete, or all together, and a cell for each drivetrain of the matrix."""

    title: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, kw_only=True)
class Matrix:
    """Athletes against some of the drivetrains: `heads` are letters and names."""

    caption: str
    heads: tuple[tuple[str, str], ...]
    rows: tuple[MatrixRow, ...]
    together: MatrixRow


@dataclass(frozen=True, kw_only=True)
class Shared:
    """A drivetrain and whom it suits, in sentences."""

    letter: str
    name: str
    gears: str
    told: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class SquadPage:
    """Everything that the report of a squad says, every text final."""

    title: str
    facts: str
    day: str
    verdict: str
    matrices: tuple[Matrix, ...]
    shared: tuple[Shared, ...]
    outliers: tuple[str, ...]
    costs: Table
    athletes: Table
    left_out: tuple[str, ...]
    guesses: tuple[str, ...]
    surfaces: Table
    surface_note: str
    route: tuple[str, ...]
    definitions: tuple[str, ...]
    cautions: tuple[str, ...]


def squad_report(squad: Squad, read: AthleteList) -> bytes:
    """The report as one HTML file that opens without a network and runs no script."""
    return rendered("squad.html", page=squad_page(squad, read))


def squad_page(squad: Squad, read: AthleteList) -> SquadPage:
    """What the report says; `read` tells what was wrong or guessed in reading the list."""
    counts = (
        f"{count_of(len(squad.standings), 'athlete')}, "
        f"{count_of(len(squad.drivetrains), 'drivetrain')}"
    )
    return SquadPage(
        title=clean(squad.course.name),
        facts=f"{length_and_climb(squad.course)}; {counts}",
        day=day(squad.conditions),
        verdict=squad_verdict(squad),
        matrices=_matrices(squad),
        shared=tuple(_shared(squad, place) for place in range(len(squad.drivetrains))),
        outliers=_outliers(squad),
        costs=_costs_table(squad),
        athletes=_athletes_table(squad),
        left_out=(*_of_list(read, read.faults), *map(clean, squad.left_out)),
        guesses=_of_list(read, read.guesses),
        surfaces=surface_table(squad.course),
        surface_note=surface_note(squad.course),
        route=route_told(squad.course),
        definitions=definitions(squad),
        cautions=(*unsettled(squad), *CAUTIONS),
    )


def _matrices(squad: Squad) -> tuple[Matrix, ...]:
    """The matrix, in several of about the same width where there are many drivetrains."""
    count = len(squad.drivetrains)
    apiece = -(-count // -(-count // MOST_COLUMNS))
    firsts = range(0, count, apiece)
    return tuple(_matrix(squad, range(n, min(n + apiece, count)), len(firsts)) for n in firsts)


def _matrix(squad: Squad, columns: Sequence[int], of: int) -> Matrix:
    largest = max(score.mismatch for each in squad.standings for score in each.scores) or 1.0
    part = f", {letter(columns[0])} to {letter(columns[-1])}" if of > 1 else ""
    return Matrix(
        caption=f"Mismatch of each athlete with each drivetrain{part}",
        heads=tuple((letter(n), _short(squad.drivetrains[n].name)) for n in columns),
        rows=tuple(
            MatrixRow(
                title=_short(each.athlete.name),
                cells=tuple(
                    _cell(each.scores[n].mismatch, largest, _flags(each, n)) for n in columns
                ),
            )
            for each in squad.standings
        ),
        together=MatrixRow(
            title="all together",
            cells=tuple(_cell(squad.together[n], largest) for n in columns),
        ),
    )


def _short(name: str) -> str:
    return shorten(clean(name), MOST_LETTERS)


def _cell(mismatch: float, largest: float, flags: tuple[str, ...] = ()) -> Cell:
    shown = at_least_shown(mismatch, 1)
    return Cell(mismatch=shown, percent=100.0 * (mismatch / largest), flags=flags)


def _flags(standing: Standing, place: int) -> tuple[str, ...]:
    suits = BEST if place == standing.best else AS_GOOD if standing.will_do(place) else ""
    told = (
        suits,
        HAS if place == standing.has else "",
        WALKS if _walks(standing.scores[place]) else "",
    )
    return tuple(word for word in told if word)


def _walks(counted: Score) -> bool:
    return counted.seconds[State.WALKING] > 0.0


def _shared(squad: Squad, place: int) -> Shared:
    drivetrain = squad.drivetrains[place]
    name, gears = clean(drivetrain.name), drivetrain.label
    best = [each for each in squad.standings if each.best == place]
    also = [each for each in squad.standings if each.best != place and each.will_do(place)]
    told = [
        f"{what} for {len(group)}: {names(group, len(group))}."
        for what, group in (("The best", best), ("As good", also))
        if group
    ]
    return Shared(
        letter=letter(place),
        name=name,
        gears="" if gears == name else gears,
        told=tuple(told) or ("The best for no one.",),
    )


def _outliers(squad: Squad) -> tuple[str, ...]:
    if not squad.outliers:
        return (f"No one: {quoted(squad.choice.name)} suits all about equally.",)
    return tuple(
        f"{clean(each.standing.athlete.name)}: {stands_out(squad, each)}."
        for each in squad.outliers
    )


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
            Row(title=clean(each.athlete.name), cells=tuple(cost_cells(each, decimals)))
            for each in squad.standings
        ),
        titled=True,
    )


def _athletes_table(squad: Squad) -> Table:
    return Table(
        caption="The athletes, * where assumed",
        corner="athlete",
        heads=ATHLETE_HEADS,
        rows=tuple(
            Row(title=clean(each.athlete.name), cells=tuple(athlete_cells(each)))
            for each in squad.standings
        ),
        titled=True,
    )
