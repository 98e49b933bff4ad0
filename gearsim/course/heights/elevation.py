"""Heights smoothed along distance, so that grade can be believed."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gearsim.course.heights.filter import (
    WANDER_MEMORY_M,
    Variances,
    most_probable,
    road_bands,
    road_height_m,
    shortest_detail_m,
)
from gearsim.course.heights.held import FARTHEST_KNOWN_M, held_heights
from gearsim.course.heights.noise import (
    DEAD_BAND,
    NONE,
    HeightNoise,
    looks_like_terrain_model,
    noise_kind,
    rounding_step_m,
)
from gearsim.course.heights.pieces import (
    WIDEST_GAP_M,
    Pieces,
    members,
    points_between,
    record_pieces,
    sample_pieces,
    stretches_of_points,
    working_pieces,
)
from gearsim.course.heights.strength import most_likely_variances, settled_stiffness
from gearsim.course.heights.trend import Trend, trend_of
from gearsim.course.track import Floats, Indices

__all__ = ["HeightNoise", "SmoothedElevation", "smooth_elevation"]

_LOOSENINGS = 4


@dataclass(frozen=True, kw_only=True)
class SmoothedElevation:
    """Smoothed heights at the nodes asked for, m, and the noise that was found in them."""

    elevation_m: Floats
    noise: HeightNoise


@dataclass(frozen=True, kw_only=True)
class _Heights:
    """Recorded heights above their trend, and what was found of road and noise in them."""

    distance_m: Floats
    above_m: Floats
    trend: Trend
    variances: Variances


def smooth_elevation(distance_m: Floats, elevation_m: Floats, at_m: Floats) -> SmoothedElevation:
    """Heights at `at_m` (rising, m), of the road that the recorded heights make most probable.

    `distance_m` (rising strictly, m) and `elevation_m` (no nan) are the recorded points.  How
    strongly to smooth is chosen from the data, by maximum likelihood (`strength`) on some
    12 km of the route; road and noise are told apart by the model in `filter`.  Where
    points are more than 60 m apart the road is straight from one to the next.  Of an altimeter
    with a dead band only the heights that it knows are taken (`held`), up to 1 km apart.  What a
    terrain model has wrong at bridges and tunnels stays as it is.
    """
    held = held_heights(distance_m, elevation_m)
    if held is None:
        return _smoothed(distance_m, elevation_m, at_m, WIDEST_GAP_M)
    known = _smoothed(distance_m[held.point], held.elevation_m, at_m, FARTHEST_KNOWN_M)
    noise = replace(
        known.noise,
        kind=DEAD_BAND,
        dead_band_m=held.band_m,
        rounding_m=rounding_step_m(elevation_m),
    )
    return replace(known, noise=noise)


def _smoothed(
    distance_m: Floats, elevation_m: Floats, at_m: Floats, widest_gap_m: float
) -> SmoothedElevation:
    """The most probable road, straight where points are more than `widest_gap_m` apart."""
    stretches = stretches_of_points(distance_m, widest_gap_m)
    rounding_m = rounding_step_m(elevation_m)
    if len(stretches) == 0:
        straight_m = np.interp(at_m, distance_m, elevation_m)
        return SmoothedElevation(elevation_m=straight_m, noise=_untold_noise(rounding_m))
    trend = trend_of(distance_m, elevation_m)
    above_m = elevation_m - trend.at(distance_m)
    sample = record_pieces(distance_m, above_m, sample_pieces(distance_m, stretches))
    variances = most_likely_variances(sample, rounding_m)
    heights = _Heights(distance_m=distance_m, above_m=above_m, trend=trend, variances=variances)
    noise = _noise(distance_m, elevation_m, stretches, variances, rounding_m)
    inside_m = np.clip(at_m, distance_m[0], distance_m[-1])
    return SmoothedElevation(elevation_m=_road_m(heights, stretches, inside_m), noise=noise)


def _road_m(heights: _Heights, stretches: Pieces, at_m: Floats) -> Floats:
    """The most probable road at `at_m`: smooth on `stretches`, straight lines in between."""
    alone = ~points_between(len(heights.distance_m), stretches)
    known_m = [heights.distance_m[alone]]
    known_height_m = [heights.above_m[alone] + heights.trend.at(known_m[0])]
    smoothed = []
    for pieces in working_pieces(heights.distance_m, stretches):
        piece, node = members(
            np.searchsorted(at_m, pieces.from_m, "left"),
            np.searchsorted(at_m, pieces.to_m, "right"),
        )
        ends = np.arange(len(pieces))
        places_m = np.concatenate([at_m[node], pieces.from_m, pieces.to_m])
        found_m = _piece_road_m(heights, pieces, np.concatenate([piece, ends, ends]), places_m)
        smoothed.append((node, found_m[: len(node)]))
        known_m.append(places_m[len(node) :])
        known_height_m.append(found_m[len(node) :])
    known = np.concatenate(known_m)
    order = np.argsort(known, kind="stable")
    road_m = np.interp(at_m, known[order], np.concatenate(known_height_m)[order])
    for node, found_m in smoothed:
        road_m[node] = found_m
    return road_m


def _piece_road_m(heights: _Heights, pieces: Pieces, on: Indices, places_m: Floats) -> Floats:
    """The most probable road at `places_m`, each on the piece with number `on`."""
    recorded = record_pieces(heights.distance_m, heights.above_m, pieces)
    even = np.ones(recorded.changes)
    stiffness = settled_stiffness(recorded, heights.variances, even, _LOOSENINGS)
    unknowns, _ = most_probable(recorded, road_bands(recorded, stiffness), heights.variances)
    above_m = road_height_m(recorded.stretches, unknowns, on, places_m)
    return above_m + heights.trend.at(places_m)


def _noise(
    distance_m: Floats,
    elevation_m: Floats,
    stretches: Pieces,
    variances: Variances,
    rounding_m: float,
) -> HeightNoise:
    scatter_m, wander_m = variances.scatter_m2**0.5, variances.wander_m2**0.5
    smoothed_m = float(np.sum(stretches.to_m - stretches.from_m))
    point_every_m = smoothed_m / float(np.sum(stretches.end - stretches.first))
    return HeightNoise(
        kind=noise_kind(
            scatter_m,
            wander_m,
            rounding_m,
            looks_like_terrain_model(distance_m, elevation_m, rounding_m),
        ),
        sd_m=max(scatter_m, wander_m),
        correlation_m=WANDER_MEMORY_M if wander_m > scatter_m else 0.0,
        rounding_m=rounding_m,
        dead_band_m=0.0,
        grade_sd=variances.grade**0.5,
        shortest_detail_m=shortest_detail_m(variances, point_every_m),
        smoothed_share=smoothed_m / float(distance_m[-1] - distance_m[0]),
    )


def _untold_noise(rounding_m: float) -> HeightNoise:
    return HeightNoise(
        kind=NONE,
        sd_m=0.0,
        correlation_m=0.0,
        rounding_m=rounding_m,
        dead_band_m=0.0,
        grade_sd=0.0,
        shortest_detail_m=0.0,
        smoothed_share=0.0,
    )
