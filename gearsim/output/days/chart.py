"""The picture of uncertain days: a heap of days for each candidate, who beats whom, and why.

Every square of a heap is one day (or a few), dark where the candidate is the best of that day and
pale where another is, so the picture reads the same in grey.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gearsim.output.days.words import days_verdict, flip_words
from gearsim.output.drawing.lane_names import NAMES_IN, LaneName, write_lane_names
from gearsim.output.drawing.lanes import boxes_path
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
    FAINT_INK,
    INK,
    PAPER,
    RULE,
    SMALL_PT,
)
from gearsim.output.words import share
from gearsim.studies.days.days import Days
from gearsim.studies.days.influence import Influences
from gearsim.studies.days.results import OverDays, chances_to_beat, spread_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Floats = NDArray[np.float64]

CHANCES_IN, GAP_IN = 2.7, 0.35
HEAPS_IN = WIDTH_IN - NAMES_IN - CHANCES_IN - GAP_IN - EDGE_IN
HEADS_IN, FOOT_IN, PARTS_IN, PARTS_HEAD_IN = 0.42, 0.55, 1.75, 0.35
CHANCES_HEAD_IN = 0.2
LANES_IN, LANE_IN = 4.4, (0.48, 0.95)
PART_NAMES_IN = 1.25

COLUMNS = 90  # of the heaps, over all days of all candidates
HEAP_FLOOR, HEAP_TOP = -0.26, 0.44  # of a lane, whose middle is 0
BEST, OTHER = "#23415a", "#b9cbd8"
TOGETHER = "#c9c4b8"
TEXT_ON_DARK_FROM = 0.55
MOST_WRITTEN = 14  # candidates; beyond, the chances are told by shade alone

TO_READ = (
    "Each square is a day: dark where the candidate is the best of that day. The bar under a heap "
    "holds 80 of 100 days, its gap the middle one; the open triangle is the plan's own day."
)


def days_figure(days: Days) -> Figure:
    """A heap of days for each candidate on one scale of mismatch, with the chances at the right.

    Under them is which uncertainty brings how much of the variance.  Candidates stand in the order
    of the choice.
    """
    lines = lines_of(f"{days_verdict(days)} {_flip_line(days)}")
    top_in = head_in(lines) + HEADS_IN
    lane_in = float(np.clip(LANES_IN / len(days.candidates), *LANE_IN))
    lanes_in = lane_in * len(days.candidates)
    rows = {"top_in": top_in, "height_in": lanes_in}
    parts_top_in = top_in + lanes_in + FOOT_IN + PARTS_HEAD_IN
    foot_in = parts_top_in + PARTS_IN + 0.5
    figure = new_sheet(foot_in + 0.3)
    write_head(figure, days.course, lines)
    names = [
        LaneName(name=each.name, gears=each.drivetrain.label, fits=not each.misfits)
        for each in days.candidates
    ]
    beside = axes_at(figure, left_in=EDGE_IN, width_in=NAMES_IN - EDGE_IN, **rows)
    write_lane_names(beside, names, lane_in)
    heaps = axes_at(figure, left_in=NAMES_IN, width_in=HEAPS_IN, **rows)
    draw_heaps(heaps, days)
    chances = axes_at(figure, left_in=NAMES_IN + HEAPS_IN + GAP_IN, width_in=CHANCES_IN, **rows)
    draw_chances(chances, days, CHANCES_HEAD_IN / lanes_in)
    _draw_parts(figure, days, parts_top_in)
    write_at(figure, left_in=EDGE_IN, top_in=foot_in, text=TO_READ, small=True)
    return figure


def _flip_line(days: Days) -> str:
    return flip_words(days) if len(days.candidates) > 1 and days.flip else ""


def draw_heaps(axes: Axes, days: Days) -> Axes:
    """Draw each candidate's days as a heap of squares over mismatch; the axes come back."""
    mismatch = days.mismatch
    best = mismatch == mismatch.min(axis=1, keepdims=True)
    least, most = float(mismatch.min()), float(mismatch.max())
    room = max(0.03 * (most - least), 0.05)
    left, right = max(least - room, -room), most + room
    edges = np.linspace(left, right, COLUMNS + 1)
    column = np.clip(np.searchsorted(edges, mismatch, side="right") - 1, 0, COLUMNS - 1)
    count = len(days.candidates)
    tallest = max(int(np.bincount(column[:, lane]).max()) for lane in range(count))
    axes.set_xlim(left, right)
    axes.set_ylim(-count + 0.5, 0.5)
    axes.set_yticks([])
    axes.tick_params(axis="x", labelsize=SMALL_PT, colors=FAINT_INK, length=3)
    axes.grid(axis="x", color=RULE, linewidth=0.4)
    axes.set_axisbelow(True)
    for side in ("top", "left", "right", "bottom"):
        axes.spines[side].set_visible(False)
    axes.hlines(0.5 - np.arange(count + 1), left, right, color=RULE, linewidth=0.5, clip_on=False)
    for lane, candidate in enumerate(days.candidates):
        boxes = _heap(column[:, lane], best[:, lane], edges, tallest, -lane)
        _add_squares(axes, boxes[best[:, lane]], BEST)
        _add_squares(axes, boxes[~best[:, lane]], OTHER)
        _draw_marks(axes, candidate, -lane)
    axes.set_xlabel("mismatch", fontsize=SMALL_PT, color=FAINT_INK, labelpad=2)
    return axes


def _heap(
    column: NDArray[np.int64], best: NDArray[np.bool_], edges: Floats, tallest: int, lane: float
) -> Floats:
    """A box for each day (days, 4), piled up in its column, those where it is best at the foot."""
    level = np.zeros(len(column))
    height: dict[int, int] = {}
    for day in np.argsort(~best, kind="stable").tolist():
        found = int(column[day])
        level[day] = height.get(found, 0)
        height[found] = height.get(found, 0) + 1
    apiece = (HEAP_TOP - HEAP_FLOOR) / max(tallest, 4)
    gap = 0.12 * (edges[1] - edges[0])
    bottom = lane + HEAP_FLOOR + apiece * level
    return np.stack(
        [edges[column] + gap, bottom, edges[column + 1] - gap, bottom + 0.86 * apiece], axis=1
    )


def _add_squares(axes: Axes, boxes: Floats, colour: str) -> None:
    from matplotlib.patches import PathPatch

    if len(boxes):
        axes.add_artist(PathPatch(boxes_path(boxes), facecolor=colour, edgecolor="none", zorder=3))


def _draw_marks(axes: Axes, candidate: OverDays, lane: float) -> None:
    """The bar of 80 of 100 days with a gap at the middle one, and the plan's own day."""
    spread = spread_of(candidate.mismatch)
    at = lane + HEAP_FLOOR - 0.09
    axes.plot([spread.low, spread.high], [at, at], color=INK, linewidth=2.2, solid_capstyle="butt")
    axes.plot([spread.middle], [at], marker="s", markersize=3.0, color=PAPER, zorder=4)
    axes.plot(
        [candidate.planned.score.mismatch],
        [at - 0.07],
        marker="^",
        markersize=4.5,
        markerfacecolor=PAPER,
        markeredgecolor=INK,
        markeredgewidth=0.8,
        zorder=5,
        clip_on=False,
    )


def draw_chances(axes: Axes, days: Days, head_up: float) -> Axes:
    """Draw the share of days on which each row's candidate beats each column's, as shaded cells.

    `head_up` is how far above them the head stands, in heights of the axes; they come back.
    """
    chances = chances_to_beat(days.mismatch)
    count = len(chances)
    wide = min(1.0, 5.0 / count)
    axes.set_axis_off()
    axes.set_xlim(-0.5, -0.5 + max(count, 5))
    axes.set_ylim(-count + 0.5, 0.5)
    for row in range(count):
        for column in range(count):
            if row != column:
                _draw_chance(axes, row, column, float(chances[row, column]), count)
    size = SMALL_PT if wide == 1.0 else max(5.0, SMALL_PT * wide)
    for column in range(count):
        axes.text(
            column, 0.52, str(column + 1), fontsize=size, color=FAINT_INK, ha="center", va="bottom"
        )
    axes.text(
        0.0,
        1.0 + head_up,
        "beats the one of this rank, % of days" if count > 1 else "",
        transform=axes.transAxes,
        fontsize=SMALL_PT,
        color=FAINT_INK,
        va="bottom",
    )
    return axes


def _draw_chance(axes: Axes, row: int, column: int, chance: float, count: int) -> None:
    from matplotlib.patches import Rectangle

    grey = 1.0 - 0.75 * chance
    axes.add_patch(
        Rectangle(
            (column - 0.46, -row - 0.3), 0.92, 0.6, facecolor=(grey, grey, grey), linewidth=0.0
        )
    )
    if count <= MOST_WRITTEN:
        axes.text(
            column,
            -row,
            share(chance).removesuffix(" %"),
            fontsize=SMALL_PT if count <= 8 else 5.5,
            color=PAPER if chance > TEXT_ON_DARK_FROM else INK,
            ha="center",
            va="center",
        )


def _draw_parts(figure: Figure, days: Days, top_in: float) -> None:
    """What brings the variance: of the first's mismatch, and of its lead over the second."""
    panels = [("what makes the first's mismatch vary, % of its variance", days.influences[0])]
    if days.influences_on_lead is not None:
        panels.append(
            ("what makes its lead over the second vary, % of its variance", days.influences_on_lead)
        )
    wide_in = (WIDTH_IN - 2 * EDGE_IN) / 2
    for place, (head, found) in enumerate(panels):
        left_in = EDGE_IN + place * wide_in
        write_at(figure, left_in=left_in, top_in=top_in - 0.25, text=head, bold=True)
        axes = axes_at(
            figure,
            left_in=left_in + PART_NAMES_IN,
            top_in=top_in,
            width_in=wide_in - PART_NAMES_IN - 0.3,
            height_in=PARTS_IN,
        )
        draw_parts(axes, found)


def draw_parts(axes: Axes, found: Influences) -> Axes:
    """Draw each input's part of the variance: alone dark, with others pale; the axes come back."""
    names = [str(each.what) for each in found.shares] + ["not told apart"]
    at = -np.arange(len(names))
    alone = np.array([100.0 * each.alone for each in found.shares])
    together = np.array([100.0 * each.together for each in found.shares])
    error = np.array([100.0 * each.error for each in found.shares])
    axes.set_xlim(0.0, 100.0)
    axes.set_ylim(at[-1] - 0.6, 0.6)
    axes.barh(at[:-1], np.maximum(together, alone), height=0.62, color=TOGETHER)
    axes.barh(at[:-1], alone, height=0.36, color=BEST)
    axes.errorbar(alone, at[:-1], xerr=error, fmt="none", ecolor=INK, elinewidth=0.8, capsize=1.5)
    axes.barh(
        at[-1:],
        100.0 * found.not_told_apart,
        height=0.62,
        facecolor=PAPER,
        edgecolor=FAINT_INK,
        hatch="////",
        linewidth=0.6,
    )
    axes.set_yticks(at, names, fontsize=SMALL_PT, color=INK)
    axes.tick_params(axis="y", length=0)
    axes.tick_params(axis="x", labelsize=SMALL_PT, colors=FAINT_INK, length=3)
    axes.grid(axis="x", color=RULE, linewidth=0.4)
    axes.set_axisbelow(True)
    for side in ("top", "right", "bottom"):
        axes.spines[side].set_visible(False)
    axes.spines["left"].set_color(RULE)
    return axes
