"""The hardest places of a comparison: few enough to be named, each told by one stretch of road."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gearsim.ride.ride import Ride
from gearsim.ride.score import WorstPlace
from gearsim.ride.states import STATES, State
from gearsim.studies.compare import Candidate

HARD = (State.WALKING, State.BELOW_LOWEST_GEAR, State.SPUN_OUT)
MOST_PLACES = 8
PLACE_ROOM = 0.05  # of the course's length, between two of them


@dataclass(frozen=True, kw_only=True)
class HardPlace:
    """A place that is hard on some candidate.

    `told` is the stretch of the best candidate that has it among its worst, so that place and grade
    are those of the verdict.  From `start_m` on, over `length_m`, it is hard on one or another;
    there `sufferer` fares worst, in `state` most of the `seconds` that are hard.
    """

    told: WorstPlace
    start_m: float
    length_m: float
    sufferer: Candidate
    state: State
    seconds: float

    @property
    def middle_m(self) -> float:
        """Where its middle is, m from the start."""
        return self.start_m + 0.5 * self.length_m


def hardest_places(candidates: Sequence[Candidate]) -> list[HardPlace]:
    """The worst places on foot, below the lowest gear or spun out, far enough apart to be named."""
    room_m = PLACE_ROOM * candidates[0].ride.course.length_m
    hard = [place for candidate in candidates for place in candidate.worst if place.state in HARD]
    kept: list[HardPlace] = []
    for worst in sorted(hard, key=lambda place: -place.weighted_s):
        if len(kept) == MOST_PLACES:
            break
        found = _hard_place([place for place in hard if _overlap(worst, place)], candidates)
        if all(abs(found.middle_m - other.middle_m) >= room_m for other in kept):
            kept.append(found)
    return kept


def _hard_place(same: Sequence[WorstPlace], candidates: Sequence[Candidate]) -> HardPlace:
    """The place of stretches that lie over each other, the best candidate's first."""
    start_m = min(place.start_m for place in same)
    length_m = max(place.start_m + place.length_m for place in same) - start_m
    spent = [_hard_seconds(candidate.ride, start_m, length_m) for candidate in candidates]
    worst = max(range(len(spent)), key=lambda number: sum(spent[number].values()))
    return HardPlace(
        told=same[0],
        start_m=start_m,
        length_m=length_m,
        sufferer=candidates[worst],
        state=max(HARD, key=lambda state: spent[worst][state]),
        seconds=sum(spent[worst].values()),
    )


def _hard_seconds(ride: Ride, start_m: float, length_m: float) -> dict[State, float]:
    first = round(start_m / ride.course.step_m)
    span = slice(first, first + round(length_m / ride.course.step_m))
    seconds = np.bincount(ride.state[span], ride.duration_s[span], minlength=len(STATES))
    return {state: float(seconds[STATES.index(state)]) for state in HARD}


def _overlap(one: WorstPlace, other: WorstPlace) -> bool:
    ends_m = [place.start_m + place.length_m for place in (one, other)]
    return max(one.start_m, other.start_m) < min(ends_m)
