"""The places that matter on the road for one drivetrain, in riding order, few enough to use."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from gearsim.course.runs import runs
from gearsim.ride.ride import Ride
from gearsim.ride.states import STATES, State

Mask = NDArray[np.bool_]

MOST_CUES = 30  # a page
NAMED_WITHIN_M = 150.0  # a place so near is where it begins
ONE_PLACE_M = 100.0  # a change of ring so near to another cue is told with it
LEAST_RISE_M = 5.0  # of a climb worth a smaller ring


class Advice(StrEnum):
    """What to expect or do at a place, the hardest on the rider first."""

    WALK = "walk"
    PUSH_HARD = "push hard"
    SPUN_OUT = "spun out"
    LOWEST_GEAR = "lowest gear"
    SMALLER_RING = "smaller ring"


@dataclass(frozen=True, kw_only=True)
class _Rule:
    """Which stretches become cues.

    Those of one advice at most `joined_m` apart become one; those that hold less than `least_m` of
    it are none.  `weight` times seconds says which to keep where there are too many; places to
    walk come before all others.
    """

    joined_m: float
    least_m: float
    weight: float


_RULES = {
    Advice.WALK: _Rule(joined_m=150.0, least_m=0.0, weight=3.0),
    Advice.PUSH_HARD: _Rule(joined_m=150.0, least_m=30.0, weight=2.0),
    Advice.SPUN_OUT: _Rule(joined_m=500.0, least_m=100.0, weight=1.0),
    Advice.LOWEST_GEAR: _Rule(joined_m=500.0, least_m=200.0, weight=0.1),
    Advice.SMALLER_RING: _Rule(joined_m=200.0, least_m=200.0, weight=0.1),
}
"""Judgement, no source: what can be read and acted upon from the saddle."""


@dataclass(frozen=True, kw_only=True)
class Cue:
    """A place and what to expect there.

    `grade` is the mean over `length_m`, `steepest_grade` that of the steepest interval (downhill
    where spun out); `advised_m` is how much of the length the advice is about (the rest joins its
    parts); `gear` is the gear used longest; `near` names the place of the course where it begins
    ("": none); `ring_first` says that the rider changes to a smaller ring ahead of it.
    """

    advice: Advice
    start_m: float
    length_m: float
    advised_m: float
    grade: float
    steepest_grade: float
    seconds: float
    speed_mps: float
    cadence_rpm: float
    gear: int
    near: str
    ring_first: bool


@dataclass(frozen=True, kw_only=True)
class CueSheet:
    """Cues in riding order; `left_out` counts the less important ones that were too many."""

    cues: tuple[Cue, ...]
    left_out: int


def cue_sheet(ride: Ride, most: int = MOST_CUES) -> CueSheet:
    """Where to walk, push hard, spin out, be in the lowest gear, and change to a smaller ring.

    Stretches of one advice that are near each other are one cue, short ones of a mild advice are
    none, and a place already advised on is not told again for something milder.
    """
    found = _one_a_place(list(_cues(ride)))
    weighty = sorted(found, key=_importance, reverse=True)[:most]
    return CueSheet(
        cues=tuple(sorted(weighty, key=lambda cue: (cue.start_m, cue.advice))),
        left_out=len(found) - len(weighty),
    )


def _importance(cue: Cue) -> tuple[bool, float]:
    return cue.advice == Advice.WALK, _RULES[cue.advice].weight * cue.seconds


def _cues(ride: Ride) -> Iterator[Cue]:
    taken = np.zeros(ride.course.intervals, dtype=bool)
    for advice, inside in _advised(ride).items():
        rule, step_m = _RULES[advice], ride.course.step_m
        # A change of ring is told although the climb after it is told of too.
        free = inside if advice == Advice.SMALLER_RING else inside & ~taken
        for first, end in _joined(free, rule.joined_m / step_m):
            if free[first:end].sum() * step_m < rule.least_m:
                continue
            if advice == Advice.SMALLER_RING and not _leads_up(ride, first, end):
                continue
            taken[first:end] = True
            yield _cue(ride, advice, first, end, free[first:end])


def _advised(ride: Ride) -> dict[Advice, Mask]:
    """The intervals that each advice is about, (n) each."""
    in_state = {state: ride.state == code for code, state in enumerate(STATES)}
    lowest = ride.gears.ratio[ride.gear] == ride.gears.ratio[ride.gears.lowest]
    turning = in_state[State.ON_TARGET] | in_state[State.UNDER_BAND]
    return {
        Advice.WALK: in_state[State.WALKING],
        Advice.PUSH_HARD: in_state[State.BELOW_LOWEST_GEAR],
        Advice.SPUN_OUT: in_state[State.SPUN_OUT],
        Advice.LOWEST_GEAR: lowest & turning & (ride.course.grade > 0.0),
        Advice.SMALLER_RING: ride.gears.ring[ride.gear] > ride.gears.ring[ride.gear].min(),
    }


def _joined(inside: Mask, gap: float) -> list[tuple[int, int]]:
    """First interval and end of each stretch of True, joined over gaps of at most so many."""
    joined: list[tuple[int, int]] = []
    for first, last in zip(*(ends.tolist() for ends in runs(inside)), strict=True):
        if joined and first - joined[-1][1] <= gap:
            first, _ = joined.pop()
        joined.append((first, last + 1))
    return joined


def _leads_up(ride: Ride, first: int, end: int) -> bool:
    """Whether the rider changes down at `first` for a climb; not where the ride begins so."""
    height = ride.course.elevation_m
    return first > 0 and bool(height[first : end + 1].max() - height[first] >= LEAST_RISE_M)


def _cue(ride: Ride, advice: Advice, first: int, end: int, inside: Mask) -> Cue:
    span, step_m = slice(first, end), ride.course.step_m
    duration, rpm = ride.duration_s[span], ride.cadence_rpm[span]
    grade = np.diff(ride.course.elevation_m[first : end + 1]) / step_m
    road_m = step_m * np.sqrt(1.0 + grade**2)
    pedalled_s = float(duration[rpm > 0.0].sum())
    return Cue(
        advice=advice,
        start_m=first * step_m,
        length_m=step_m * (end - first),
        advised_m=step_m * float(inside.sum()),
        grade=float(grade.mean()),
        steepest_grade=float(grade.min() if advice == Advice.SPUN_OUT else grade.max()),
        seconds=float(duration.sum()),
        speed_mps=float(road_m.sum() / duration.sum()),
        cadence_rpm=float((rpm * duration).sum()) / pedalled_s if pedalled_s > 0.0 else 0.0,
        gear=int(np.argmax(np.bincount(ride.gear[span], weights=duration))),
        near=_near(ride, first * step_m),
        ring_first=advice == Advice.SMALLER_RING,
    )


def _one_a_place(cues: list[Cue]) -> list[Cue]:
    """The cues with each change of ring told by the cue that begins where it is made, if any."""
    changes = [cue for cue in cues if cue.advice == Advice.SMALLER_RING]
    others = [cue for cue in cues if cue.advice not in (Advice.SMALLER_RING, Advice.SPUN_OUT)]
    alone = [change for change in changes if all(not _told_with(change, other) for other in others)]
    told = [
        replace(other, ring_first=any(_told_with(change, other) for change in changes))
        for other in others
    ]
    return [*told, *(cue for cue in cues if cue.advice == Advice.SPUN_OUT), *alone]


def _told_with(change: Cue, other: Cue) -> bool:
    return 0.0 <= other.start_m - change.start_m <= ONE_PLACE_M


def _near(ride: Ride, at_m: float) -> str:
    near = [p for p in ride.course.places if abs(p.distance_m - at_m) <= NAMED_WITHIN_M]
    return min(near, key=lambda place: abs(place.distance_m - at_m)).name if near else ""
