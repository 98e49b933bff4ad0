"""The slow run of the heights: hills and climbs of a kilometre and more."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearsim.course.heights.filter import spline_weights
from gearsim.course.track import Floats

TREND_STEP_M = 700.0


@dataclass(frozen=True, kw_only=True)
class Trend:
    """A smooth curve through the mean heights of one 700 m after another.

    Taking it out before the noise is looked for keeps a steady climb from being taken for
    roughness of the road.  It is the B-spline whose control points are the means: it neither
    rings nor overshoots, and gives a straight slope back as it is.
    """

    start_m: float
    step_m: float
    controls_m: Floats

    def at(self, distance_m: Floats) -> Floats:
        """Height of the trend, m."""
        along = (distance_m - self.start_m) / self.step_m + 0.5
        cell = np.clip(along.astype(np.int64), 0, len(self.controls_m) - 4)
        parts = zip(range(4), spline_weights(along - cell), strict=True)
        return np.asarray(sum(weight * self.controls_m[cell + node] for node, weight in parts))


def trend_of(distance_m: Floats, height_m: Floats) -> Trend:
    """The trend of heights that run straight from point to point."""
    length_m = float(distance_m[-1] - distance_m[0])
    count = max(2, round(length_m / TREND_STEP_M))
    edges_m = distance_m[0] + length_m * np.linspace(0.0, 1.0, count + 1)
    between_m2 = 0.5 * (height_m[1:] + height_m[:-1]) * np.diff(distance_m)
    area_m2 = np.interp(edges_m, distance_m, np.append(0.0, np.cumsum(between_m2)))
    means_m = np.diff(area_m2) / np.diff(edges_m)
    return Trend(
        start_m=float(distance_m[0]), step_m=length_m / count, controls_m=_carried_on(means_m)
    )


def _carried_on(means_m: Floats) -> Floats:
    """Two more means at either end, in line with the last two."""
    before, after = means_m[0] - means_m[1], means_m[-1] - means_m[-2]
    further = np.array([1.0, 2.0])
    return np.concatenate(
        [means_m[0] + further[::-1] * before, means_m, means_m[-1] + further * after]
    )
