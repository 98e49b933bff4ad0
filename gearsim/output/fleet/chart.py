"""The picture of a fleet: a shelf for each guest, and on it every bike, the one given framed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from gearsim.output.drawing.board import (
    MIDDLE,
    draw_bar,
    draw_frame,
    even_groups,
    key_at,
    write_on,
)
from gearsim.output.drawing.sheet import (
    EDGE_IN,
    WIDTH_IN,
    axes_at,
    head_in,
    lines_of,
    new_sheet,
    write_at,
    write_head,
)
from gearsim.output.drawing.style import (
    BODY_PT,
    RULE,
    SMALL_PT,
    fitted,
    legible,
    wrapped,
)
from gearsim.output.fleet.reading import FleetReading
from gearsim.output.fleet.words import SHORT_AGAINST, fleet_verdict, rows_left_out
from gearsim.output.places.words import length
from gearsim.output.ridden_by import day
from gearsim.output.words import at_least_shown, clock
from gearsim.studies.fleet.fleet import Fleet
from gearsim.studies.fleet.outing import Outing, Suits

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

NAMES_IN, NOTES_IN, HEADS_IN, KEY_IN, GAP_IN = 2.0, 1.5, 0.62, 0.62, 0.25
ROW_IN = (0.24, 0.4)
ROWS_IN = 6.0
MOST_ROWS, MOST_COLUMNS = 150, 10  # a picture has only so many dots
HEAD_LINES = 3
WHICH_ROWS = "fleet-sheet.html says which"


@dataclass(frozen=True, kw_only=True)
class _Board:
    """One matrix on the sheet: which bikes, and what fills a cell."""

    fleet: Fleet
    columns: range
    longest: float
    farthest_m: float

    @property
    def rows(self) -> int:
        return min(len(self.fleet.guests), MOST_ROWS)


def fleet_figure(fleet: Fleet, read: FleetReading) -> Figure:
    """A row for each guest and a column for each kind of bike; a frame is round the one given.

    The longer a pale bar, the more mismatch; a black one is road walked, and its metres are
    printed.  Where a bike is not suitable, one word says why.  At the right stand what the guest
    walks on the bike given, and the time.  Above it all it is told where rows of the lists that
    were `read` are left out.
    """
    left_out = rows_left_out(fleet, read, WHICH_ROWS)  # never cut with a long verdict
    lines = [*lines_of(fleet_verdict(fleet)), *lines_of(left_out)]
    boards = _boards(fleet)
    row_in = min(max(ROWS_IN / boards[0].rows, ROW_IN[0]), ROW_IN[1])
    height_in = row_in * (boards[0].rows + 0.3)
    top_in = head_in(lines)
    foot_in = top_in + len(boards) * (HEADS_IN + height_in + GAP_IN)
    figure = new_sheet(foot_in + KEY_IN)
    write_head(figure, fleet.course, lines)
    for number, board in enumerate(boards):
        _draw_board(figure, board, top_in + number * (HEADS_IN + height_in + GAP_IN), row_in)
    _draw_key(figure, fleet, foot_in)
    return figure


def _boards(fleet: Fleet) -> list[_Board]:
    able = [e for row in fleet.outings for e in row if e.suits is not Suits.NOT_SUITABLE]
    longest = max((each.score.mismatch for each in able), default=0.0) or 1.0
    farthest_m = max((each.walked_m for each in able), default=0.0) or 1.0
    return [
        _Board(
            fleet=fleet,
            columns=columns,
            longest=longest,
            farthest_m=farthest_m,
        )
        for columns in even_groups(len(fleet.bikes), MOST_COLUMNS)
    ]


def _draw_board(figure: Figure, board: _Board, top_in: float, row_in: float) -> None:
    """Axes in columns and rows: row r stands on y = -r - 1, column c is centred on c + 0.5."""
    wide_in = WIDTH_IN - NAMES_IN - NOTES_IN - EDGE_IN
    axes = axes_at(
        figure,
        left_in=NAMES_IN,
        top_in=top_in,
        width_in=wide_in,
        height_in=HEADS_IN + row_in * (board.rows + 0.3),
    )
    axes.set_axis_off()
    axes.set_xlim(0.0, len(board.columns))
    axes.set_ylim(-board.rows - 0.3, HEADS_IN / row_in)
    per_in = len(board.columns) / wide_in
    for row in range(board.rows):
        for column, bike in enumerate(board.columns):
            _draw_cell(axes, board, row, column, bike)
        _write_row(axes, board, row, per_in)
    _write_heads(axes, board, per_in)


def _draw_cell(axes: Axes, board: _Board, row: int, column: int, bike: int) -> None:
    each = board.fleet.outings[row][bike]
    if each.suits is Suits.NOT_SUITABLE:
        why = SHORT_AGAINST[each.against[0]]
        write_on(axes, column + 0.5, -row - 0.5, why, faint=True, align="center")
        return
    walks = each.walked_m > 0.0
    share = each.walked_m / board.farthest_m if walks else each.score.mismatch / board.longest
    draw_bar(axes, row, column, share, walks=walks)
    given = board.fleet.given[row] == bike
    if given:
        draw_frame(axes, row, column)
    write_on(axes, column + 0.5, -row - 1.0 + MIDDLE, _number(each), bold=given, align="center")


def _number(each: Outing) -> str:
    if each.walked_m > 0.0:
        return length(each.walked_m)
    return at_least_shown(each.score.mismatch, 1)


def _write_row(axes: Axes, board: _Board, row: int, per_in: float) -> None:
    fleet = board.fleet
    each = fleet.given_outing(row)
    left = -(NAMES_IN - EDGE_IN) * per_in
    width_in = NAMES_IN - EDGE_IN - 0.15
    name = fitted(legible(fleet.guests[row].name), width_in, BODY_PT, bold=each is None)
    write_on(axes, left, -row - 0.5, name, bold=each is None)
    told = ("none", "-") if each is None else (_walked(each), clock(each.score.finish_s))
    for number, text in enumerate(told):
        x = _note_at(board, number, per_in)
        write_on(axes, x, -row - 0.5, text, bold=each is None, align="right")
    right = len(board.columns) + (NOTES_IN - 0.1) * per_in
    axes.hlines(-row - 1.0, left, right, color=RULE, linewidth=0.5, clip_on=False)


def _walked(each: Outing) -> str:
    return length(each.walked_m) if each.walked_m > 0.0 else "-"


def _note_at(board: _Board, number: int, per_in: float) -> float:
    return len(board.columns) + (0.68 + 0.6 * number) * per_in


def _write_heads(axes: Axes, board: _Board, per_in: float) -> None:
    for column, bike in enumerate(board.columns):
        kind = board.fleet.bikes[bike]
        lines = wrapped(legible(kind.name), 0.94 / per_in, SMALL_PT, HEAD_LINES - 1)
        text = "\n".join([*lines, f"× {kind.count}"])
        write_on(axes, column + 0.5, 0.12, text, small=True, align="center", sits="bottom")
    for number, head in enumerate(("walks", "h:mm")):
        x = _note_at(board, number, per_in)
        write_on(axes, x, 0.12, head, small=True, align="right", sits="bottom")


def _draw_key(figure: Figure, fleet: Fleet, top_in: float) -> None:
    key = key_at(figure, top_in, 0.0, 2.5, 4.0)
    for x, text in (
        (0.38, "rides it all; longer: more mismatch"),
        (2.88, "walks so far"),
        (4.38, "the bike given"),
        (5.7, "a word: not suitable (size; walk, below the lowest gear, time: too much)"),
    ):
        write_on(key, x, 0.1, text, small=True)
    more = len(fleet.guests) - MOST_ROWS
    cut = f" The first {MOST_ROWS} are drawn; fleet.csv has all." if more > 0 else ""
    foot = f"An estimate; a qualified mechanic checks the bikes. {day(fleet.day.conditions)}{cut}"
    write_at(figure, left_in=EDGE_IN, top_in=top_in + 0.3, text=foot, small=True)
