"""The picture of a squad: a shelf for each athlete, and on it a bar for each drivetrain."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from gearsim.output.drawing.board import (
    CELL,
    MIDDLE,
    TOP,
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
    INK,
    PAPER,
    RULE,
    SMALL_PT,
    fitted,
    legible,
    wrapped,
)
from gearsim.output.ridden_by import day
from gearsim.output.squad.verdict import squad_verdict
from gearsim.output.squad.words import break_even_shown
from gearsim.output.words import about, at_least_shown
from gearsim.ride.states import State
from gearsim.studies.squad.squad import Squad
from gearsim.studies.squad.standing import Standing

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

NAMES_IN, NOTES_IN, HEADS_IN, KEY_IN = 2.0, 2.1, 0.48, 0.62
ROW_IN = (0.2, 0.4)
ROWS_IN = 6.0
MOST_ROWS = 200  # a picture has only so many dots
MOST_COLUMNS = 14  # side by side, so that numbers do not touch
ROOMY_COLUMNS = 8  # up to so many, numbers are of the usual size
HEAD_LINES = 3
GAP_IN = 0.25
BAR_KEY = "the longer, the more mismatch"
WALK_KEY = "walks somewhere"
BEST_KEY = "the athlete's best"
HAS_KEY = "what the athlete has"
BOLD_KEY = "the choice for all does not suit"
OF_THE_FEW_KEY, FAR_KEY = "best of the few", "not served, or far behind"


@dataclass(frozen=True, kw_only=True)
class _Board:
    """One matrix on the sheet: which drivetrains, and the mismatch that fills a cell."""

    squad: Squad
    rows: tuple[Standing, ...]
    columns: range
    longest: float


def squad_figure(squad: Squad) -> Figure:
    """A row for each athlete, those with one best together, and a bar for each drivetrain.

    The longer a bar, the more mismatch, which is printed over it; a black one means walking.  A
    frame is round the athlete's best, and a corner is black in what they have.  At the right stand
    what the gears that they have cost, and the power they hold and need.
    """
    lines = lines_of(squad_verdict(squad))
    boards = _boards(squad)
    row_in = min(max(ROWS_IN / (len(boards[0].rows) + 1), ROW_IN[0]), ROW_IN[1])
    height_in = row_in * (len(boards[0].rows) + 1.3)
    top_in = head_in(lines)
    foot_in = top_in + len(boards) * (HEADS_IN + height_in + GAP_IN)
    figure = new_sheet(foot_in + KEY_IN)
    write_head(figure, squad.course, lines)
    for number, board in enumerate(boards):
        board_in = top_in + number * (HEADS_IN + height_in + GAP_IN)
        _draw_board(figure, board, board_in, row_in)
    _draw_key(figure, squad, foot_in)
    return figure


def _boards(squad: Squad) -> list[_Board]:
    rows = sorted(squad.standings, key=lambda each: (each.best, each.scores[0].mismatch))
    longest = max(score.mismatch for each in rows for score in each.scores)
    return [
        _Board(
            squad=squad,
            rows=tuple(rows[:MOST_ROWS]),
            columns=columns,
            longest=longest or 1.0,
        )
        for columns in even_groups(len(squad.drivetrains), MOST_COLUMNS)
    ]


def _draw_board(figure: Figure, board: _Board, top_in: float, row_in: float) -> None:
    """Axes in columns and rows: row r stands on y = -r - 1, column c is centred on c + 0.5."""
    wide_in = WIDTH_IN - NAMES_IN - NOTES_IN - EDGE_IN
    columns, rows = len(board.columns), len(board.rows)
    heads = HEADS_IN / row_in
    axes = axes_at(
        figure,
        left_in=NAMES_IN,
        top_in=top_in,
        width_in=wide_in,
        height_in=HEADS_IN + row_in * (rows + 1.3),
    )
    axes.set_axis_off()
    axes.set_xlim(0.0, columns)
    axes.set_ylim(-rows - 1.3, heads)
    per_in = columns / wide_in
    for row, standing in enumerate(board.rows):
        _draw_row(axes, board, row, standing)
        _write_row(axes, board, row, standing, per_in)
    _rule_groups(axes, board, per_in)
    _write_together(axes, board, per_in)
    _write_heads(axes, board, per_in)


def _draw_row(axes: Axes, board: _Board, row: int, standing: Standing) -> None:
    from matplotlib.patches import Polygon

    top = -row - 1.0 + TOP
    for column, place in enumerate(board.columns):
        score = standing.scores[place]
        right = column + 0.5 + 0.5 * CELL
        walks = score.seconds[State.WALKING] > 0.0
        draw_bar(axes, row, column, score.mismatch / board.longest, walks=walks)
        if place == standing.best:
            draw_frame(axes, row, column)
        if place == standing.has:
            corner = [(right, top), (right - 0.12 * CELL, top), (right, top - 0.36)]
            axes.add_patch(Polygon(corner, facecolor=INK, linewidth=0.0))
        write_on(
            axes,
            column + 0.5,
            -row - 1.0 + MIDDLE,
            _shown(standing, place),
            bold=place == standing.best,
            small=len(board.columns) > ROOMY_COLUMNS,
            align="center",
        )


def _shown(standing: Standing, place: int) -> str:
    """The mismatch, in parentheses where the drivetrain is not for the athlete."""
    shown = at_least_shown(standing.scores[place].mismatch, 1)
    return f"({shown})" if place in standing.closed else shown


def _write_row(axes: Axes, board: _Board, row: int, standing: Standing, per_in: float) -> None:
    middle = -row - 0.5
    out = {outlier.standing.athlete.name for outlier in board.squad.outliers}
    bold = standing.athlete.name in out
    write_on(
        axes,
        -(NAMES_IN - EDGE_IN) * per_in,
        middle,
        fitted(legible(standing.athlete.name), NAMES_IN - EDGE_IN - 0.15, BODY_PT, bold=bold),
        bold=bold,
    )
    cost = standing.cost
    told = "-" if cost is None else at_least_shown(max(cost.mismatch, 0.0), 1)
    texts = (
        told,
        f"{standing.athlete.rider.power_w:.0f}",
        break_even_shown(standing.break_even),
    )
    for number, text in enumerate(texts):
        write_on(axes, _note_at(board, number, per_in), middle, text, align="right")


def _note_at(board: _Board, number: int, per_in: float) -> float:
    return len(board.columns) + (0.62 + 0.66 * number) * per_in


def _rule_groups(axes: Axes, board: _Board, per_in: float) -> None:
    """Shelves under the rows, heavier where another drivetrain becomes the best."""
    left = -(NAMES_IN - EDGE_IN) * per_in
    right = len(board.columns) + (NOTES_IN - 0.1) * per_in
    for row, standing in enumerate(board.rows):
        last = row + 1 == len(board.rows) or board.rows[row + 1].best != standing.best
        axes.hlines(
            -row - 1.0,
            left,
            right,
            color=INK if last else RULE,
            linewidth=1.0 if last else 0.5,
            clip_on=False,
        )


def _write_together(axes: Axes, board: _Board, per_in: float) -> None:
    y = -len(board.rows) - 0.65
    write_on(axes, -(NAMES_IN - EDGE_IN) * per_in, y, "all together")
    for column, place in enumerate(board.columns):
        shown = at_least_shown(board.squad.together[place], 1)
        write_on(
            axes,
            column + 0.5,
            y,
            shown,
            bold=place == 0,
            small=len(board.columns) > ROOMY_COLUMNS,
            align="center",
        )


def _write_heads(axes: Axes, board: _Board, per_in: float) -> None:
    room_in = 0.94 / per_in
    for column, place in enumerate(board.columns):
        name = legible(board.squad.drivetrains[place].name)
        lines = wrapped(name, room_in, SMALL_PT, HEAD_LINES)
        write_on(
            axes,
            column + 0.5,
            0.12,
            "\n".join(lines),
            small=True,
            align="center",
            sits="bottom",
        )
    for number, head in enumerate(("gears\ncost", "power\nW", "needs\nW")):
        x = _note_at(board, number, per_in)
        write_on(axes, x, 0.12, head, small=True, align="right", sits="bottom")


def _draw_key(figure: Figure, squad: Squad, top_in: float) -> None:
    from matplotlib.patches import Polygon, Rectangle

    key = key_at(figure, top_in, 0.0, 2.3, 3.9)
    key.add_patch(Rectangle((5.5, 0.01), 0.3, 0.17, facecolor=PAPER, edgecolor=RULE))
    key.add_patch(Polygon([(5.8, 0.18), (5.7, 0.18), (5.8, 0.06)], facecolor=INK, linewidth=0.0))
    sought = squad.sought is not None
    best, bold = (OF_THE_FEW_KEY, FAR_KEY) if sought else (BEST_KEY, BOLD_KEY)
    for x, text in ((0.38, BAR_KEY), (2.68, WALK_KEY), (4.28, best), (5.88, HAS_KEY)):
        write_on(key, x, 0.1, text, small=True)
    write_on(key, 7.4, 0.1, bold, small=True, bold=True)
    more = len(squad.standings) - MOST_ROWS
    cut = f" The first {MOST_ROWS} are drawn; squad-matrix.csv has all." if more > 0 else ""
    below = about(squad.most_below_s)
    foot = (
        f"gears cost: mismatch of what the athlete has less that of the best; needs W: on those "
        f"gears, to walk nowhere and be at most {below} below the lowest. "
        f"{day(squad.conditions)}{cut}"
    )
    write_at(figure, left_in=EDGE_IN, top_in=top_in + 0.3, text=foot, small=True)
