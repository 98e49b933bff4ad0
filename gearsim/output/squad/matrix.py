"""Athletes against drivetrains as page data: with words for a few, in one line each for many."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gearsim.output.squad.cells import cost_cells
from gearsim.output.squad.offers import own_best
from gearsim.output.squad.words import MOST_LETTERS
from gearsim.output.words import at_least_shown, clean, letter, minute_decimals, shorten
from gearsim.ride.score import Score
from gearsim.ride.states import State
from gearsim.studies.squad.squad import Squad
from gearsim.studies.squad.standing import Standing

MOST_COLUMNS = 7  # of a matrix, so that its numbers can be read on a printed page
BEST, AS_GOOD, HAS, WALKS, CLOSED = "best", "as good", "has", "walks", "does not fit"

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
    """An athlete, or all together, and a cell for each drivetrain of the matrix.

    On a board there follow what the gears cost that the athlete has, and `more` to say.
    """

    title: str
    cells: tuple[Cell, ...]
    costs: tuple[str, ...] = ()
    more: str = ""


@dataclass(frozen=True, kw_only=True)
class Matrix:
    """Athletes against some of the drivetrains: `heads` are letters and names.

    `costs` are the heads of what follows on a board.
    """

    caption: str
    heads: tuple[tuple[str, str], ...]
    rows: tuple[MatrixRow, ...]
    together: MatrixRow
    costs: tuple[str, ...] = ()


def matrices_of(squad: Squad) -> tuple[Matrix, ...]:
    """The matrix, in several of about the same width where there are many drivetrains."""
    count = len(squad.drivetrains)
    apiece = -(-count // -(-count // MOST_COLUMNS))
    firsts = range(0, count, apiece)
    return tuple(_matrix(squad, range(n, min(n + apiece, count)), len(firsts)) for n in firsts)


def board_of(squad: Squad) -> Matrix:
    """One line an athlete: the drivetrains, or the few of many, and what the athlete has."""
    columns = shown_places(squad)
    largest = _largest(squad)
    longest_s = max(score.finish_s for each in squad.standings for score in each.scores)
    decimals = minute_decimals(longest_s)
    some = "" if len(columns) == len(squad.drivetrains) else "the few drivetrains and "
    return Matrix(
        caption=f"Mismatch of each athlete with {some or 'each drivetrain and '}what they have",
        heads=tuple((letter(n), _short(squad.drivetrains[n].name)) for n in columns),
        rows=tuple(
            MatrixRow(
                title=_short(each.athlete.name),
                cells=_cells(each, columns, largest),
                costs=tuple(cost_cells(squad, each, decimals)),
                more=own_best(squad, each),
            )
            for each in squad.standings
        ),
        together=_together(squad, columns, largest),
        costs=COST_HEADS,
    )


def shown_places(squad: Squad) -> tuple[int, ...]:
    """What one line has room for: all drivetrains, or of many the choice for all and the few."""
    every = range(len(squad.drivetrains))
    if len(every) <= MOST_COLUMNS:
        return tuple(every)
    return tuple(sorted({0, *squad.few}))[:MOST_COLUMNS]


def _matrix(squad: Squad, columns: Sequence[int], of: int) -> Matrix:
    largest = _largest(squad)
    part = f", {letter(columns[0])} to {letter(columns[-1])}" if of > 1 else ""
    return Matrix(
        caption=f"Mismatch of each athlete with each drivetrain{part}",
        heads=tuple((letter(n), _short(squad.drivetrains[n].name)) for n in columns),
        rows=tuple(
            MatrixRow(title=_short(each.athlete.name), cells=_cells(each, columns, largest))
            for each in squad.standings
        ),
        together=_together(squad, columns, largest),
    )


def _together(squad: Squad, columns: Sequence[int], largest: float) -> MatrixRow:
    cells = tuple(_cell(squad.together[n], largest) for n in columns)
    return MatrixRow(title="all together", cells=cells)


def _largest(squad: Squad) -> float:
    return max(score.mismatch for each in squad.standings for score in each.scores) or 1.0


def _short(name: str) -> str:
    return shorten(clean(name), MOST_LETTERS)


def _cells(standing: Standing, columns: Sequence[int], largest: float) -> tuple[Cell, ...]:
    return tuple(_cell(standing.scores[n].mismatch, largest, _flags(standing, n)) for n in columns)


def _cell(mismatch: float, largest: float, flags: tuple[str, ...] = ()) -> Cell:
    shown = at_least_shown(mismatch, 1)
    return Cell(mismatch=shown, percent=100.0 * (mismatch / largest), flags=flags)


def _flags(standing: Standing, place: int) -> tuple[str, ...]:
    suits = BEST if place == standing.best else AS_GOOD if standing.will_do(place) else ""
    told = (
        suits,
        HAS if place == standing.has else "",
        WALKS if _walks(standing.scores[place]) else "",
        CLOSED if place in standing.closed else "",
    )
    return tuple(word for word in told if word)


def _walks(counted: Score) -> bool:
    return counted.seconds[State.WALKING] > 0.0
