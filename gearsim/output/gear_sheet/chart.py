"""The picture of gears: a lane for each drivetrain, with steps, overlap and range side by side."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from gearsim.output.drawing.gear_lanes import Ruler, draw_gear_lanes, lane_in, ruler_of
from gearsim.output.drawing.sheet import (
    EDGE_IN,
    WIDTH_IN,
    axes_at,
    head_in,
    lines_of,
    new_sheet,
    write_at,
)
from gearsim.output.drawing.style import (
    BODY_PT,
    FAINT_INK,
    INK,
    RULE,
    SMALL_PT,
    TITLE_PT,
    fitted,
    legible,
    wrapped,
)
from gearsim.output.gear_sheet.words import at_a_glance, in_short
from gearsim.output.words import at_least_shown
from gearsim.setup.gear_sheet import GearSheet
from gearsim.units import KMH_PER_MPS, SECONDS_PER_MINUTE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

NAMES_IN, NAME_LEFT_IN, TABLE_IN = 2.0, 0.27, 2.9
NAME_IN, NAME_LINES, LINE_IN = NAMES_IN - EDGE_IN - NAME_LEFT_IN - 0.1, 2, 0.15
ALONG_IN = WIDTH_IN - NAMES_IN - TABLE_IN - EDGE_IN
HEADS_IN, FOOT_IN, READING_LINES = 0.5, 0.62, 4

SPEEDS_KMH = (10, 20, 50, 100, 5, 30, 40, 2, 200, 15, 60, 80, 8, 25, 12, 6, 3, 150, 4, 120)
RATIOS = (1, 2, 4, 0.5, 8, 3, 1.5, 0.7, 5, 6, 0.3, 12, 2.5, 1.2, 0.2, 0.4, 0.6, 0.8, 10, 15)
"""What the drawing is ruled at where there is room, those that are looked for first in front."""

SPEED_ROOM_IN, RATIO_ROOM_IN = 0.28, 0.42

COLUMNS = (
    "range\n%",
    "distinct\nof gears",
    "largest\nstep %",
    "median\nstep %",
    "slowest\nkm/h",
    "gears\nrun out\nkm/h",
)

TO_READ = (
    "An upright line is a gear, its sprocket's teeth (or its ratio) above it. The field between "
    "two gears is the step in %: the wider and darker, the wider the step. Hatched: both "
    "chainrings reach there; a tie joins two gears that are as good as one. At the foot of a lane, "
    "the speeds that its gears reach: the bar inside the band, the line out to the limits."
)


def gears_figure(sheets: Sequence[GearSheet]) -> Figure:
    """A lane for each drivetrain in the order given, all over one logarithmic ruler of ratios.

    Above stand the speeds at the target cadence, below the ratios and the metres a turn; at the
    right what each drivetrain comes to.  The sheets are of one bike and one rider.
    """
    lines = lines_of(in_short(sheets)) if len(sheets) > 1 else []
    top_in = head_in(lines) + HEADS_IN
    lanes_in = sum(lane_in(sheet) for sheet in sheets)
    foot_in = top_in + lanes_in + FOOT_IN
    reading = wrapped(
        f"{at_a_glance(sheets[0])} {TO_READ}", WIDTH_IN - 2 * EDGE_IN, SMALL_PT, READING_LINES
    )
    figure = new_sheet(foot_in + LINE_IN * len(reading) + 0.1)
    _write_title(figure, sheets, lines)
    rows = {"top_in": top_in, "height_in": lanes_in}
    _write_names(axes_at(figure, left_in=EDGE_IN, width_in=NAMES_IN - EDGE_IN, **rows), sheets)
    ruler = ruler_of(sheets, ALONG_IN)
    lanes = axes_at(figure, left_in=NAMES_IN, width_in=ALONG_IN, **rows)
    draw_gear_lanes(lanes, sheets, ruler)
    _rule_speeds(lanes, sheets[0], ruler)
    _rule_ratios(lanes, sheets[0], ruler)
    table = axes_at(figure, left_in=NAMES_IN + ALONG_IN, width_in=TABLE_IN, **rows)
    _write_table(table, sheets)
    for number, line in enumerate(reading):
        at_in = foot_in + LINE_IN * number
        write_at(figure, left_in=EDGE_IN, top_in=at_in, text=line, small=True)
    return figure


def _write_title(figure: Figure, sheets: Sequence[GearSheet], lines: Sequence[str]) -> None:
    page_in = figure.get_figheight()
    title = legible(sheets[0].name) if len(sheets) == 1 else f"{len(sheets)} drivetrains"
    figure.text(
        EDGE_IN / WIDTH_IN,
        1.0 - 0.14 / page_in,
        fitted(f"Gears: {title}", WIDTH_IN - 2 * EDGE_IN, TITLE_PT, bold=True),
        fontsize=TITLE_PT,
        fontweight="bold",
        color=INK,
        va="top",
        parse_math=False,
    )
    for number, line in enumerate(lines):
        write_at(figure, left_in=EDGE_IN, top_in=head_in(list(lines[:number])) - 0.15, text=line)


def _tops(sheets: Sequence[GearSheet]) -> list[float]:
    """Where the lanes begin, and the last one ends, in inches, downwards negative."""
    return [0.0, *(-np.cumsum([lane_in(sheet) for sheet in sheets])).tolist()]


def _in_rows(axes: Axes, sheets: Sequence[GearSheet], width: float) -> None:
    """Ready for writing beside the lanes: heights in inches as there, a rule between rows."""
    axes.set_axis_off()
    axes.set_xlim(0.0, width)
    tops = _tops(sheets)
    axes.set_ylim(tops[-1], 0.0)
    axes.hlines(tops, 0.0, width, color=RULE, linewidth=0.5, clip_on=False)


def _write_names(axes: Axes, sheets: Sequence[GearSheet]) -> None:
    _in_rows(axes, sheets, NAMES_IN - EDGE_IN)
    for number, (sheet, top) in enumerate(zip(sheets, _tops(sheets), strict=False), start=1):
        middle = top - 0.5 * lane_in(sheet)
        axes.text(0.0, middle, str(number), fontsize=12, color=INK, va="center")
        name, label = legible(sheet.name), legible(sheet.drivetrain.label)
        lines = [(line, True) for line in wrapped(name, NAME_IN, BODY_PT, NAME_LINES, bold=True)]
        lines += [(label, False)] if label != name else []
        for row, (line, bold) in enumerate(lines):
            axes.text(
                NAME_LEFT_IN,
                middle + LINE_IN * (0.5 * len(lines) - 0.5 - row),
                line if bold else fitted(line, NAME_IN, SMALL_PT),
                fontsize=BODY_PT if bold else SMALL_PT,
                fontweight="bold" if bold else "normal",
                color=INK if bold else FAINT_INK,
                va="center",
                parse_math=False,
            )


def _rule_speeds(axes: Axes, sheet: GearSheet, ruler: Ruler) -> None:
    """Dotted lines at round speeds at the target cadence, told above the lanes."""
    target_rpm = sheet.rider.target_cadence_rpm
    kmh = target_rpm / SECONDS_PER_MINUTE * sheet.bike.circumference_m * KMH_PER_MPS  # at ratio 1
    bottom, top = axes.get_ylim()
    for speed in spaced([speed / kmh for speed in SPEEDS_KMH], ruler, SPEED_ROOM_IN):
        axes.vlines(speed, bottom, top, color=RULE, linewidth=0.6, linestyle=(0, (1, 3)), zorder=1)
        axes.text(
            speed, 0.06, f"{speed * kmh:.0f}", fontsize=SMALL_PT, color=FAINT_INK, ha="center"
        )
    middle = float(np.sqrt(ruler.lowest * ruler.highest))
    axes.text(
        middle, 0.25, f"km/h at {target_rpm:g} rpm", fontsize=SMALL_PT, color=FAINT_INK, ha="center"
    )


def _rule_ratios(axes: Axes, sheet: GearSheet, ruler: Ruler) -> None:
    """Round ratios under the lanes, each with its metres a turn."""
    ticks = spaced(RATIOS, ruler, RATIO_ROOM_IN)
    turn_m = sheet.bike.circumference_m
    axes.minorticks_off()
    axes.set_xticks(ticks, [f"{tick:g}\n{tick * turn_m:.1f} m" for tick in ticks])
    axes.tick_params(labelsize=SMALL_PT, labelcolor=FAINT_INK, color=RULE, length=3.0)
    axes.set_xlabel("ratio, metres a turn", fontsize=SMALL_PT, color=FAINT_INK, labelpad=2)


def spaced(values: Sequence[float], ruler: Ruler, room_in: float) -> list[float]:
    """Those of the values that lie on the ruler and have room beside those before them, rising."""
    kept: list[float] = []
    for value in values:
        on_ruler = ruler.lowest <= value <= ruler.highest
        if on_ruler and all(abs(ruler.inches(other, value)) >= room_in for other in kept):
            kept.append(value)
    return sorted(kept)


def _write_table(axes: Axes, sheets: Sequence[GearSheet]) -> None:
    width = float(len(COLUMNS))
    _in_rows(axes, sheets, width)
    for column, head in enumerate(COLUMNS):
        axes.text(
            column + 0.5,
            0.08,
            head,
            fontsize=SMALL_PT,
            color=INK,
            ha="center",
            va="baseline",
            linespacing=1.0,
        )
    for sheet, top in zip(sheets, _tops(sheets), strict=False):
        middle = top - 0.5 * lane_in(sheet)
        for column, cell in enumerate(_cells(sheet)):
            axes.text(
                column + 0.5, middle, cell, fontsize=BODY_PT, color=INK, ha="center", va="center"
            )


def _cells(sheet: GearSheet) -> list[str]:
    largest, median = sheet.largest_step_percent, sheet.median_step_percent
    return [
        f"{sheet.range_percent:.0f}",
        f"{sheet.distinct_ratios}/{len(sheet.gears.ratio)}",
        "-" if largest is None else f"{largest:.0f}",
        "-" if median is None else f"{median:.0f}",
        at_least_shown(sheet.slowest_mps * KMH_PER_MPS, 1),
        at_least_shown(sheet.fastest_mps * KMH_PER_MPS),
    ]
