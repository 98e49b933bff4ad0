"""The course's profile as a drawing: ground, kilometres, heights, places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course, Place
from gearsim.output.drawing.style import (
    DPI,
    FAINT_INK,
    GROUND,
    INK,
    PAPER,
    RULE,
    SMALL_PT,
    legible,
    width_of_in,
)
from gearsim.output.words import mean_grade, shorten
from gearsim.ride.score import WorstPlace

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Floats = NDArray[np.float64]

MOST_COLUMNS = 700  # of the drawing; each keeps its lowest and highest node
LEAST_HEIGHT_SPAN_M = 60.0  # so that a flat course looks flat
PLACE_LETTERS, PLACE_GAP_IN = 30, 0.15
NEAR_M = 300.0
PLACE_ROWS, PLACE_ROW = 2, 0.09  # lines of names, each so much of the drawing's height
GRADE_EDGE = 0.025  # of the course's length: no grade is written nearer to its ends

_TICK_STEPS_KM = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)


def draw_profile(axes: Axes, course: Course, hardest: Sequence[WorstPlace] = ()) -> Axes:
    """Draw ground and skyline over kilometres, and name the places; the axes come back.

    The `hardest` places get their grades at the foot, and their names before others.
    """
    km, height = thinned(course.distance_m / 1000.0, course.elevation_m)
    low, high = float(height.min()), float(height.max())
    span = max(high - low, LEAST_HEIGHT_SPAN_M)
    floor = low - 0.12 * span
    axes.fill_between(km, height, floor, color=GROUND, linewidth=0)
    axes.plot(km, height, color=INK, linewidth=1.0, solid_joinstyle="round")
    axes.set_ylim(floor, low + 1.28 * span)
    axes.set_yticks(round_ticks(low, low + span, 4))
    axes.set_ylabel("height m", fontsize=SMALL_PT, color=FAINT_INK, labelpad=4)
    rule_kilometres(axes, course.length_m / 1000.0)
    _name_places(axes, course, [place.start_m for place in hardest])
    _write_grades(axes, hardest)
    return axes


def _write_grades(axes: Axes, places: Sequence[WorstPlace]) -> None:
    floor, _ = axes.get_ylim()
    _, length_km = axes.get_xlim()
    for place in places:
        middle_km = (place.start_m + 0.5 * place.length_m) / 1000.0
        axes.annotate(
            mean_grade(place.grade),
            (
                float(np.clip(middle_km, GRADE_EDGE * length_km, (1 - GRADE_EDGE) * length_km)),
                floor,
            ),
            xytext=(0, 2.5),
            textcoords="offset points",
            ha="center",
            va="bottom",
            fontsize=SMALL_PT,
            color=INK,
            bbox={"facecolor": GROUND, "linewidth": 0.0, "pad": 1.0},
        )


def rule_kilometres(axes: Axes, length_km: float) -> None:
    """Set the same kilometre rule on every drawing along the course."""
    step = next(step for step in _TICK_STEPS_KM if length_km / step <= 12.0 or step == 500.0)
    axes.set_xlim(0.0, length_km)
    axes.set_xticks(np.arange(0.0, length_km * (1.0 + 1e-9), step))
    axes.tick_params(length=3, width=0.6, color=RULE, labelsize=SMALL_PT, labelcolor=FAINT_INK)
    axes.grid(axis="x", color=RULE, linewidth=0.5, linestyle=(0, (1, 3)))
    axes.set_axisbelow(True)
    for side in ("top", "right", "left", "bottom"):
        axes.spines[side].set_visible(False)


def round_ticks(low: float, high: float, most: int) -> Floats:
    """Round numbers from low to high, at most `most` + 1 of them."""
    rough = (high - low) / most
    power = 10.0 ** np.floor(np.log10(rough))
    step = next(nice * power for nice in (1.0, 2.0, 5.0, 10.0) if nice * power >= rough)
    ticks: Floats = np.arange(np.ceil(low / step), np.floor(high / step) + 1.0) * step
    return ticks


def thinned(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """A line reduced to the lowest and highest point in each of the drawing's columns."""
    if len(x) <= 2 * MOST_COLUMNS:
        return x, y
    edges = np.linspace(0, len(x), MOST_COLUMNS + 1).astype(int)
    kept = {0, len(x) - 1}
    for first, end in zip(edges[:-1].tolist(), edges[1:].tolist(), strict=True):
        kept.add(first + int(np.argmin(y[first:end])))
        kept.add(first + int(np.argmax(y[first:end])))
    index = np.array(sorted(kept))
    return x[index], y[index]


def _name_places(axes: Axes, course: Course, first_m: Sequence[float]) -> None:
    """Name as many places as there is room for on two lines above the skyline."""
    _, top = axes.get_ylim()
    for label in place_labels(course, axes.bbox.width / DPI, first_m):
        height = float(np.interp(label.at_m, course.distance_m, course.elevation_m))
        axes.annotate(
            label.text,
            (label.at_m / 1000.0, height),
            xytext=(-3 if label.leftwards else 3, 1.0 - label.row * PLACE_ROW),
            textcoords=("offset points", "axes fraction"),
            ha="right" if label.leftwards else "left",
            va="top",
            fontsize=SMALL_PT,
            color=FAINT_INK,
            parse_math=False,
            bbox={"facecolor": PAPER, "linewidth": 0.0, "pad": 0.5},
        )
        axes.plot(
            [label.at_m / 1000.0] * 2,
            [height, top - label.row * PLACE_ROW * (top - axes.get_ylim()[0])],
            color=FAINT_INK,
            linewidth=0.6,
            clip_on=False,
        )


@dataclass(frozen=True, kw_only=True)
class PlaceLabel:
    """A place's name as written: on which line, and whether to the left of its pole."""

    text: str
    at_m: float
    row: int
    leftwards: bool


def place_labels(
    course: Course, width_in: float, first_m: Sequence[float] = ()
) -> list[PlaceLabel]:
    """The places that can be named on two lines without running into one another.

    `width_in` is the drawing's width for the whole course.  Places near one of the distances
    `first_m` are named before others.
    """
    labels: list[PlaceLabel] = []
    rows: list[list[tuple[float, float]]] = [[] for _ in range(PLACE_ROWS)]
    for place in _in_order(course.places, first_m):
        text = shorten(legible(place.name), PLACE_LETTERS)
        length_in = width_of_in(text, SMALL_PT) + PLACE_GAP_IN
        pole_in = place.distance_m / course.length_m * width_in
        leftwards = pole_in + length_in > width_in
        start_in = pole_in - length_in if leftwards else pole_in
        end_in = start_in + length_in
        for row, taken in enumerate(rows):
            if all(end_in <= other_start or start_in >= other for other_start, other in taken):
                taken.append((start_in, end_in))
                labels.append(
                    PlaceLabel(text=text, at_m=place.distance_m, row=row, leftwards=leftwards)
                )
                break
    return labels


def _in_order(places: Sequence[Place], first_m: Sequence[float]) -> list[Place]:
    """The places near one of the distances, then the others."""

    def late(place: Place) -> bool:
        return all(abs(place.distance_m - near_m) > NEAR_M for near_m in first_m)

    return sorted(places, key=late)
