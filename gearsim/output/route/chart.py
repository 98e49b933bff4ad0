"""The picture of a route: profile, climbs by number, surfaces, grades, and its shape."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gearsim.course.climbs import Climb, climbs, steepest
from gearsim.course.course import Course
from gearsim.course.shares import length_by_grade_m, length_by_surface_m
from gearsim.output.drawing.profile import draw_profile, rule_kilometres
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
from gearsim.output.drawing.style import FAINT_INK, INK, PAPER, RULE, SMALL_PT
from gearsim.output.route.map_shape import draw_map
from gearsim.output.route.text import STEEPEST_M, climb_cells, steepest_words
from gearsim.output.words import at_least_shown, mean_grade

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Floats = NDArray[np.float64]

LEFT_IN = 1.15
PROFILE_IN, GAP_IN, STRIP_IN = 2.5, 0.3, 0.34
LOWER_GAP_IN, HEADING_IN, LOWER_IN, FOOT_IN = 0.5, 0.25, 2.6, 0.3
TABLE_IN, GRADES_LEFT_IN, GRADE_NAMES_IN, GRADES_IN, MAP_LEFT_IN = 3.9, 4.6, 0.9, 2.2, 8.2

MOST_LISTED = 12  # climbs in the table: the ones that gain most
NUMBER_ROOM = 0.017  # of the course's length, between two numbers
LEAST_CLIMB_WIDTH = 0.004

GRADE_EDGES = np.array([-0.10, -0.06, -0.03, -0.01, 0.01, 0.03, 0.06, 0.10, 0.15])
GRADE_NAMES = (
    "under -10 %",
    "-10 to -6",
    "-6 to -3",
    "-3 to -1",
    "-1 to 1",
    "1 to 3",
    "3 to 6",
    "6 to 10",
    "10 to 15",
    "15 % and over",
)

FILLINGS: tuple[tuple[str, str | None], ...] = (
    ("#8c8c8c", None),
    (PAPER, "...."),
    ("#d4d4d4", None),
    (PAPER, "/////"),
    ("#b4b4b4", "xxxx"),
    (PAPER, "||||"),
    ("#e6e6e6", "ooo"),
    (PAPER, "-----"),
    ("#5f5f5f", None),
    (PAPER, "+++++"),
    ("#c4c4c4", "\\\\\\\\\\"),
    (PAPER, "**"),
    ("#2f2f2f", None),
)
"""Greys and patterns of surfaces, the longest first: as many as there are surfaces to name."""


def route_figure(course: Course) -> Figure:
    """The profile with its climbs numbered below it, the steepest places, surfaces, and places.

    Under them a table of the climbs that gain most, the length at each grade, and the route's
    shape on the map.
    """
    told = ", ".join(steepest_words(course, length_m) for length_m in STEEPEST_M)
    lines = lines_of(f"Steepest {told}.")
    top_in = head_in(lines)
    strips_in = top_in + PROFILE_IN + GAP_IN
    lower_in = strips_in + 3 * STRIP_IN + LOWER_GAP_IN
    figure = new_sheet(lower_in + HEADING_IN + LOWER_IN + FOOT_IN)
    write_head(figure, course, lines)
    along_in = WIDTH_IN - LEFT_IN - EDGE_IN

    def along(row_top_in: float, height_in: float) -> Axes:
        return axes_at(
            figure, left_in=LEFT_IN, top_in=row_top_in, width_in=along_in, height_in=height_in
        )

    found = climbs(course)
    draw_profile(along(top_in, PROFILE_IN), course)
    _draw_climbs(along(strips_in, STRIP_IN), course, found)
    _draw_steepest(along(strips_in + STRIP_IN, STRIP_IN), course)
    _draw_surfaces(along(strips_in + 2 * STRIP_IN, STRIP_IN), course)
    _draw_lower(figure, lower_in, course, found)
    return figure


def _draw_lower(figure: Figure, top_in: float, course: Course, found: Sequence[Climb]) -> None:
    """The climbs, the grades and the map, side by side under their headings."""
    most = f", the {MOST_LISTED} that gain most" if len(found) > MOST_LISTED else ""
    lefts_in = (EDGE_IN, GRADES_LEFT_IN, MAP_LEFT_IN)
    headings = (f"Climbs{most}", "Kilometres at each grade", "On the map")
    for left_in, heading in zip(lefts_in, headings, strict=True):
        write_at(figure, left_in=left_in, top_in=top_in, text=heading, bold=True)
    rows = {"top_in": top_in + HEADING_IN, "height_in": LOWER_IN}
    _write_climbs(axes_at(figure, left_in=EDGE_IN, width_in=TABLE_IN, **rows), found)
    grades_in = GRADES_LEFT_IN + GRADE_NAMES_IN
    _draw_grades(axes_at(figure, left_in=grades_in, width_in=GRADES_IN, **rows), course)
    map_in = WIDTH_IN - EDGE_IN - MAP_LEFT_IN
    draw_map(axes_at(figure, left_in=MAP_LEFT_IN, width_in=map_in, **rows), course)


def _by_gain(found: Sequence[Climb]) -> list[int]:
    """Indices of the climbs, the one that gains most first."""
    return sorted(range(len(found)), key=lambda index: -found[index].gain_m)


def _strip(axes: Axes, course: Course, name: str) -> None:
    """A strip along the course with its name at the left."""
    rule_kilometres(axes, course.length_m / 1000.0)
    axes.tick_params(axis="x", length=0, labelbottom=False)
    axes.set_ylim(0.0, 1.0)
    axes.set_yticks([0.5], [name], fontsize=SMALL_PT, color=FAINT_INK)
    axes.tick_params(axis="y", length=0)


def _draw_climbs(axes: Axes, course: Course, found: Sequence[Climb]) -> None:
    """A line under each climb with its number."""
    _strip(axes, course, "climbs")
    length_km = course.length_m / 1000.0
    least_km = LEAST_CLIMB_WIDTH * length_km
    ends = np.array([(climb.start_m, climb.end_m) for climb in found]).reshape(-1, 2) / 1000.0
    ends[:, 1] = np.maximum(ends[:, 1], ends[:, 0] + least_km)
    axes.hlines(np.full(len(ends), 0.86), ends[:, 0], ends[:, 1], color=INK, linewidth=2.2)
    numbered_km: list[float] = []
    for index in _by_gain(found):
        middle_km = float(ends[index].mean())
        if any(abs(middle_km - other_km) < NUMBER_ROOM * length_km for other_km in numbered_km):
            continue
        numbered_km.append(middle_km)
        axes.text(
            middle_km, 0.66, str(index + 1), fontsize=SMALL_PT, color=INK, ha="center", va="top"
        )


def _draw_steepest(axes: Axes, course: Course) -> None:
    """A pointer to each steepest stretch, with its length and grade beside it."""
    _strip(axes, course, "steepest")
    at_km: dict[float, list[str]] = {}
    for length_m in STEEPEST_M:
        part = steepest(course, length_m)
        middle_km = (part.start_m + 0.5 * part.length_m) / 1000.0
        near = [km for km in at_km if abs(km - middle_km) < 0.17 * course.length_m / 1000.0]
        words = f"{part.length_m:.0f} m {mean_grade(part.grade)}"
        at_km.setdefault(near[0] if near else middle_km, []).append(words)
    for km, parts in at_km.items():
        left = km < 0.75 * course.length_m / 1000.0
        axes.plot([km], [0.62], marker="^", markersize=5, color=INK, clip_on=False)
        axes.annotate(
            ", ".join(parts),
            (km, 0.55),
            xytext=(6 if left else -6, 0),
            textcoords="offset points",
            ha="left" if left else "right",
            va="center",
            fontsize=SMALL_PT,
            color=INK,
        )


def _draw_surfaces(axes: Axes, course: Course) -> None:
    """The surfaces as a band of greys and patterns, and their key below."""
    _strip(axes, course, "surface")
    lengths = length_by_surface_m(course)
    told = ", assumed" if course.report.assumed_surface else ""
    names = [surface.name for surface in course.surfaces]
    edges = np.flatnonzero(np.diff(course.surface_index)) + 1
    starts = np.concatenate([[0], edges])
    ends = np.concatenate([edges, [course.intervals]])
    for (name, length_m), (grey, hatch) in zip(lengths.items(), FILLINGS, strict=False):
        own = course.surface_index[starts] == names.index(name)
        km = course.step_m / 1000.0
        spans = [(a * km, (b - a) * km) for a, b in zip(starts[own], ends[own], strict=True)]
        axes.broken_barh(
            spans,
            (0.3, 0.5),
            facecolor=grey,
            edgecolor=INK,
            hatch=hatch,
            linewidth=0.4,
            label=f"{name} {at_least_shown(length_m / 1000.0, 1)} km{told}",
        )
    axes.legend(
        loc="upper left",
        bbox_to_anchor=(0.0, 0.22),
        ncols=5,
        fontsize=SMALL_PT,
        frameon=False,
        borderaxespad=0.0,
        handlelength=2.2,
        handleheight=0.9,
        columnspacing=1.6,
    )


def _write_climbs(axes: Axes, found: Sequence[Climb]) -> None:
    axes.set_axis_off()
    axes.set_xlim(0.0, 1.0)
    axes.set_ylim(MOST_LISTED + 1.0, 0.0)
    rows: list[tuple[str, ...]] = [
        ("", "km", "long, km", "gain, m", "mean, %", "steepest 100 m, %")
    ]
    rows += [
        climb_cells(index + 1, found[index]) for index in sorted(_by_gain(found)[:MOST_LISTED])
    ]
    right = (0.05, 0.17, 0.33, 0.49, 0.66, 0.98)
    for row, cells in enumerate(rows):
        for x, cell in zip(right, cells, strict=True):
            axes.text(
                x,
                row + 0.5,
                cell,
                fontsize=SMALL_PT,
                color=INK if row else FAINT_INK,
                ha="right",
                va="center",
            )
    if not found:
        axes.text(0.05, 1.5, "none", fontsize=SMALL_PT, color=INK, va="center")
    axes.hlines([1.0], 0.0, 1.0, color=RULE, linewidth=0.5)


def _draw_grades(axes: Axes, course: Course) -> None:
    """Kilometres at each grade, the steepest uphill on top."""
    lengths_km = length_by_grade_m(course, GRADE_EDGES) / 1000.0
    rows = np.arange(len(lengths_km))
    axes.barh(rows, lengths_km, height=0.62, color=FAINT_INK, linewidth=0)
    for row, length_km in enumerate(lengths_km.tolist()):
        axes.annotate(
            at_least_shown(length_km, 1),
            (length_km, row),
            xytext=(3, 0),
            textcoords="offset points",
            fontsize=SMALL_PT,
            color=INK,
            va="center",
        )
    axes.set_yticks(rows, GRADE_NAMES, fontsize=SMALL_PT, color=FAINT_INK)
    axes.tick_params(length=0)
    axes.set_xticks([])
    axes.set_xlim(0.0, 1.16 * float(lengths_km.max()))
    axes.set_ylim(-0.6, len(rows) - 0.3)
    for side in ("top", "right", "bottom"):
        axes.spines[side].set_visible(False)
    axes.spines["left"].set_color(RULE)
