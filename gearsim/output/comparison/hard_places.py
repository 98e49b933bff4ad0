"""The hardest places of a comparison: few enough to be named, each told by one stretch of road."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gearsim.output.drawing.style import MARKS
from gearsim.ride.score import WorstPlace
from gearsim.studies.compare import Candidate

MOST_PLACES = 8
PLACE_ROOM = 0.05  # of the course's length, between two of them


@dataclass(frozen=True, kw_only=True)
class HardPlace:
    """A place that is hard on some candidate.

    `worst` is its stretch with `sufferer`, the candidate that fares worst there; `told` the stretch
    of the best candidate that has it too, so that place and grade are those of the verdict.
    """

    told: WorstPlace
    worst: WorstPlace
    sufferer: Candidate


def hardest_places(candidates: Sequence[Candidate]) -> list[HardPlace]:
    """The worst places on foot, below the lowest gear or spun out, far enough apart to be named."""
    room_m = PLACE_ROOM * candidates[0].ride.course.length_m
    hard = [
        (place, candidate)
        for candidate in candidates
        for place in candidate.worst
        if not MARKS[place.state].mild
    ]
    kept: list[HardPlace] = []
    for place, candidate in sorted(hard, key=lambda found: -found[0].weighted_s):
        apart = all(abs(middle_m(place) - middle_m(other.worst)) >= room_m for other in kept)
        if apart and len(kept) < MOST_PLACES:
            told = next(other for other, _ in hard if _overlap(place, other))
            kept.append(HardPlace(told=told, worst=place, sufferer=candidate))
    return kept


def middle_m(place: WorstPlace) -> float:
    """Where the middle of a place is, m from the start."""
    return place.start_m + 0.5 * place.length_m


def _overlap(one: WorstPlace, other: WorstPlace) -> bool:
    ends_m = [place.start_m + place.length_m for place in (one, other)]
    return max(one.start_m, other.start_m) < min(ends_m)
