"""Lanes along the course: one a candidate, with its bars where the gears do not suit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from numpy.typing import NDArray

from gearsim.output.drawing.profile import rule_kilometres
from gearsim.output.drawing.style import INK, MARKS, RULE, SHADE, Mark
from gearsim.ride.ride import Ride
from gearsim.ride.states import STATES, State

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Floats = NDArray[np.float64]
Spans = NDArray[np.float64]  # (k, 2): from and to, km

MOST_COLUMNS = 240  # bars are a column wide, so that the shortest stretch can be seen
LEAST_MILD, LEAST_HARD = 0.12, 0.35  # of a bar's reach, however short the time


def draw_lanes(axes: Axes, rides: Sequence[Ride], shaded: Spans) -> Axes:
    """Draw a lane for each ride, the first on top, over kilometres; the axes come back.

    A bar is as tall as the time in its column: in full from the ride's mean time for a column on.
    `shaded` (k, 2), in km, is the road that the eye shall follow up to the profile.  Lane `i` has
    its rail at y = -i and reaches 0.5 to both sides.
    """
    length_km = rides[0].course.length_m / 1000.0
    rule_kilometres(axes, length_km)
    axes.set_ylim(-len(rides) + 0.5, 0.5)
    axes.set_yticks([])
    shade(axes, shaded, SHADE)
    rules = 0.5 - np.arange(len(rides) + 1)
    axes.hlines(rules, 0.0, length_km, color=RULE, linewidth=0.5, clip_on=False)
    for state, mark in MARKS.items():
        boxes = [bars(ride, state, mark, -lane) for lane, ride in enumerate(rides)]
        add_bars(axes, np.concatenate(boxes), mark)
    axes.hlines(-np.arange(len(rides)), 0.0, length_km, color=INK, linewidth=0.7, zorder=4)
    return axes


def shade(axes: Axes, spans: Spans, colour: str, *, under_skyline: bool = False) -> None:
    """Shade the spans from the bottom of the drawing to its top, or to the profile's skyline."""
    bottom, top = (np.full(len(spans), end) for end in axes.get_ylim())
    path = boxes_path(np.stack([spans[:, 0], bottom, spans[:, 1], top], axis=1))
    shaded = PathPatch(path, facecolor=colour, linewidth=0.0, zorder=1.5)
    axes.add_artist(shaded)
    if under_skyline:
        shaded.set_clip_path(axes.collections[0].get_paths()[0], axes.transData)


def add_bars(axes: Axes, boxes: Floats, mark: Mark) -> None:
    """Add boxes (k, 4: left, bottom, right, top) in the filling of a mark."""
    axes.add_artist(
        PathPatch(
            boxes_path(boxes),
            facecolor=mark.colour,
            edgecolor=mark.hatch_colour if mark.hatch else "none",
            linewidth=0.0,
            hatch=mark.hatch,
            zorder=2 if mark.mild else 3,
        )
    )


def boxes_path(boxes: Floats) -> Path:
    """Boxes (k, 4) as one path: drawn at once, a hundred times faster than one by one."""
    left, bottom, right, top = boxes.T
    corners = np.stack(
        [left, bottom, left, top, right, top, right, bottom, left, bottom], axis=1
    ).reshape(-1, 2)
    codes = [Path.MOVETO, Path.LINETO, Path.LINETO, Path.LINETO, Path.CLOSEPOLY]
    return Path(corners, np.tile(np.array(codes, dtype=Path.code_type), len(boxes)))


def bars(ride: Ride, state: State, mark: Mark, rail: float) -> Floats:
    """A box in each of the drawing's columns that have some of the state, as tall as its time."""
    columns = min(MOST_COLUMNS, ride.course.intervals)
    column = np.arange(ride.course.intervals) * columns // ride.course.intervals
    in_state = np.where(ride.state == STATES.index(state), ride.duration_s, 0.0)
    share = np.bincount(column, weights=in_state) / (ride.moving_s / columns)
    found = np.flatnonzero(share)
    least = LEAST_MILD if mark.mild else LEAST_HARD
    end = 0.5 * mark.reach * (least + (1.0 - least) * np.minimum(share[found], 1.0))
    left = found * (ride.course.length_m / 1000.0 / columns)
    right = left + ride.course.length_m / 1000.0 / columns
    return np.stack([left, rail + np.minimum(end, 0.0), right, rail + np.maximum(end, 0.0)], axis=1)
