"""The route's shape on the map, plain."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from gearsim.course.course import Course
from gearsim.output.drawing.style import FAINT_INK, INK, SMALL_PT

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MOST_POINTS = 1500
KM_PER_DEGREE = 111.2  # of latitude, to scale a picture by
_BARS_KM = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0)


def draw_map(axes: Axes, course: Course) -> Axes:
    """Draw the course north up with its start, its finish and a scale; the axes come back."""
    every = max(1, (course.intervals + 1) // MOST_POINTS)
    nodes = np.append(np.arange(0, course.intervals, every), course.intervals)
    latitude = course.latitude_deg[nodes]
    longitude = np.unwrap(course.longitude_deg[nodes], period=360.0)
    middle = float(np.radians(0.5 * (latitude.min() + latitude.max())))
    east = (longitude - longitude.min()) * np.cos(middle) * KM_PER_DEGREE
    north = (latitude - latitude.min()) * KM_PER_DEGREE
    axes.set_axis_off()
    axes.set_aspect("equal", anchor="N")
    axes.plot(east, north, color=INK, linewidth=1.1, solid_joinstyle="round")
    axes.plot(east[0], north[0], marker="o", markersize=6, color=INK)
    axes.plot(east[-1], north[-1], marker="s", markersize=9, markerfacecolor="none", color=INK)
    _draw_scale(axes, float(max(east.max(), north.max(), 0.1)), float(east.max()))
    return axes


def _draw_scale(axes: Axes, size_km: float, width_km: float) -> None:
    bar_km = max((bar for bar in _BARS_KM if bar <= 0.3 * size_km), default=_BARS_KM[0])
    below = -0.12 * size_km
    start = 0.5 * (width_km - bar_km)
    axes.plot([start, start + bar_km], [below, below], color=INK, linewidth=1.2)
    axes.annotate(
        f"{bar_km:g} km; north is up\n● start   □ finish",
        (0.5 * width_km, below),
        xytext=(0, -4),
        textcoords="offset points",
        fontsize=SMALL_PT,
        color=FAINT_INK,
        ha="center",
        va="top",
    )
