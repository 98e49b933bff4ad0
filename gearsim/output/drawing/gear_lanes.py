"""Lanes of gears: for each drivetrain a ladder a chainring, lying on its side, over the ratio.

Everything is told by place, width, number and tone: a rung is a gear, the field between two rungs
is the step, the wider the darker.  So a lane reads the same in grey.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.colors import to_rgb
from matplotlib.patches import PathPatch

from gearsim.output.drawing.lanes import boxes_path
from gearsim.output.drawing.style import FAINT_INK, INK, PAPER, RULE, SMALL_PT, width_of_in
from gearsim.setup.gear_sheet import GearSheet, RingOverlap

if TYPE_CHECKING:
    from matplotlib.axes import Axes

PAD_IN, LABELS_IN, LADDER_IN, STRIP_IN, REACH_IN = 0.13, 0.15, 0.21, 0.13, 0.2
MARGIN_IN = 0.12  # free at both ends of the ratios
LABEL_PT = 6.5

PALE, DARK = "#f6f4ef", "#443d31"
PALEST_PERCENT, DARKEST_PERCENT = 4.0, 30.0
LIGHT_LETTERS_FROM = 0.65  # of the way from pale to dark

Run = tuple[float, float]  # from and to, as ratios
Tone = tuple[float, ...]  # red, green, blue, 0 to 1


@dataclass(frozen=True, kw_only=True)
class Ruler:
    """Ratios along a drawing of a width, logarithmic: equal steps are equally wide."""

    lowest: float
    highest: float
    width_in: float

    def inches(self, low: float, high: float) -> float:
        """Width of a step on the sheet."""
        return float(self.width_in * np.log(high / low) / np.log(self.highest / self.lowest))


def lane_in(sheet: GearSheet) -> float:
    """Height of a drivetrain's lane, inches."""
    rings = int(sheet.gears.ring[-1]) + 1
    return 2 * PAD_IN + rings * (LABELS_IN + LADDER_IN) + (rings - 1) * STRIP_IN + REACH_IN


def ruler_of(sheets: Sequence[GearSheet], width_in: float) -> Ruler:
    """A ruler on which all gears and all speeds that they reach have room."""
    ends = np.array([reach(sheet) for sheet in sheets])
    lowest, highest = ends[:, 0].min(), ends[:, 1].max()
    margin = (highest / lowest) ** (MARGIN_IN / (width_in - 2 * MARGIN_IN))
    return Ruler(lowest=lowest / margin, highest=highest * margin, width_in=width_in)


def reach(sheet: GearSheet) -> Run:
    """The speeds between the limits of cadence, as the ratios that have them at the target."""
    low_limit, _, target, _, high_limit = sheet.cadences_rpm
    ratio = sheet.gears.ratio
    return float(ratio.min() * low_limit / target), float(ratio.max() * high_limit / target)


def in_band(sheet: GearSheet) -> Run:
    """The speeds inside the band of cadence, as the ratios that have them at the target."""
    _, low, target, high, _ = sheet.cadences_rpm
    ratio = sheet.gears.ratio
    return float(ratio.min() * low / target), float(ratio.max() * high / target)


def draw_gear_lanes(axes: Axes, sheets: Sequence[GearSheet], ruler: Ruler) -> Axes:
    """Draw a lane for each sheet, the first on top, over ratios; the axes come back.

    Heights are in inches from the top of the first lane, downwards negative.
    """
    axes.set_xscale("log")
    axes.set_xlim(ruler.lowest, ruler.highest)
    axes.set_ylim(-sum(lane_in(sheet) for sheet in sheets), 0.0)
    axes.set_yticks([])
    for side in axes.spines.values():
        side.set_visible(False)
    top = 0.0
    for sheet in sheets:
        axes.axhline(top, color=RULE, linewidth=0.5, clip_on=False)
        _draw_lane(axes, sheet, ruler, top - PAD_IN)
        top -= lane_in(sheet)
    axes.axhline(top, color=RULE, linewidth=0.5, clip_on=False)
    return axes


def _draw_lane(axes: Axes, sheet: GearSheet, ruler: Ruler, top: float) -> None:
    for ring in range(int(sheet.gears.ring[-1]) + 1):
        gears = np.flatnonzero(sheet.gears.ring == ring).tolist()
        ladder_top = top - LABELS_IN
        _draw_ladder(axes, sheet, gears, ruler, ladder_top)
        _label_rungs(axes, sheet, gears, ruler, ladder_top)
        top = ladder_top - LADDER_IN
        if ring < len(sheet.overlaps):
            _draw_overlap(axes, sheet, sheet.overlaps[ring], top)
            top -= STRIP_IN
    _draw_reach(axes, sheet, top - 0.6 * REACH_IN)


def _draw_ladder(
    axes: Axes, sheet: GearSheet, gears: Sequence[int], ruler: Ruler, top: float
) -> None:
    """The rungs and the fields between them, with the step in % where it has room."""
    bottom, ratio = top - LADDER_IN, sheet.gears.ratio
    for high, low in pairwise(gears):
        step_percent = float(sheet.step_below_percent[high])
        field = np.array([[ratio[low], bottom, ratio[high], top]])
        axes.add_artist(
            PathPatch(boxes_path(field), facecolor=tone(step_percent), linewidth=0.0, zorder=2)
        )
        text = f"{step_percent:.0f}"
        if width_of_in(text, LABEL_PT) + 0.03 <= ruler.inches(ratio[low], ratio[high]):
            axes.text(
                float(np.sqrt(ratio[low] * ratio[high])),
                0.5 * (top + bottom),
                text,
                fontsize=LABEL_PT,
                color=letters_on(step_percent),
                ha="center",
                va="center_baseline",
                zorder=4,
            )
    ends = ratio[[gears[0], gears[-1]]]
    axes.hlines([bottom, top], ends[1], ends[0], color=INK, linewidth=0.5, zorder=3)
    axes.vlines(ratio[gears], bottom, top + 0.03, color=INK, linewidth=1.1, zorder=3)


def darkness(step_percent: float) -> float:
    """How far a step's field is from pale (0) to dark (1)."""
    share = (step_percent - PALEST_PERCENT) / (DARKEST_PERCENT - PALEST_PERCENT)
    return float(np.clip(share, 0.0, 1.0))


def letters_on(step_percent: float) -> str:
    """The colour of letters that can be read on a step's field."""
    return PAPER if darkness(step_percent) > LIGHT_LETTERS_FROM else INK


def tone(step_percent: float) -> Tone:
    """The colour of a step's field."""
    pale, dark, share = np.array(to_rgb(PALE)), np.array(to_rgb(DARK)), darkness(step_percent)
    return tuple(((1.0 - share) * pale + share * dark).tolist())


def _label_rungs(
    axes: Axes, sheet: GearSheet, gears: Sequence[int], ruler: Ruler, ladder_top: float
) -> None:
    """Teeth (or ratios) over the rungs, as many as have room, and the ring's own at the left."""
    ratio = sheet.gears.ratio
    texts = {gear: _rung_text(sheet, gear) for gear in gears}
    for gear in roomy(texts, sheet, ruler):
        axes.text(
            float(ratio[gear]),
            ladder_top + 0.045,
            texts[gear],
            fontsize=LABEL_PT,
            color=FAINT_INK,
            ha="center",
            va="bottom",
            zorder=4,
        )
    teeth = int(sheet.gears.chainring[gears[0]])
    if teeth:
        axes.annotate(
            str(teeth),
            (float(ratio[gears].min()), ladder_top - 0.5 * LADDER_IN),
            xytext=(-4.0, 0.0),
            textcoords="offset points",
            fontsize=SMALL_PT,
            fontweight="bold",
            color=INK,
            ha="right",
            va="center_baseline",
        )


def _rung_text(sheet: GearSheet, gear: int) -> str:
    teeth = int(sheet.gears.sprocket[gear])
    return str(teeth) if teeth else f"{sheet.gears.ratio[gear]:.2f}"


def roomy(texts: dict[int, str], sheet: GearSheet, ruler: Ruler) -> list[int]:
    """The gears of a ring, highest first, whose labels do not run into each other.

    The lowest one's is always there; of the others each that has room beside those before it.
    """
    ratio, gears = sheet.gears.ratio, list(texts)
    kept = [gears[-1]]
    for gear in gears[:-1]:
        free = all(
            abs(ruler.inches(ratio[gear], ratio[other]))
            >= 0.5 * (width_of_in(texts[gear], LABEL_PT) + width_of_in(texts[other], LABEL_PT))
            + 0.025
            for other in kept
        )
        if free:
            kept.append(gear)
    return [gear for gear in gears if gear in kept]


def _draw_overlap(axes: Axes, sheet: GearSheet, overlap: RingOverlap, top: float) -> None:
    """Hatching where two rings have the same ratios, and a tie for each pair as good as one."""
    ratio, bottom = sheet.gears.ratio, top - STRIP_IN
    inside = [*overlap.larger_inside, *overlap.smaller_inside]
    if inside:
        span = np.array([[ratio[inside].min(), bottom, ratio[inside].max(), top]])
        hatched = PathPatch(
            boxes_path(span), facecolor="none", edgecolor=RULE, hatch="/////", linewidth=0.0
        )
        axes.add_artist(hatched)
    for one, other in overlap.twins:
        axes.plot(
            ratio[[one, other]],
            [top, bottom],
            color=INK,
            linewidth=1.6,
            solid_capstyle="round",
            zorder=4,
        )


def _draw_reach(axes: Axes, sheet: GearSheet, height: float) -> None:
    """A bar over the speeds inside the band, and a line from it to the limits."""
    axes.plot(
        reach(sheet), [height, height], color=FAINT_INK, linewidth=0.8, marker="|", markersize=5.0
    )
    low, high = in_band(sheet)
    box = np.array([[low, height - 0.02, high, height + 0.02]])
    axes.add_artist(PathPatch(boxes_path(box), facecolor=FAINT_INK, linewidth=0.0, zorder=3))
