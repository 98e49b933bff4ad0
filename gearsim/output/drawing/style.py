"""How states look in pictures, and the pens, sizes and letters that all pictures share.

A state is told by direction, height and filling first, by colour last: up from the rail the legs
turn too fast, down they turn too slowly or not at all; the mild states are short and pale, the hard
ones tall and dark.  So a picture reads the same in grey and to the colour-blind.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cache

from gearsim.output.drawing.letters import drawable, font_for
from gearsim.output.words import clean
from gearsim.ride.states import State

INK = "#1a1a1a"
FAINT_INK = "#5f5f5f"
RULE = "#b9b9b9"
GROUND = "#e9e6df"
PAPER = "#ffffff"
SHADE = "#e9e7e1"
SHADED_GROUND = "#d3cec1"

DPI = 130
TITLE_PT, BODY_PT, SMALL_PT = 13.0, 9.0, 7.5

UNKNOWN_LETTER = "□"


@dataclass(frozen=True, kw_only=True)
class Mark:
    """How a state is drawn on a lane whose rail is at 0 and whose edges are at ±1.

    `reach` is where the tallest bar ends: above the rail when positive.  A `mild` state may make
    bars too short to catch the eye, the others may not.
    """

    head: str
    reach: float
    colour: str
    mild: bool = False
    hatch: str | None = None
    hatch_colour: str = PAPER


MARKS: dict[State, Mark] = {
    State.SPUN_OUT: Mark(head="spun\nout", reach=0.92, colour="#b8480a"),
    State.OVER_BAND: Mark(head="over\nband", reach=0.5, colour="#f0bd79", mild=True),
    State.UNDER_BAND: Mark(head="under\nband", reach=-0.5, colour="#a5c3de", mild=True),
    State.BELOW_LOWEST_GEAR: Mark(
        head="below\nlowest", reach=-0.75, colour="#1f5f99", hatch="/////"
    ),
    State.WALKING: Mark(head="walk-\ning", reach=-0.95, colour="#0b0f14"),
}
"""The states that a lane shows, from the top of the lane to its bottom."""


def legible(text: str) -> str:
    """A name on one line, with an empty box for each letter that no font on this machine has."""
    return "".join(
        letter if drawable(letter) else UNKNOWN_LETTER
        for letter in unicodedata.normalize("NFC", clean(text))
    )


def fitted(text: str, width_in: float, size_pt: float, *, bold: bool = False) -> str:
    """A line of text, shortened with an ellipsis until it is no wider than `width_in`."""
    if width_of_in(text, size_pt, bold=bold) <= width_in:
        return text
    most = len(text)
    while most > 1 and width_of_in(f"{text[:most]}…", size_pt, bold=bold) > width_in:
        ratio = width_in / width_of_in(f"{text[:most]}…", size_pt, bold=bold)
        most = min(most - 1, int(most * ratio))
    return f"{text[:most].rstrip()}…"


def wrapped(
    text: str, width_in: float, size_pt: float, most_lines: int, *, bold: bool = False
) -> list[str]:
    """A paragraph in lines no wider than `width_in`; the last one is cut where it is too long."""
    blank_in = width_of_in("n n", size_pt, bold=bold) - width_of_in("nn", size_pt, bold=bold)
    lines: list[str] = []
    used_in = 0.0
    for word in text.split():
        word_in = width_of_in(word, size_pt, bold=bold)
        full = used_in + blank_in + word_in > width_in
        if not lines or (full and len(lines) < most_lines):
            lines.append(word)
            used_in = word_in
        else:
            lines[-1] += f" {word}"
            used_in += blank_in + word_in
    return [fitted(line, width_in, size_pt, bold=bold) for line in lines]


@cache
def width_of_in(text: str, size_pt: float, *, bold: bool = False) -> float:
    """Width of a line of text on the sheet, inches."""
    font = font_for(text, bold=bold)
    font.set_size(size_pt, 72.0)
    font.set_text(text, 0.0)
    width, _ = font.get_width_height()  # in 64ths of a point
    return width / 64.0 / 72.0
