"""From a ride to seconds in each state, mismatch, and the places where it goes wrong."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from gearsim.ride.ride import Ride
from gearsim.ride.states import CAUSES, STATES, Cause, State
from gearsim.setup.checked import require_between
from gearsim.units import SECONDS_PER_HOUR

Floats = NDArray[np.float64]

JOINED_OVER_M = 50.0
"""Gap over which two stretches of one state are told as one place."""


@dataclass(frozen=True, kw_only=True)
class Weights:
    """What a second in each state counts in the mismatch; a second on target counts nothing.

    A second off the band counts from 0 at the band's edge, rising linearly, to `at_limit` at the
    limit.  A second below the lowest gear counts `below_lowest_gear` times how many times the
    wanted power is pushed: a lower gear takes longer over the same wall with less effort, and
    must not count more for it.

    Raises `PlanError` for a negative weight.
    """

    at_limit: float = 1.0
    spun_out: float = 1.0
    below_lowest_gear: float = 2.0
    walking: float = 3.0

    def __post_init__(self) -> None:
        """Refuse weights that would reward trouble."""
        for name in ("at_limit", "spun_out", "below_lowest_gear", "walking"):
            require_between(f"score.{name}", getattr(self, name), 0.0, 100.0)


@dataclass(frozen=True, kw_only=True)
class Score:
    """A ride in additive amounts: seconds, weighted seconds, counts.

    `seconds` has every state; `between_gears_s` and `end_of_range_s` split the time under and
    over the band by its cause.
    """

    seconds: dict[State, float] = field(hash=False)
    weighted_s: float
    between_gears_s: float
    end_of_range_s: float
    rear_shifts: int
    front_shifts: int
    work_in_j: float

    @property
    def finish_s(self) -> float:
        """Time from start to finish, s."""
        return sum(self.seconds.values())

    @property
    def pedalling_or_walking_s(self) -> float:
        """Time not coasting, s."""
        return self.finish_s - self.seconds[State.COASTING]

    @property
    def mismatch(self) -> float:
        """0 for gears that always let the rider turn the pedals as wished; more is worse."""
        if self.pedalling_or_walking_s == 0.0:
            return 0.0
        return 100.0 * self.weighted_s / self.pedalling_or_walking_s

    @property
    def rear_shifts_per_hour(self) -> float:
        """Rear shifts an hour of the ride."""
        return self.rear_shifts * SECONDS_PER_HOUR / self.finish_s

    @property
    def front_shifts_per_hour(self) -> float:
        """Front shifts an hour of the ride."""
        return self.front_shifts * SECONDS_PER_HOUR / self.finish_s


@dataclass(frozen=True, kw_only=True)
class WorstPlace:
    """A stretch of the course where the gears do not suit: where, how steep, how long, what."""

    state: State
    cause: Cause
    start_m: float
    length_m: float
    grade: float
    seconds: float
    weighted_s: float
    cadence_rpm: float
    speed_mps: float


def score(ride: Ride, weights: Weights | None = None) -> Score:
    """Seconds in each state and their weighted sum."""
    weights = weights or Weights()
    seconds = np.bincount(ride.state, weights=ride.duration_s, minlength=len(STATES))
    by_cause = np.bincount(ride.cause, weights=ride.duration_s, minlength=len(CAUSES))
    return Score(
        seconds={state: float(seconds[code]) for code, state in enumerate(STATES)},
        weighted_s=float((weight_of(ride, weights) * ride.duration_s).sum()),
        between_gears_s=float(by_cause[CAUSES.index(Cause.BETWEEN_GEARS)]),
        end_of_range_s=float(by_cause[CAUSES.index(Cause.END_OF_RANGE)]),
        rear_shifts=ride.rear_shifts,
        front_shifts=ride.front_shifts,
        work_in_j=ride.energy.work_in_j,
    )


def weight_of(ride: Ride, weights: Weights) -> Floats:
    """What a second counts on each interval, (n)."""
    low_limit, high_limit = ride.rider.limits_rpm
    low_edge, high_edge = ride.rider.band_rpm
    under = (low_edge - ride.cadence_rpm) / (low_edge - low_limit)
    over = (ride.cadence_rpm - high_edge) / (high_limit - high_edge)
    # Over the band without power: freewheeling in too low a gear counts as at the limit.
    over = np.where(ride.power_w == 0.0, 1.0, over)
    by_state: dict[State, Floats | float] = {
        State.UNDER_BAND: weights.at_limit * np.clip(under, 0.0, 1.0),
        State.OVER_BAND: weights.at_limit * np.clip(over, 0.0, 1.0),
        State.SPUN_OUT: weights.spun_out,
        State.BELOW_LOWEST_GEAR: weights.below_lowest_gear * _times_wanted_power(ride),
        State.WALKING: weights.walking,
    }
    weight = np.zeros(len(ride.state))
    for state, value in by_state.items():
        inside = ride.state == STATES.index(state)
        weight[inside] = np.broadcast_to(value, weight.shape)[inside]
    return weight


def _times_wanted_power(ride: Ride) -> Floats:
    """How many times the wanted power the rider pushes, at least 1, (n)."""
    wanted = np.where(ride.wanted_power_w > 0.0, ride.wanted_power_w, np.inf)
    return np.maximum(ride.power_w / wanted, 1.0)


def worst_places(
    ride: Ride, most: int = 5, weights: Weights | None = None
) -> tuple[WorstPlace, ...]:
    """The stretches that add most to the mismatch, worst first.

    A stretch runs on through other states for up to `JOINED_OVER_M`.
    """
    weight = weight_of(ride, weights or Weights())
    found = [
        _place(ride, weight, first, end)
        for code, state in enumerate(STATES)
        if state not in (State.ON_TARGET, State.COASTING)
        for first, end in _stretches(ride.state == code, ride.course.step_m)
    ]
    found.sort(key=lambda place: (-place.weighted_s, place.start_m))
    return tuple(place for place in found[:most] if place.weighted_s > 0.0)


def _stretches(inside: NDArray[np.bool_], step_m: float) -> list[tuple[int, int]]:
    """First interval and end of each stretch of True, joined over short gaps."""
    places = np.flatnonzero(inside)
    if len(places) == 0:
        return []
    gaps = np.flatnonzero(np.diff(places) > max(1.0, JOINED_OVER_M / step_m))
    firsts = places[np.concatenate([[0], gaps + 1])]
    ends = places[np.concatenate([gaps, [len(places) - 1]])] + 1
    return list(zip(firsts.tolist(), ends.tolist(), strict=True))


def _place(ride: Ride, weight: Floats, first: int, end: int) -> WorstPlace:
    span = slice(first, end)
    course, duration = ride.course, ride.duration_s[span]
    seconds = np.bincount(ride.state[span], weights=duration, minlength=len(STATES))
    causes = np.bincount(ride.cause[span], weights=duration, minlength=len(CAUSES))
    off_target = [state for state in STATES if state not in (State.ON_TARGET, State.COASTING)]
    state = max(off_target, key=lambda found: float(seconds[STATES.index(found)]))
    pedalled = ride.cadence_rpm[span] > 0.0
    turns = (ride.cadence_rpm[span] * duration)[pedalled].sum()
    cadence = turns / duration[pedalled].sum() if pedalled.any() else 0.0
    length = course.step_m * (end - first)
    return WorstPlace(
        state=state,
        cause=CAUSES[1 + int(np.argmax(causes[1:]))] if causes[1:].any() else Cause.NONE,
        start_m=float(course.distance_m[first]),
        length_m=length,
        grade=float((course.elevation_m[end] - course.elevation_m[first]) / length),
        seconds=float(duration.sum()),
        weighted_s=float((weight[span] * duration).sum()),
        cadence_rpm=float(cadence),
        speed_mps=float(course.road_length_m[span].sum() / duration.sum()),
    )
