"""The picture of a search: mismatch against weight, with the builds that are told of named."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from gearsim.output.drawing.lane_names import write_name_line
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
    PAPER,
    RULE,
    SMALL_PT,
    legible,
    wrapped,
)
from gearsim.output.search.layout import PLOT_HIGH_IN, Spot, lower_left, rank_spots, rows_in
from gearsim.output.search.marks import (
    LOOKS,
    Named,
    Window,
    look_of,
    looks_drawn,
    named_builds,
    point_of,
    window_of,
)
from gearsim.output.search.words import ridden_by_told, search_verdict
from gearsim.studies.search.answer import Answer
from gearsim.studies.search.search import Search

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

PLOT_LEFT_IN, PLOT_IN = 0.75, 5.9
NAMES_LEFT_IN = PLOT_LEFT_IN + PLOT_IN + 0.75
RANK_IN = 0.46  # four digits and a gap
NAME_IN = WIDTH_IN - NAMES_LEFT_IN - EDGE_IN - RANK_IN
KEY_IN, AXIS_IN, FOOT_LINE_IN = 0.34, 0.55, 0.15
LEAST_SPAN_G = 50.0
READING_LINES = 5

FAINT_FILL, FRONT_FILL, TOLD_FILL = "#d9d6cf", "#8a8a8a", INK
NOW_MARK, NOW_SIZE, TOLD_SIZE, SIZE = "X", 150.0, 52.0, 26.0

TO_READ = (
    "Each mark is a build that was ridden; lower is better, further left is lighter. No build lies "
    "both below and left of the stepped line. Grey: on the front of all that is weighed against "
    "each other; pale: not on it. Black, with its rank: named at the right."
)


def search_figure(answer: Answer) -> Figure:
    """Every build by weight against now and by mismatch, the number of its rings by its shape.

    The present drivetrain is a cross.  Builds that the text tells of carry their rank and are
    named at the right, in the order of their marks from top to bottom.  What lies far above is
    counted, not drawn.
    """
    search = answer.search
    lines = lines_of(search_verdict(search))
    top_in = head_in(lines) + KEY_IN
    ridden = legible(f"{ridden_by_told(answer)} {TO_READ}")
    reading = wrapped(ridden, WIDTH_IN - 2 * EDGE_IN, SMALL_PT, READING_LINES)
    foot_in = top_in + PLOT_HIGH_IN + AXIS_IN
    figure = new_sheet(foot_in + FOOT_LINE_IN * len(reading) + EDGE_IN)
    write_head(figure, search.course, lines)
    named = named_builds(search)
    points = [point_of(each) for each in search.options]
    window = window_of(points, [each.at for each in named], LEAST_SPAN_G)
    axes = axes_at(
        figure,
        left_in=PLOT_LEFT_IN,
        top_in=top_in,
        width_in=PLOT_IN,
        height_in=PLOT_HIGH_IN,
    )
    _draw_marks(axes, search, window)
    _draw_front(axes, search)
    _draw_named(axes, search, named, window)
    _write_names(figure, named, window, top_in)
    _write_key(figure, search, top_in)
    for number, line in enumerate(reading):
        at_in = foot_in + FOOT_LINE_IN * number
        write_at(figure, left_in=EDGE_IN, top_in=at_in, text=line, small=True)
    return figure


def _draw_marks(axes: Axes, search: Search, window: Window) -> None:
    left, right, bottom, top = window
    axes.set_xlim(left, right)
    axes.set_ylim(bottom, top)
    axes.patch.set_visible(False)
    axes.axvline(0.0, color=RULE, linewidth=0.8, zorder=1)
    for look in LOOKS.values():
        for on_front in (False, True):
            points = [
                point_of(each)
                for each in search.options
                if look_of(each) is look and each.on_front == on_front and each.mismatch <= top
            ]
            if points:
                grams, mismatch = np.array(points).T
                axes.scatter(
                    grams,
                    mismatch,
                    s=SIZE,
                    marker=look.marker,
                    facecolor=FRONT_FILL if on_front else FAINT_FILL,
                    edgecolor=INK,
                    linewidth=0.6,
                    zorder=4 if on_front else 3,
                )
    above = [each.mismatch for each in search.options if each.mismatch > top]
    if above:
        words = f"{len(above)} more above, up to {max(above):.0f}"
        axes.annotate(
            words,
            (1.0, 1.0),
            xytext=(-4.0, -4.0),
            xycoords="axes fraction",
            textcoords="offset points",
            ha="right",
            va="top",
            fontsize=SMALL_PT,
            color=FAINT_INK,
        )
    axes.set_xlabel(
        "← lighter      weight against now, g      heavier →", fontsize=BODY_PT, color=INK
    )
    axes.set_ylabel("mismatch (less is better)", fontsize=BODY_PT, color=INK)
    axes.tick_params(labelsize=SMALL_PT, colors=FAINT_INK, length=2.5)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(RULE)


def _draw_front(axes: Axes, search: Search) -> None:
    corners = lower_left(np.array([point_of(each) for each in search.options]))
    right = axes.get_xlim()[1]
    grams, mismatch = np.append(corners[:, 0], right), np.append(corners[:, 1], corners[-1, 1])
    axes.step(grams, mismatch, where="post", color=INK, linewidth=1.0, zorder=2)


def _draw_named(axes: Axes, search: Search, named: Sequence[Named], window: Window) -> None:
    from matplotlib.patheffects import withStroke

    for each in named:
        axes.scatter(
            [each.at[0]],
            [each.at[1]],
            s=NOW_SIZE if each.now else TOLD_SIZE,
            marker=NOW_MARK if each.now else each.look.marker,
            facecolor=PAPER if each.now else TOLD_FILL,
            edgecolor=INK if each.now else PAPER,
            linewidth=1.4 if each.now else 0.6,
            zorder=6,
        )
    marks_in = [_in_plot(each.at, window) for each in named]
    others_in = [_in_plot(point_of(each), window) for each in search.options]
    spots = rank_spots(marks_in, [each.mark for each in named], others_in)
    for each, (across_in, down_in) in zip(named, spots, strict=True):
        axes.annotate(
            each.mark,
            (across_in / PLOT_IN, 1.0 - down_in / PLOT_HIGH_IN),
            xycoords="axes fraction",
            fontsize=SMALL_PT,
            fontweight="bold",
            color=INK,
            ha="center",
            va="center",
            zorder=7,
            annotation_clip=False,
            path_effects=[withStroke(linewidth=2.0, foreground=PAPER)],
        )


def _in_plot(at: tuple[float, float], window: Window) -> Spot:
    """A point in inches from the plot's upper left corner, across and down."""
    left, right, bottom, top = window
    across_in = (at[0] - left) / (right - left) * PLOT_IN
    return across_in, (top - at[1]) / (top - bottom) * PLOT_HIGH_IN


def _write_names(
    figure: Figure,
    named: Sequence[Named],
    window: Window,
    top_in: float,
) -> None:
    """The names at the right, each joined to its mark; all in inches from the plot's top left."""
    axes = axes_at(
        figure,
        left_in=PLOT_LEFT_IN,
        top_in=top_in,
        width_in=WIDTH_IN - PLOT_LEFT_IN - EDGE_IN,
        height_in=PLOT_HIGH_IN,
    )
    axes.set_axis_off()
    axes.patch.set_visible(False)
    axes.set_zorder(-1)
    axes.set_xlim(0.0, WIDTH_IN - PLOT_LEFT_IN - EDGE_IN)
    axes.set_ylim(PLOT_HIGH_IN, 0.0)
    names_in = NAMES_LEFT_IN - PLOT_LEFT_IN
    marks_in = [_in_plot(each.at, window) for each in named]
    downs = rows_in([down for _, down in marks_in])
    for each, (across_in, mark_in), down_in in zip(named, marks_in, downs, strict=True):
        axes.plot(
            [across_in, PLOT_IN + 0.1, names_in - 0.08],
            [mark_in, down_in, down_in],
            color=RULE,
            linewidth=0.8,
            clip_on=False,
        )
        _write_row(axes, each, names_in, down_in)


def _write_row(axes: Axes, named: Named, left_in: float, down_in: float) -> None:
    axes.text(
        left_in,
        down_in,
        named.mark,
        fontsize=BODY_PT,
        fontweight="bold",
        color=INK,
        va="center",
        clip_on=False,
    )
    for text, up_pt, bold in ((named.name, 5.0, True), (named.facts, -5.5, False)):
        at = (left_in + RANK_IN, down_in)
        write_name_line(axes, at, legible(text), up_pt, bold=bold, width_in=NAME_IN)


def _write_key(figure: Figure, search: Search, top_in: float) -> None:
    """A sample of each shape that is drawn, with its name, and the cross of the present one."""
    axes = axes_at(
        figure,
        left_in=PLOT_LEFT_IN,
        top_in=top_in - KEY_IN,
        width_in=PLOT_IN,
        height_in=KEY_IN,
    )
    axes.set_axis_off()
    axes.set_xlim(0.0, PLOT_IN)
    axes.set_ylim(0.0, 1.0)
    samples = [(look.marker, look.words, FRONT_FILL) for look in looks_drawn(search.options)]
    samples.append((NOW_MARK, "what you have now", PAPER))
    at_in = 0.1
    for marker, words, fill in samples:
        axes.scatter([at_in], [0.55], s=SIZE * 1.6, marker=marker, facecolor=fill, edgecolor=INK)
        axes.text(at_in + 0.13, 0.55, words, fontsize=SMALL_PT, color=INK, va="center")
        at_in += 0.45 + 0.062 * len(words)
