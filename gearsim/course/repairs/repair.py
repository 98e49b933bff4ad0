"""The track as it came, made fit to measure: repaired with a report, or refused with the reason."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from gearsim.course.counted import counted
from gearsim.course.geodesic import leg_distances_m
from gearsim.course.repairs.heights import (
    gaps_m,
    with_gaps_filled,
    without_height_spikes,
    without_height_steps,
    without_impossible_heights,
    without_zero_dropouts,
)
from gearsim.course.repairs.places import (
    Repaired,
    in_order,
    jump_limit_m,
    without_duplicates,
    without_lost_fixes,
    without_spikes,
    without_stray_ends,
)
from gearsim.course.repairs.restless import without_restless_heights
from gearsim.course.repairs.set_anew import without_heights_set_anew
from gearsim.course.repairs.stops import without_stops
from gearsim.course.repairs.track_repair import TrackRepair
from gearsim.course.track import Floats, Track, usual_long_leg_m
from gearsim.errors import RouteError

SHORTEST_ROUTE_M = 50.0
HOLE_M = 250.0  # a straight line across less needs no word,
HOLE_PER_USUAL_LEG = 5.0  # nor one across less than so many times the usual long leg
PLACES_TOLD = 5

PLACE_REPAIRS: tuple[Callable[[Track], Repaired], ...] = (
    without_lost_fixes,
    in_order,
    without_duplicates,
    without_spikes,
    without_stray_ends,
    without_stops,
    without_duplicates,
)
HEIGHT_SOURCES = "add heights from a terrain model in a route editor"


@dataclass(frozen=True, kw_only=True)
class Repair:
    """One kind of repair: how often, the first places on the course, and a sentence to show."""

    what: str
    count: int
    where_km: tuple[float, ...]
    sentence: str


@dataclass(frozen=True, kw_only=True)
class RepairedTrack:
    """A track without faults that matter: n points, distance rising strictly, heights all known.

    `distance_m` is the WGS84 geodesic distance along the points.
    """

    latitude_deg: Floats
    longitude_deg: Floats
    elevation_m: Floats
    distance_m: Floats
    repairs: tuple[Repair, ...]


def repair_track(track: Track, source: str) -> RepairedTrack:
    """Repair what can be repaired, and tell it; `source` names the file in messages.

    Order, duplicates, spikes, stray ends, stops; then impossible heights, lost zeros, spikes,
    restless stretches, gaps, steps in height and heights set anew at stops.  Raises `RouteError`
    for a route shorter than 50 m, a jump of kilometres, no heights, or heights missing on most of
    the route or for kilometres.
    """
    repairs: list[TrackRepair] = []
    for repair in PLACE_REPAIRS:
        track, made = repair(track)
        repairs += made
    leg_m = leg_distances_m(track.latitude_deg, track.longitude_deg)
    distance_m = np.concatenate([[0.0], np.cumsum(leg_m)])
    _refuse_short(source, track, distance_m)
    _refuse_jump(source, leg_m, distance_m)
    repairs += _holes(track, leg_m)
    elevation_m, made = _repair_heights(source, track, leg_m, distance_m)
    return RepairedTrack(
        latitude_deg=track.latitude_deg,
        longitude_deg=track.longitude_deg,
        elevation_m=elevation_m,
        distance_m=distance_m,
        repairs=tuple(_told(each, track, distance_m) for each in repairs + made),
    )


def _repair_heights(
    source: str, track: Track, leg_m: Floats, distance_m: Floats
) -> tuple[Floats, list[TrackRepair]]:
    elevation_m, impossible = without_impossible_heights(track.elevation_m, track.number)
    _refuse_no_heights(source, elevation_m)
    elevation_m, zeros = without_zero_dropouts(distance_m, elevation_m, track.number)
    elevation_m, spikes = without_height_spikes(distance_m, elevation_m, track.number)
    elevation_m, restless = without_restless_heights(distance_m, elevation_m, track.number)
    _refuse_missing_heights(source, distance_m, elevation_m, jump_limit_m(leg_m))
    elevation_m, gaps = with_gaps_filled(distance_m, elevation_m, track.number)
    elevation_m, steps = without_height_steps(distance_m, elevation_m, track.number)
    elevation_m, anew = without_heights_set_anew(
        track.time_s, distance_m, elevation_m, track.number
    )
    level = _level(elevation_m, track)
    return elevation_m, [*impossible, *zeros, *spikes, *restless, *gaps, *steps, *anew, *level]


def _refuse_short(source: str, track: Track, distance_m: Floats) -> None:
    if distance_m[-1] < SHORTEST_ROUTE_M:
        raise RouteError(
            f"{source}: the route is {distance_m[-1]:.0f} m long ({counted(track.points, 'point')} "
            f"apart from repeats); allowed is {SHORTEST_ROUTE_M:.0f} m and more, "
            "give the whole route"
        )


def _refuse_jump(source: str, leg_m: Floats, distance_m: Floats) -> None:
    limit_m = jump_limit_m(leg_m)
    worst = int(np.argmax(leg_m))
    if leg_m[worst] > limit_m:
        raise RouteError(
            f"{source}: at km {distance_m[worst] / 1000:.1f} the route jumps "
            f"{leg_m[worst] / 1000:.1f} km to the next point; allowed here is "
            f"{limit_m / 1000:.1f} km, draw the missing part in a route editor or cut the file"
        )


def _refuse_no_heights(source: str, elevation_m: Floats) -> None:
    known_m = elevation_m[~np.isnan(elevation_m)]
    if len(known_m) == 0:
        raise RouteError(f"{source}: the route has no heights; {HEIGHT_SOURCES}")
    if not known_m.any():
        raise RouteError(
            f"{source}: every height is 0 m, so the route has none; {HEIGHT_SOURCES} "
            "(for a road that is flat at sea level write 1 m)"
        )


def _refuse_missing_heights(
    source: str, distance_m: Floats, elevation_m: Floats, limit_m: float
) -> None:
    lengths_m = gaps_m(distance_m, elevation_m)
    share = lengths_m.sum() / distance_m[-1]
    if share > 0.5:
        raise RouteError(
            f"{source}: heights are missing or impossible on {100 * share:.0f} % of the route; "
            f"allowed is half, {HEIGHT_SOURCES}"
        )
    if lengths_m.max(initial=0.0) > limit_m:
        at_km = distance_m[np.argmax(np.isnan(elevation_m))] / 1000.0
        raise RouteError(
            f"{source}: heights are missing or impossible for {lengths_m.max() / 1000:.1f} km "
            f"(first at km {at_km:.1f}); allowed here is {limit_m / 1000:.1f} km, {HEIGHT_SOURCES}"
        )


def _holes(track: Track, leg_m: Floats) -> Sequence[TrackRepair]:
    hole = leg_m > max(HOLE_M, HOLE_PER_USUAL_LEG * usual_long_leg_m(leg_m))
    if not hole.any():
        return []
    count = int(hole.sum())
    sentence = (
        f"{counted(count, 'hole')} without points, up to {leg_m.max():.0f} m, "
        "crossed in a straight line"
    )
    number = track.number[:-1][hole]
    return [TrackRepair(what="holes", count=count, sentence=sentence, number=number)]


def _level(elevation_m: Floats, track: Track) -> Sequence[TrackRepair]:
    if np.ptp(elevation_m) > 0.0:
        return []
    sentence = f"every height is {elevation_m[0]:g} m: taken as a flat road"
    return [TrackRepair(what="flat", count=1, sentence=sentence, number=track.number[:1])]


def _told(repair: TrackRepair, track: Track, distance_m: Floats) -> Repair:
    """The repair with its places as kilometres of the repaired track."""
    at_m = np.interp(repair.number, track.number, distance_m)
    every_km = np.unique(np.round(at_m / 1000.0, 1)).tolist()
    where_km = tuple(every_km[:PLACES_TOLD])
    shown = ", ".join(f"{km:.1f}" for km in where_km)
    more = " and on" if len(every_km) > PLACES_TOLD else ""
    return Repair(
        what=repair.what,
        count=repair.count,
        where_km=where_km,
        sentence=f"{repair.sentence}; at km {shown}{more}",
    )
