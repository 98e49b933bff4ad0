"""The picture of a comparison: the profile, and under it a lane for each candidate."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from gearsim.output.comparison.verdict import verdict
from gearsim.output.drawing.lane_names import NAMES_IN, LaneName, rule_rows, write_lane_names
from gearsim.output.drawing.lanes import Spans, add_bars, draw_lanes, shade
from gearsim.output.drawing.profile import draw_profile
from gearsim.output.drawing.sheet import (
    EDGE_IN,
    WIDTH_IN,
    axes_at,
    head_in,
    new_sheet,
    write_at,
    write_head,
)
from gearsim.output.drawing.style import (
    BODY_PT,
    FAINT_INK,
    INK,
    MARKS,
    RULE,
    SHADED_GROUND,
    SMALL_PT,
    legible,
    wrapped,
)
from gearsim.output.ridden_by import ridden_by
from gearsim.output.words import at_least_shown, clock, finish_head, minute_decimals, minutes
from gearsim.ride.score import WorstPlace
from gearsim.studies.compare import Candidate, Comparison
from gearsim.studies.hard_places import hardest_places

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

TABLE_IN = 3.1
VERDICT_LINES = 6
FOOT_LINES, FOOT_LINE_IN = 5, 0.16
ALONG_IN = WIDTH_IN - NAMES_IN - TABLE_IN - EDGE_IN
PROFILE_IN, GAP_IN, HEADS_IN, FOOT_IN = 1.9, 0.32, 1.05, 0.5
LANES_IN, LANE_IN = 3.8, (0.44, 0.72)
LEAST_SHADE = 0.007  # of the course's length

TO_READ = "The taller a bar, the more time there."

_GROUPS = (("too fast, min", 2, 4), ("too slow, min", 4, 7))


def comparison_figure(comparison: Comparison, ridden_as: str = "") -> Figure:
    """The course's profile, and under it a lane for each candidate in rank order.

    Bars stand up from a lane's rail where the legs turn too fast and hang down where they turn
    too slowly or the rider walks.  Minutes in each state stand at the right, under a sample of its
    bar.  The hardest places are shaded, with their grades at the foot of the profile.  `ridden_as`
    says at the foot who rode, on what, in what; without it that is read off the best ride.
    """
    candidates = comparison.candidates
    rides = [candidate.ride for candidate in candidates]
    lines = wrapped(legible(verdict(comparison)), WIDTH_IN - 2 * EDGE_IN, BODY_PT, VERDICT_LINES)
    top_in = head_in(lines)
    lane_in = float(np.clip(LANES_IN / len(candidates), *LANE_IN))
    lanes_top_in, lanes_in = top_in + PROFILE_IN + GAP_IN, lane_in * len(candidates)
    rows = {"top_in": lanes_top_in, "height_in": lanes_in}
    foot_in = lanes_top_in + lanes_in + FOOT_IN
    ridden = legible(f"{ridden_as or ridden_by(rides[0])} {TO_READ}")
    foot = wrapped(ridden, WIDTH_IN - 2 * EDGE_IN, SMALL_PT, FOOT_LINES)
    figure = new_sheet(foot_in + FOOT_LINE_IN * (len(foot) - 1) + EDGE_IN)
    write_head(figure, rides[0].course, lines)
    _draw_road(figure, candidates, top_in, rows)
    names = axes_at(figure, left_in=EDGE_IN, width_in=NAMES_IN - EDGE_IN, **rows)
    told = [
        LaneName(name=each.name, gears=each.ride.drivetrain.label, fits=not each.misfits)
        for each in candidates
    ]
    write_lane_names(names, told, lane_in)
    table = axes_at(
        figure,
        left_in=NAMES_IN + ALONG_IN,
        top_in=lanes_top_in - HEADS_IN,
        width_in=TABLE_IN,
        height_in=lanes_in + HEADS_IN,
    )
    _write_table(table, candidates, HEADS_IN / lane_in)
    for number, line in enumerate(foot):
        top_in = foot_in + FOOT_LINE_IN * number
        write_at(figure, left_in=EDGE_IN, top_in=top_in, text=line, small=True)
    return figure


def _draw_road(
    figure: Figure, candidates: Sequence[Candidate], top_in: float, rows: dict[str, float]
) -> None:
    """The profile and the lanes, with the hardest places shaded through both."""
    rides = [candidate.ride for candidate in candidates]
    course = rides[0].course
    hardest = [place.told for place in hardest_places(candidates)]
    spans = _spans(hardest, course.length_m / 1000.0)
    profile = axes_at(
        figure, left_in=NAMES_IN, top_in=top_in, width_in=ALONG_IN, height_in=PROFILE_IN
    )
    draw_profile(profile, course, hardest)
    shade(profile, spans, SHADED_GROUND, under_skyline=True)
    lanes = axes_at(figure, left_in=NAMES_IN, width_in=ALONG_IN, **rows)
    draw_lanes(lanes, rides, spans)
    lanes.set_xlabel("km", fontsize=SMALL_PT, color=FAINT_INK, labelpad=2)


def _spans(places: Sequence[WorstPlace], length_km: float) -> Spans:
    """Where the places are, km (k, 2), each wide enough to be seen beside its bars."""
    start = np.array([place.start_m for place in places]) / 1000.0
    length = np.array([place.length_m for place in places]) / 1000.0
    middle = start + 0.5 * length
    half = 0.5 * np.maximum(length, LEAST_SHADE * length_km)
    return np.stack([middle - half, middle + half], axis=1)


def _write_table(axes: Axes, candidates: Sequence[Candidate], heads: float) -> None:
    """Mismatch, finish and minutes; `heads` is the height of what stands above, in lanes."""
    axes.set_axis_off()
    axes.set_xlim(-0.1, 7.0)
    axes.set_ylim(-len(candidates) + 0.5, 0.5 + heads)
    rule_rows(axes, len(candidates), -0.1, 7.0)
    decimals = minute_decimals(max(candidate.score.finish_s for candidate in candidates))
    for lane, candidate in enumerate(candidates):
        score = candidate.score
        cells = [at_least_shown(score.mismatch, 1), clock(score.finish_s)]
        cells += [minutes(score.seconds[state], decimals) for state in MARKS]
        for column, cell in enumerate(cells):
            axes.text(
                column + 0.5,
                -lane,
                cell,
                fontsize=BODY_PT,
                fontweight="bold" if column == 0 else "normal",
                color=RULE if cell == "0" else INK,
                ha="center",
                va="center",
            )
    _write_heads(axes, heads, finish_head(candidates[0].score.stopped_s).split(" ")[0])
    _draw_samples(axes, heads)


def _write_heads(axes: Axes, heads: float, time: str) -> None:
    words = ["mis-\nmatch", f"{time}\nh:mm", *(mark.head for mark in MARKS.values())]
    for column, head in enumerate(words):
        axes.text(
            column + 0.5,
            0.5 + 0.74 * heads,
            head,
            fontsize=SMALL_PT,
            color=INK,
            ha="center",
            va="top",
            linespacing=1.0,
        )
    for words_over, first, end in _GROUPS:
        height = 0.5 + 0.82 * heads
        axes.plot([first + 0.12, end - 0.12], [height, height], color=RULE, linewidth=0.7)
        middle = 0.5 * (first + end)
        axes.text(
            middle,
            height + 0.04 * heads,
            words_over,
            fontsize=SMALL_PT,
            color=FAINT_INK,
            ha="center",
            va="bottom",
        )


def _draw_samples(axes: Axes, heads: float) -> None:
    rail, half = 0.5 + 0.26 * heads, 0.2 * heads
    for column, mark in enumerate(MARKS.values(), start=2):
        end = rail + half * mark.reach
        box = [column + 0.36, min(rail, end), column + 0.64, max(rail, end)]
        add_bars(axes, np.array([box]), mark)
    axes.plot([2.15, 6.85], [rail, rail], color=INK, linewidth=0.7, zorder=4)
