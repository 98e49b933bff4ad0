"""The sheet that a picture is drawn on: its size, its title, and places on it in inches."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from gearsim.course.course import Course
from gearsim.output.course_words import length_and_gain
from gearsim.output.drawing.letters import families_for, no_word_on_weights
from gearsim.output.drawing.style import (
    BODY_PT,
    DPI,
    FAINT_INK,
    INK,
    PAPER,
    SMALL_PT,
    TITLE_PT,
    fitted,
    legible,
    wrapped,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.backend_bases import RendererBase

WIDTH_IN = 11.0
EDGE_IN = 0.2
FACTS_IN = 2.4
TITLE_IN, LINE_IN = 0.42, 0.155
MOST_LINES = 3
QUICK = 3  # zlib level of a PNG: 6 takes twice as long for a picture no smaller


class Sheet(Figure):
    """A figure that draws the letters that the default font lacks by other fonts of the machine."""

    def draw(self, renderer: RendererBase) -> None:
        """Draw all that is on it."""
        for text in self.findobj(Text):
            text.set_fontfamily(families_for(text.get_text()))
        with no_word_on_weights():
            super().draw(renderer)


def new_sheet(height_in: float) -> Figure:
    """An empty sheet of the one width and a given height."""
    figure = Sheet(figsize=(WIDTH_IN, height_in), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    return figure


def axes_at(
    figure: Figure, *, left_in: float, top_in: float, width_in: float, height_in: float
) -> Axes:
    """Axes at a place on the sheet, measured from its upper left corner."""
    page_in = figure.get_figheight()
    bottom_in = page_in - top_in - height_in
    return figure.add_axes(
        (left_in / WIDTH_IN, bottom_in / page_in, width_in / WIDTH_IN, height_in / page_in)
    )


def lines_of(text: str) -> list[str]:
    """What stands under the title, broken into lines; what does not fit is cut."""
    return wrapped(legible(text), WIDTH_IN - 2 * EDGE_IN, BODY_PT, MOST_LINES)


def head_in(lines: list[str]) -> float:
    """Height that the title and the lines under it take."""
    return TITLE_IN + LINE_IN * len(lines) + 0.15


def write_head(figure: Figure, course: Course, lines: list[str]) -> None:
    """Write the course's name, its length and climb at the right, and the lines under them."""
    page_in = figure.get_figheight()
    top = 1.0 - 0.14 / page_in
    name_in = WIDTH_IN - 2 * EDGE_IN - FACTS_IN
    figure.text(
        EDGE_IN / WIDTH_IN,
        top,
        fitted(legible(course.name), name_in, TITLE_PT, bold=True),
        fontsize=TITLE_PT,
        fontweight="bold",
        color=INK,
        va="top",
        parse_math=False,
    )
    facts = length_and_gain(course)
    figure.text(
        1.0 - EDGE_IN / WIDTH_IN, top, facts, fontsize=TITLE_PT, color=INK, ha="right", va="top"
    )
    for number, line in enumerate(lines):
        write_at(figure, left_in=EDGE_IN, top_in=TITLE_IN + LINE_IN * number, text=line)


def write_at(
    figure: Figure,
    *,
    left_in: float,
    top_in: float,
    text: str,
    bold: bool = False,
    small: bool = False,
) -> None:
    """Write a line at a place on the sheet, measured from its upper left corner."""
    figure.text(
        left_in / WIDTH_IN,
        1.0 - top_in / figure.get_figheight(),
        text,
        fontsize=SMALL_PT if small else BODY_PT,
        fontweight="bold" if bold else "normal",
        color=FAINT_INK if small else INK,
        va="top",
        parse_math=False,
    )


def figure_png(figure: Figure) -> bytes:
    """The picture as PNG, the same bytes for the same figure: no date, no program in it."""
    buffer = io.BytesIO()
    quick = {"compress_level": QUICK}
    figure.savefig(buffer, format="png", metadata={"Software": None}, pil_kwargs=quick)
    return buffer.getvalue()
