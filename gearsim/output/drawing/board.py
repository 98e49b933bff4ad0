"""A board: a shelf for each row, a cell for each column, with bars, numbers and a frame."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gearsim.output.drawing.sheet import EDGE_IN, axes_at
from gearsim.output.drawing.style import BODY_PT, FAINT_INK, INK, MARKS, SHADED_GROUND, SMALL_PT
from gearsim.ride.states import State

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

CELL = 0.88  # width of a cell and of the longest bar, in columns
BAR, LIFT, TOP = 0.18, 0.08, 0.92  # a bar's height, where cells begin and end, in rows
MIDDLE = 0.57  # of the numbers, above the bars
WALKED = MARKS[State.WALKING].colour


def even_groups(count: int, most: int) -> list[range]:
    """So many columns in groups of at most so many, as even as may be."""
    apiece = -(-count // -(-count // most))
    return [range(first, min(first + apiece, count)) for first in range(0, count, apiece)]


def draw_bar(axes: Axes, row: int, column: int, share: float, *, walks: bool) -> None:
    """The bar of a cell, a share of the longest: black for road walked, else pale."""
    from matplotlib.patches import Rectangle

    left, base = column + 0.5 - 0.5 * CELL, -row - 1.0 + LIFT
    colour = WALKED if walks else SHADED_GROUND
    axes.add_patch(Rectangle((left, base), CELL * share, BAR, facecolor=colour, linewidth=0.0))


def draw_frame(axes: Axes, row: int, column: int) -> None:
    """The frame round a cell that is chosen."""
    from matplotlib.patches import Rectangle

    left, base = column + 0.5 - 0.5 * CELL, -row - 1.0 + LIFT
    frame = Rectangle((left, base), CELL, TOP - LIFT, fill=False, edgecolor=INK)
    frame.set_linewidth(1.6)
    axes.add_patch(frame)


def write_on(
    axes: Axes,
    x: float,
    y: float,
    text: str,
    *,
    bold: bool = False,
    small: bool = False,
    faint: bool = False,
    align: str = "left",
    sits: str = "center",
) -> None:
    """Write a text at a place on the board."""
    axes.text(
        x,
        y,
        text,
        fontsize=SMALL_PT if small else BODY_PT,
        fontweight="bold" if bold else "normal",
        color=FAINT_INK if faint else INK,
        ha=align,
        va=sits,
        linespacing=1.0,
        parse_math=False,
    )


def key_at(figure: Figure, top_in: float, bar_in: float, walked_in: float, frame_in: float) -> Axes:
    """The key under a board, in inches, with its pale bar, its black one and its frame."""
    from matplotlib.patches import Rectangle

    key = axes_at(figure, left_in=EDGE_IN, top_in=top_in, width_in=10.0, height_in=0.2)
    key.set_axis_off()
    key.set_xlim(0.0, 10.0)
    key.set_ylim(0.0, 0.2)
    for left_in, colour in ((bar_in, SHADED_GROUND), (walked_in, WALKED)):
        key.add_patch(Rectangle((left_in, 0.06), 0.3, 0.08, facecolor=colour, linewidth=0.0))
    key.add_patch(Rectangle((frame_in, 0.01), 0.3, 0.17, fill=False, edgecolor=INK, linewidth=1.6))
    return key
