"""Whether two recordings are of one ride, whole or in part, whatever their files are called."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from gearsim.course.geodesic import leg_distances_m
from gearsim.course.recorded.recording import Recording
from gearsim.course.track import Floats
from gearsim.errors import RouteError

NEAR_M = 100.0  # two recorders of one ride, and a clock that is off by some seconds
SHARED = 0.5  # of the shorter recording's time
SOME_SECONDS = 200


def refuse_same_ride(recordings: Sequence[Recording]) -> None:
    """Raise `RouteError` where a ride comes twice: it would count as two that agree."""
    for one, other in combinations(recordings, 2):
        if same_ride(one, other):
            raise RouteError(
                f"the same ride twice: {one.source} and {other.source}; give each once"
            )


def same_ride(one: Recording, other: Recording) -> bool:
    """Whether two recordings were in the same places at the same times for half of the shorter."""
    from_s, until_s = max(one.began_s, other.began_s), min(one.ended_s, other.ended_s)
    if until_s - from_s < SHARED * min(one.elapsed_s, other.elapsed_s):
        return False
    clock_s = np.linspace(from_s, until_s, SOME_SECONDS)
    apart_m = _apart_m(_place_deg(one, clock_s), _place_deg(other, clock_s))
    return float(np.median(apart_m)) < NEAR_M


def _place_deg(recording: Recording, clock_s: Floats) -> tuple[Floats, Floats]:
    course = recording.course
    along_m = np.interp(clock_s - recording.began_s, recording.time_s, recording.distance_m)
    return (
        np.interp(along_m, course.distance_m, course.latitude_deg),
        np.interp(along_m, course.distance_m, course.longitude_deg),
    )


def _apart_m(one: tuple[Floats, Floats], other: tuple[Floats, Floats]) -> Floats:
    """Distance between two places, for many pairs: every second leg of the path to and fro."""
    latitude, longitude = (np.stack(pair, axis=1).ravel() for pair in zip(one, other, strict=True))
    legs: Floats = leg_distances_m(latitude, longitude)[::2]
    return legs
