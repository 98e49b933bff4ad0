"""The picture of one ring against two: gears, time off target, a group's pace, and what turns it.

One ring is a single line and two rings are a double line, so that neither needs a colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.patheffects import withStroke

from gearsim.output.drawing.gear_lanes import draw_gear_lanes, lane_in, ruler_of
from gearsim.output.drawing.profile import round_ticks
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
    FAINT_INK,
    INK,
    MARKS,
    PAPER,
    RULE,
    SHADE,
    SMALL_PT,
    fitted,
    legible,
    width_of_in,
    wrapped,
)
from gearsim.output.one_or_two.rows import heads
from gearsim.output.one_or_two.words import SIDES, UNITS, group_told, turn_mark, verdict
from gearsim.output.words import STATE_PHRASES, TROUBLES, minute_decimals, minutes
from gearsim.ride.states import State
from gearsim.studies.one_or_two.lever_curve import LeverCurve
from gearsim.studies.one_or_two.one_or_two import OneOrTwo
from gearsim.studies.one_or_two.ring_side import Side
from gearsim.units import KMH_PER_MPS, SECONDS_PER_MINUTE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

NAMES_IN = 2.0
RULER_IN, PART_IN, GAP_IN = 0.12, 0.34, 0.5
STATES_WIDE_IN, STATES_HIGH_IN, MIDDLE_IN = 4.7, 1.75, 1.55
GROUP_LEFT_IN = 5.75
LEVER_HIGH_IN, LEVER_GAP_IN, LEVER_LEFT_IN = 1.7, 0.55, 0.55
LINE_IN, READING_LINES = 0.15, 4
LEVER_IN = (WIDTH_IN - EDGE_IN - LEVER_LEFT_IN - 3 * LEVER_GAP_IN) / 4

SPEEDS_KMH = (5, 10, 15, 20, 30, 40, 50, 60)
WIDE_PT, INNER_PT = 3.4, 1.5
PACES = 1201

TO_READ = (
    "Gears: an upright line is a gear, its sprocket's teeth above it; the field between two is the "
    "step in %. What would change it: the mismatch of the best of each side, looked for again at "
    "every value, while one thing changes; shaded where the two are a near tie."
)


def one_or_two_figure(found: OneOrTwo) -> Figure:
    """One sheet: the gears of both, minutes off target back to back, the group, the levers."""
    lines = lines_of(verdict(found))
    sheets = (found.one.sheet, found.two.sheet)
    lanes_top_in = head_in(lines) + PART_IN + RULER_IN
    states_top_in = lanes_top_in + sum(map(lane_in, sheets)) + GAP_IN + PART_IN
    levers_top_in = states_top_in + STATES_HIGH_IN + GAP_IN + PART_IN
    foot_in = levers_top_in + LEVER_HIGH_IN + GAP_IN
    reading = wrapped(f"{group_told(found)} {TO_READ}", WIDTH_IN - 2 * EDGE_IN, SMALL_PT, 4)
    figure = new_sheet(foot_in + LINE_IN * len(reading) + 0.1)
    write_head(figure, found.setting.course, lines)
    _draw_gears(figure, found, lanes_top_in)
    _draw_states(figure, found, states_top_in)
    _draw_group(figure, found, states_top_in)
    _draw_levers(figure, found, levers_top_in)
    for number, line in enumerate(reading):
        write_at(figure, left_in=EDGE_IN, top_in=foot_in + LINE_IN * number, text=line, small=True)
    return figure


def draw_side(axes: Axes, rings: int, x: Sequence[float], y: Sequence[float]) -> None:
    """A single line for one ring, a double one for two."""
    if rings == 1:
        axes.plot(x, y, color=INK, linewidth=1.4, solid_capstyle="butt", zorder=4)
        return
    axes.plot(x, y, color=INK, linewidth=WIDE_PT, solid_capstyle="butt", zorder=3)
    axes.plot(x, y, color=PAPER, linewidth=INNER_PT, solid_capstyle="butt", zorder=3.1)


def _write_part(figure: Figure, left_in: float, top_in: float, text: str) -> None:
    write_at(figure, left_in=left_in, top_in=top_in - PART_IN, text=text, bold=True)


def _draw_gears(figure: Figure, found: OneOrTwo, top_in: float) -> None:
    sheets = (found.one.sheet, found.two.sheet)
    wide_in, high_in = WIDTH_IN - NAMES_IN - EDGE_IN, sum(map(lane_in, sheets))
    ruler = ruler_of(sheets, wide_in)
    lanes = axes_at(figure, left_in=NAMES_IN, top_in=top_in, width_in=wide_in, height_in=high_in)
    draw_gear_lanes(lanes, sheets, ruler)
    lanes.set_xticks([])
    lanes.minorticks_off()
    target, metres = sheets[0].rider.target_cadence_rpm, sheets[0].bike.circumference_m
    _write_part(figure, EDGE_IN, top_in - RULER_IN, f"The gears, with km/h at {target:g} rpm")
    for kmh in SPEEDS_KMH:
        ratio = kmh / KMH_PER_MPS * SECONDS_PER_MINUTE / target / metres
        if ruler.lowest < ratio < ruler.highest:
            lanes.axvline(ratio, color=RULE, linewidth=0.5, zorder=0)
            lanes.annotate(
                f"{kmh}",
                (ratio, 1.0),
                xycoords=("data", "axes fraction"),
                xytext=(0.0, 4.0),
                textcoords="offset points",
                fontsize=SMALL_PT,
                color=FAINT_INK,
                ha="center",
            )
    row_in = top_in
    for side, name, sheet in zip(SIDES, heads(found), sheets, strict=True):
        middle_in = row_in + 0.5 * lane_in(sheet) - 0.2
        write_at(figure, left_in=EDGE_IN, top_in=middle_in, text=side, bold=True)
        told = wrapped(legible(name), NAMES_IN - EDGE_IN - 0.1, SMALL_PT, 3)
        for number, line in enumerate(told, start=1):
            at_in = middle_in + LINE_IN * number
            write_at(figure, left_in=EDGE_IN, top_in=at_in, text=line, small=True)
        row_in += lane_in(sheet)


def _draw_states(figure: Figure, found: OneOrTwo, top_in: float) -> None:
    """Minutes where the gears do not suit, one ring to the left, two to the right."""
    _write_part(figure, EDGE_IN, top_in, "Minutes where the gears do not suit")
    axes = axes_at(
        figure,
        left_in=EDGE_IN,
        top_in=top_in,
        width_in=STATES_WIDE_IN,
        height_in=STATES_HIGH_IN,
    )
    axes.set_axis_off()
    axes.set_xlim(-0.5 * STATES_WIDE_IN, 0.5 * STATES_WIDE_IN)
    axes.set_ylim(len(TROUBLES) + 0.1, -1.0)
    sides = (found.one, found.two)
    longest_s = max(_seconds(side)[state] for side in sides for state in TROUBLES)
    room_in = 0.5 * (STATES_WIDE_IN - MIDDLE_IN) - 0.35
    decimals = minute_decimals(max(side.ride.finish_s for side in sides))
    for sign, words in zip((-1.0, 1.0), SIDES, strict=True):
        axes.text(
            sign * (0.5 * MIDDLE_IN + 0.02),
            -0.55,
            words,
            fontsize=SMALL_PT,
            fontweight="bold",
            ha="right" if sign < 0 else "left",
            va="center",
            color=INK,
        )
    for row, state in enumerate(TROUBLES):
        axes.text(
            0.0,
            row,
            STATE_PHRASES[state],
            fontsize=SMALL_PT,
            ha="center",
            va="center",
            color=INK,
        )
        for sign, side in zip((-1.0, 1.0), sides, strict=True):
            seconds, edge = _seconds(side)[state], sign * 0.5 * MIDDLE_IN
            long_in = room_in * seconds / longest_s if longest_s > 0.0 else 0.0
            mark = MARKS[state]
            axes.barh(
                row,
                sign * long_in,
                left=edge,
                height=0.62,
                facecolor=mark.colour,
                edgecolor=mark.hatch_colour if mark.hatch else "none",
                hatch=mark.hatch,
                linewidth=0.0,
            )
            axes.text(
                edge + sign * (long_in + 0.05),
                row,
                minutes(seconds, decimals),
                fontsize=SMALL_PT,
                ha="right" if sign < 0 else "left",
                va="center",
                color=INK,
            )
    for sign in (-1.0, 1.0):
        axes.plot(
            [sign * 0.5 * MIDDLE_IN] * 2, [-0.45, len(TROUBLES) - 0.55], color=INK, linewidth=0.7
        )


def _seconds(side: Side) -> dict[State, float]:
    return side.contender.outcome.score.seconds


def _draw_group(figure: Figure, found: OneOrTwo, top_in: float) -> None:
    """The cadence in the nearest gear at every pace of the group."""
    target = found.one.group.target_rpm
    words = "At a group's pace: rpm in the nearest gear, over km/h"
    _write_part(figure, GROUP_LEFT_IN - 0.4, top_in, words)
    axes = axes_at(
        figure,
        left_in=GROUP_LEFT_IN,
        top_in=top_in,
        width_in=WIDTH_IN - GROUP_LEFT_IN - EDGE_IN - 0.75,
        height_in=STATES_HIGH_IN,
    )
    slowest, fastest = found.one.group.paces_mps
    pace_mps = np.linspace(slowest, fastest, PACES)
    axes.axhline(target, color=FAINT_INK, linewidth=0.8, zorder=1)
    for rings, side in enumerate((found.one, found.two), start=1):
        rpm = side.group.cadence_rpm(pace_mps)
        draw_side(axes, rings, (KMH_PER_MPS * pace_mps).tolist(), rpm.tolist())
    axes.set_xlim(KMH_PER_MPS * slowest, KMH_PER_MPS * fastest)
    worst = max(found.one.group.worst_off_rpm, found.two.group.worst_off_rpm)
    axes.set_ylim(target - 1.15 * worst - 0.5, target + 1.15 * worst + 0.5)
    _tidy(axes)
    axes.annotate(
        f"target\n{target:g} rpm",
        (1.0, target),
        xycoords=("axes fraction", "data"),
        xytext=(5.0, 0.0),
        textcoords="offset points",
        fontsize=SMALL_PT,
        color=FAINT_INK,
        va="center",
        annotation_clip=False,
    )


def _draw_levers(figure: Figure, found: OneOrTwo, top_in: float) -> None:
    _write_part(figure, EDGE_IN, top_in - 0.2, "What would change it: mismatch of the best, with")
    _write_key(figure, top_in - 0.2)
    for number, curve in enumerate(found.curves):
        left_in = LEVER_LEFT_IN + number * (LEVER_IN + LEVER_GAP_IN)
        axes = axes_at(
            figure, left_in=left_in, top_in=top_in, width_in=LEVER_IN, height_in=LEVER_HIGH_IN
        )
        _draw_lever(axes, found, curve)
        head = fitted(f"{curve.lever}, {UNITS[curve.lever]}", LEVER_IN, BODY_PT)
        write_at(figure, left_in=left_in, top_in=top_in - 0.2, text=head)


def _write_key(figure: Figure, top_in: float) -> None:
    """What the lines are, beside the title of the levers."""
    axes = axes_at(
        figure, left_in=4.0, top_in=top_in - PART_IN - 0.04, width_in=6.0, height_in=0.22
    )
    axes.set_axis_off()
    axes.set_xlim(0.0, 6.0)
    axes.set_ylim(0.0, 1.0)
    words = (*SIDES, "as planned", "from here on the other wins")
    for left, text in zip((0.0, 1.2, 2.5, 3.6), words, strict=True):
        axes.text(left + 0.42, 0.5, text, fontsize=BODY_PT, color=INK, va="center_baseline")
    draw_side(axes, 1, [0.0, 0.35], [0.5, 0.5])
    draw_side(axes, 2, [1.2, 1.55], [0.5, 0.5])
    axes.plot([2.8, 2.8], [0.0, 1.0], color=FAINT_INK, linewidth=0.8, linestyle=(0, (1, 2)))
    axes.plot([3.9, 3.9], [0.0, 1.0], color=INK, linewidth=0.9)


def _draw_lever(axes: Axes, found: OneOrTwo, curve: LeverCurve) -> None:
    value = np.array([each.value for each in curve.standings])
    one, two = (
        np.array([score if math.isfinite(score) else np.nan for score in side])
        for side in (
            [each.one for each in curve.standings],
            [each.two for each in curve.standings],
        )
    )
    tied = np.array([each.is_near_tie for each in curve.standings])
    # Over the whole height: where the two are a near tie there is nothing to see between them.
    whole = axes.get_xaxis_transform()
    axes.fill_between(
        value, 0.0, 1.0, where=tied.tolist(), transform=whole, color=SHADE, linewidth=0.0, zorder=1
    )
    draw_side(axes, 1, value.tolist(), one.tolist())
    draw_side(axes, 2, value.tolist(), two.tolist())
    highest = float(np.nanmax([one, two]))
    axes.set_ylim(0.0, 1.25 * highest if highest > 0.0 else 1.0)
    low, high = curve.searched
    if high > low:
        axes.set_xlim(low, high)
    axes.axvline(curve.own, color=FAINT_INK, linewidth=0.8, linestyle=(0, (1, 2)), zorder=2)
    _tidy(axes)
    for turn, side in ((curve.down, -1), (curve.up, 1)):
        if turn is not None:
            axes.axvline(turn.value, color=INK, linewidth=0.9, zorder=2)
            _label(axes, turn.value, turn_mark(found, curve, turn), side)


def _label(axes: Axes, at: float, text: str, side: int) -> None:
    """A word at an upright line: to its left (-1) or right (1), or where there is room, lower."""
    low, high = axes.get_xlim()
    room_in = (at - low if side < 0 else high - at) / (high - low) * LEVER_IN
    fits = width_of_in(text, SMALL_PT) + 0.06 <= room_in
    right = side > 0 if fits else side < 0
    axes.annotate(
        text,
        (at, 1.0),
        xycoords=("data", "axes fraction"),
        xytext=(3.0 if right else -3.0, -8.0 if fits else -18.0),
        textcoords="offset points",
        fontsize=SMALL_PT,
        color=INK,
        ha="left" if right else "right",
        annotation_clip=False,
        path_effects=[withStroke(linewidth=2.0, foreground=PAPER)],
        zorder=6,
    )


def _tidy(axes: Axes) -> None:
    """Few ticks, no box, rules at the heights told."""
    axes.set_xticks(round_ticks(*axes.get_xlim(), 5))
    axes.set_yticks(round_ticks(*axes.get_ylim(), 4))
    axes.tick_params(labelsize=SMALL_PT, length=2.5, color=RULE, labelcolor=INK, pad=2.0)
    axes.grid(axis="y", color=RULE, linewidth=0.4)
    axes.set_axisbelow(True)
    for name, spine in axes.spines.items():
        spine.set_visible(name == "bottom")
        spine.set_color(RULE)
