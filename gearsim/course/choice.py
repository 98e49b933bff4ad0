"""Which track of a file is the route."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gearsim.course.counted import counted
from gearsim.course.gpx_in import NamedTrack, RouteFile
from gearsim.course.track import Track, joined, leg_lengths_m, sphere_xyz_m
from gearsim.errors import RouteError

CONTINUES_WITHIN_M = 250.0  # judgement, no source: a recorder's time to find its place again
CONTINUES_WITHIN_S = 24 * 3600.0
LONGEST_LEG_M = 5000.0
LONGEST_LIST = 5


@dataclass(frozen=True, kw_only=True)
class Choice:
    """The track taken as the route, its name, and a sentence saying which it is.

    `parts` are the tracks of the file that it is made of, in that order.
    """

    name: str
    track: Track
    parts: tuple[NamedTrack, ...]
    sentence: str


@dataclass(frozen=True, kw_only=True)
class _Chain:
    """Tracks that go on where the last one ended."""

    parts: tuple[NamedTrack, ...]
    length_m: float


def choose_track(file: RouteFile) -> Choice:
    """The track that is ridden: of several, the longest, with those that continue it.

    A track continues the one before it in the file when it starts within 250 m of its end, and,
    where both have times, not before it ended and within a day; where they have no times, the one
    before must not be a loop, since loops from one start are alternatives.  A `<rte>` is taken
    when no track has two points.  Raises `RouteError` when there is neither.
    """
    tracks = [named for named in file.tracks if named.track.points > 1]
    routes = [named for named in file.routes if named.track.points > 1]
    if not tracks and not routes:
        raise RouteError(_nothing_to_ride(file))
    kind = "track" if tracks else "route"
    chains = _chains(tracks or routes)
    taken = max(chains, key=lambda chain: chain.length_m)
    return Choice(
        name=taken.parts[0].name if taken.parts[0].given else file.title,
        track=joined([part.track for part in taken.parts]),
        parts=taken.parts,
        sentence=_sentence(kind, taken, [chain for chain in chains if chain is not taken]),
    )


def _nothing_to_ride(file: RouteFile) -> str:
    if file.tracks or file.routes:
        found = "its track has only one point"
    elif file.waypoints:
        found = (
            f"it has {counted(len(file.waypoints), 'waypoint')} but no track or route with points"
        )
    else:
        found = "it has no track or route with points"
    return f"{file.path}: {found}; export the route as a GPX track"


def _chains(tracks: Sequence[NamedTrack]) -> list[_Chain]:
    chains: list[_Chain] = []
    for named in tracks:
        length_m = _length_m(named.track)
        if chains and _continues(chains[-1].parts[-1].track, named.track):
            last = chains.pop()
            chains.append(_Chain(parts=(*last.parts, named), length_m=last.length_m + length_m))
        else:
            chains.append(_Chain(parts=(named,), length_m=length_m))
    return chains


def _continues(before: Track, after: Track) -> bool:
    if _between_m(before, -1, after, 0) > CONTINUES_WITHIN_M:
        return False
    pause_s = after.time_s[0] - before.time_s[-1]
    if np.isnan(pause_s):
        return _between_m(before, 0, before, -1) > CONTINUES_WITHIN_M
    return bool(0.0 <= pause_s <= CONTINUES_WITHIN_S)


def _length_m(track: Track) -> float:
    """Length of a track in which one stray point does not count for half the globe."""
    return float(np.minimum(leg_lengths_m(track.xyz_m), LONGEST_LEG_M).sum())


def _between_m(one: Track, i: int, other: Track, j: int) -> float:
    latitude = np.array([one.latitude_deg[i], other.latitude_deg[j]])
    longitude = np.array([one.longitude_deg[i], other.longitude_deg[j]])
    return float(leg_lengths_m(sphere_xyz_m(latitude, longitude))[0])


def _sentence(kind: str, taken: _Chain, left_out: Sequence[_Chain]) -> str:
    names = _listed([part.name for part in taken.parts])
    if len(taken.parts) > 1:
        said = f"{kind}s {names} taken as one, each going on where the last ended"
    else:
        said = f"{kind} {names} taken"
    if not left_out:
        return said if len(taken.parts) > 1 else f"{said}, the only one"
    names = _listed([part.name for chain in left_out for part in chain.parts])
    return f"{said}, the longest; left out: {names}"


def _listed(names: Sequence[str]) -> str:
    shown = ", ".join(f"'{name}'" for name in names[:LONGEST_LIST])
    more = len(names) - LONGEST_LIST
    return f"{shown} and {more} more" if more > 0 else shown
