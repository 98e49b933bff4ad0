"""The names beside lanes: rank, name, and what stands under it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from gearsim.output.drawing.sheet import EDGE_IN
from gearsim.output.drawing.style import (
    BODY_PT,
    FAINT_INK,
    INK,
    RULE,
    SMALL_PT,
    fitted,
    legible,
    wrapped,
)
from gearsim.output.fit.words import DOES_NOT_FIT

if TYPE_CHECKING:
    from matplotlib.axes import Axes

NAMES_IN, NAME_LEFT_IN = 2.2, 0.27
NAME_IN, NAME_LINES = NAMES_IN - EDGE_IN - NAME_LEFT_IN - 0.1, 2
LINE_PT, POINTS_PER_IN = 10.5, 72.0


@dataclass(frozen=True, kw_only=True)
class LaneName:
    """What is ridden in a lane: its name, its gears, and whether it fits."""

    name: str
    gears: str
    fits: bool


def write_lane_names(axes: Axes, lanes: Sequence[LaneName], lane_in: float) -> None:
    """Rank and name, gears, and whether it does not fit; at most as many lines as a lane holds."""
    axes.set_axis_off()
    axes.set_xlim(0.0, NAMES_IN - EDGE_IN)
    axes.set_ylim(-len(lanes) + 0.5, 0.5)
    rule_rows(axes, len(lanes), 0.0, NAMES_IN - EDGE_IN)
    most_lines = int(lane_in * POINTS_PER_IN / LINE_PT)
    for number, lane in enumerate(lanes):
        axes.text(0.0, -number, str(number + 1), fontsize=12, color=INK, va="center")
        name, gears = legible(lane.name), legible(lane.gears)
        under = [gears] if gears != name else []
        under += [] if lane.fits else [DOES_NOT_FIT]
        name_lines = min(NAME_LINES, most_lines - len(under))
        written = wrapped(name, NAME_IN, BODY_PT, name_lines, bold=True)
        lines = [(line, True) for line in written] + [(line, False) for line in under]
        for place, (line, bold) in enumerate(lines):
            up_pt = LINE_PT * (0.5 * len(lines) - 0.5 - place)
            write_name_line(axes, (NAME_LEFT_IN, -number), line, up_pt, bold=bold)


def rule_rows(axes: Axes, rows: int, left: float, right: float) -> None:
    """Draw the rules above, between and below rows one high, the first centred on 0."""
    axes.hlines(0.5 - np.arange(rows + 1), left, right, color=RULE, linewidth=0.5, clip_on=False)


def write_name_line(
    axes: Axes,
    at: tuple[float, float],
    text: str,
    up_pt: float,
    *,
    bold: bool,
    width_in: float = NAME_IN,
) -> None:
    """Write a line of what stands beside a lane: bold and in ink, or small and faint."""
    size_pt = BODY_PT if bold else SMALL_PT
    axes.annotate(
        fitted(text, width_in, size_pt, bold=bold),
        at,
        xytext=(0.0, up_pt),
        textcoords="offset points",
        fontsize=size_pt,
        fontweight="bold" if bold else "normal",
        color=INK if bold else FAINT_INK,
        va="center",
        annotation_clip=False,
        parse_math=False,
    )
