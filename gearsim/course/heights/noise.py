"""What kind of noise recorded heights have, told by the data alone."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearsim.course.track import Floats

BAROMETRIC = "barometric"
SATELLITE = "satellite"
TERRAIN_MODEL = "terrain model"
DEAD_BAND = "dead band"
WHOLE_METRES = "rounded to whole metres"
NONE = "none to speak of"

_FINEST_STEP_M = 0.005
_COARSE_STEP_M = 0.25
_SATELLITE_SD_M = 1.5  # judgement, no source: satellite heights are off by metres, others by less
_NOTHING_SD_M = 0.08
_NEXT_TO_NOTHING_M = 1_000.0
_ON_STEP, _ALMOST_ALL = 0.1, 0.98
_STANDING_SHARE, _STAIR_STEPS = 0.3, 3.0
_KINK_RATIO, _KINK_GRADE, _KINK_STEP_M = 0.13, 0.005, 0.1  # a normal spread: 0.41


@dataclass(frozen=True, kw_only=True)
class HeightNoise:
    """The noise found in recorded heights, and how strongly they were smoothed for it.

    `kind` is in plain words.  `sd_m` is the standard deviation of the error (of its stronger
    part, where some of it wanders and some differs from point to point), `correlation_m` the
    distance over which it stays much the same (0: it differs from point to point),
    `rounding_m` the step the heights are written in (0: none), `dead_band_m` by how much the road
    has to change for the altimeter to follow (0: it follows at once); the error is then that of
    the heights that it knows.  `grade_sd` is the typical size of the road's own grade, a fraction;
    `shortest_detail_m` the length of the shortest wave of the road that stands out from the noise
    and is kept; `smoothed_share` the part of the route that was smoothed: elsewhere points are too
    far apart to tell noise from road.
    """

    kind: str
    sd_m: float
    correlation_m: float
    rounding_m: float
    dead_band_m: float
    grade_sd: float
    shortest_detail_m: float
    smoothed_share: float

    @property
    def sentence(self) -> str:
        """The noise and the smoothing in a sentence or two, for a report."""
        if self.smoothed_share == 0.0 and self.dead_band_m == 0.0:
            return (
                "Height noise: points stand too far apart to tell noise from road; "
                "heights are left as they came."
            )
        return f"Height noise: {self._error}; {self._smoothing}."

    @property
    def _error(self) -> str:
        words = self.kind
        if self.dead_band_m > 0.0:
            words += f" of {self.dead_band_m:.2g} m"
        elif self.kind != NONE:
            words += (
                f", about {self.sd_m:.1g} m" if self.sd_m < 1.0 else f", about {self.sd_m:.0f} m"
            )
            if self.correlation_m > 0.0:
                words += f" and much the same for some {self.correlation_m:.0f} m"
        if self.rounding_m >= 0.1 and not self.kind.startswith("rounded"):
            words += f", written in steps of {self.rounding_m:.2g} m"
        if self.dead_band_m > 0.0:
            words += (
                "; the altimeter stands still until the height has changed so far, and lower humps "
                "and dips are missing, also from the climb"
            )
        return words

    @property
    def _smoothing(self) -> str:
        parts = [self._smallest_kept] if self.smoothed_share > 0.0 else []
        if self.smoothed_share < 0.99:
            why = "points too far apart and is left as it came"
            if self.dead_band_m > 0.0:
                why = "known heights too far apart and is straight between them"
            parts.append(f"{100.0 * (1.0 - self.smoothed_share):.0f} % of the route has {why}")
        return "; ".join(parts)

    @property
    def _smallest_kept(self) -> str:
        if self.shortest_detail_m > _NEXT_TO_NOTHING_M:
            return "what the road does within a kilometre does not stand out from it"
        return f"waves of the road shorter than {self.shortest_detail_m:.0f} m are smoothed away"


def rounding_step_m(elevation_m: Floats) -> float:
    """The step that heights are written in, m; 0 where they are finer than half a centimetre.

    The largest of a few small rises, and their halves, of which nearly all rises are multiples.
    """
    rise_m = np.abs(np.diff(elevation_m))
    rise_m = rise_m[rise_m > _FINEST_STEP_M]
    if len(rise_m) == 0:
        return 0.0
    small_m = np.quantile(rise_m, (0.0, 0.005, 0.02, 0.1), method="lower")
    for step_m in np.sort(np.concatenate([small_m, 0.5 * small_m]))[::-1]:
        multiples = rise_m[rise_m < 10.5 * step_m] / step_m
        whole = np.round(multiples)
        if np.mean(np.abs(multiples - whole) < _ON_STEP) >= _ALMOST_ALL:
            return float(step_m * np.sum(multiples) / np.sum(whole))
    return 0.0


def looks_like_terrain_model(distance_m: Floats, elevation_m: Floats, rounding_m: float) -> bool:
    """Whether heights come in the cells of a terrain model: as stairs, or straight with kinks."""
    rise_m = np.diff(elevation_m)
    jumps_m = np.abs(rise_m[rise_m != 0.0])
    if len(jumps_m) == 0:
        return False
    standing = 1.0 - len(jumps_m) / len(rise_m)
    finest_m = max(rounding_m, 0.02)
    if standing >= _STANDING_SHARE and np.median(jumps_m) >= _STAIR_STEPS * finest_m:
        return True
    changes = np.abs(np.diff(rise_m / np.diff(distance_m)))
    middle, large = np.quantile(changes, (0.5, 0.9))
    return bool(rounding_m < _KINK_STEP_M and large > _KINK_GRADE and middle < _KINK_RATIO * large)


def noise_kind(scatter_m: float, wander_m: float, rounding_m: float, terrain_model: bool) -> str:
    """The kind of noise, from the standard deviations of scatter and wander and the rounding."""
    if terrain_model:
        return TERRAIN_MODEL
    if max(scatter_m, wander_m) >= max(_SATELLITE_SD_M, rounding_m):
        return SATELLITE
    if rounding_m >= _COARSE_STEP_M and scatter_m < 0.5 * rounding_m:
        return WHOLE_METRES if abs(rounding_m - 1.0) < 0.05 else f"rounded to {rounding_m:.2g} m"
    if max(scatter_m, wander_m) < _NOTHING_SD_M:
        return NONE
    return BAROMETRIC
