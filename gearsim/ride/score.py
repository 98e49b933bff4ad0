"""From a ride to seconds in each state, mismatch, and the places where it goes wrong."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from gearsim.ride.counting import Counts, Rates, Told, count, empty_counts
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

    `seconds` has every state, of riding and walking; `stopped_s` is the time stood at stops, which
    is in the finish time alone; `between_gears_s` and `end_of_range_s` split the time under and
    over the band by its cause.  A jump over several sprockets is one of `rear_shifts` and several
    `rear_clicks`.
    """

    seconds: dict[State, float] = field(hash=False)
    weighted_s: float
    between_gears_s: float
    end_of_range_s: float
    rear_shifts: int
    rear_clicks: int
    front_shifts: int
    work_in_j: float
    stopped_s: float = 0.0

    @property
    def moving_s(self) -> float:
        """Time from start to finish without stops, s: that in all states together."""
        return sum(self.seconds.values())

    @property
    def finish_s(self) -> float:
        """Time from start to finish, with stops, s."""
        return self.moving_s + self.stopped_s

    @property
    def pedalling_or_walking_s(self) -> float:
        """Time not coasting, s."""
        return self.moving_s - self.seconds[State.COASTING]

    @property
    def mismatch(self) -> float:
        """0 for gears that always let the rider turn the pedals as wished; more is worse."""
        if self.pedalling_or_walking_s == 0.0:
            return 0.0
        return 100.0 * self.weighted_s / self.pedalling_or_walking_s

    @property
    def rear_shifts_per_hour(self) -> float:
        """Rear shifts an hour of riding."""
        return self.rear_shifts * SECONDS_PER_HOUR / self.moving_s

    @property
    def rear_clicks_per_hour(self) -> float:
        """Sprockets passed an hour of riding."""
        return self.rear_clicks * SECONDS_PER_HOUR / self.moving_s

    @property
    def front_shifts_per_hour(self) -> float:
        """Front shifts an hour of riding."""
        return self.front_shifts * SECONDS_PER_HOUR / self.moving_s


@dataclass(frozen=True, kw_only=True)
class WorstPlace:
    """A stretch of the course where the gears do not suit: where, how steep, how long, what.

    `seconds`, `weighted_s` and `cadence_rpm` are of the time in its state alone.
    """

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
    weighted_s, counts = _counted(ride, weights or Weights())
    return Score(
        seconds=dict(zip(STATES, counts.state_s.tolist(), strict=True)),
        weighted_s=weighted_s,
        between_gears_s=float(counts.cause_s[CAUSES.index(Cause.BETWEEN_GEARS)]),
        end_of_range_s=float(counts.cause_s[CAUSES.index(Cause.END_OF_RANGE)]),
        rear_shifts=ride.rear_shifts,
        rear_clicks=ride.rear_clicks,
        front_shifts=ride.front_shifts,
        work_in_j=ride.energy.work_in_j,
        stopped_s=ride.stopped_s,
    )


def weight_of(ride: Ride, weights: Weights) -> Floats:
    """What a second counts on each interval, (n)."""
    return _counted(ride, weights)[1].weight


def _counted(ride: Ride, weights: Weights) -> tuple[float, Counts]:
    """The weighted seconds of the whole ride, and its counts."""
    rider, counts = ride.rider, empty_counts(len(ride.duration_s))
    told = Told(
        duration_s=ride.duration_s,
        state=ride.state,
        cause=ride.cause,
        cadence_rpm=ride.cadence_rpm,
        power_w=ride.power_w,
        wanted_w=ride.wanted_power_w,
    )
    rates = Rates(
        low_limit_rpm=float(rider.limits_rpm[0]),
        low_edge_rpm=float(rider.band_rpm[0]),
        high_edge_rpm=float(rider.band_rpm[1]),
        high_limit_rpm=float(rider.limits_rpm[1]),
        at_limit=float(weights.at_limit),
        spun_out=float(weights.spun_out),
        below_lowest_gear=float(weights.below_lowest_gear),
        walking=float(weights.walking),
    )
    return count(told, rates, counts), counts


def worst_places(
    ride: Ride, most: int = 5, weights: Weights | None = None
) -> tuple[WorstPlace, ...]:
    """The stretches that add most to the mismatch, worst first.

    A stretch runs on through other states for up to `JOINED_OVER_M`; what is spent in these is not
    counted in it.
    """
    weighted_s = weight_of(ride, weights or Weights()) * ride.duration_s
    stretches = []
    for code, state in enumerate(STATES):
        if state not in (State.ON_TARGET, State.COASTING):
            inside = ride.state == code
            spent_s = np.where(inside, weighted_s, 0.0)
            stretches += [
                (float(spent_s[first:end].sum()), first, end, code)
                for first, end in _stretches(inside, ride.course.step_m)
            ]
    stretches.sort(key=lambda found: (-found[0], found[1]))
    return tuple(_place(ride, *found) for found in stretches[:most] if found[0] > 0.0)


def _stretches(inside: NDArray[np.bool_], step_m: float) -> list[tuple[int, int]]:
    """First interval and end of each stretch of True, joined over short gaps."""
    places = np.flatnonzero(inside)
    if len(places) == 0:
        return []
    gaps = np.flatnonzero(np.diff(places) > max(1.0, JOINED_OVER_M / step_m))
    firsts = places[np.concatenate([[0], gaps + 1])]
    ends = places[np.concatenate([gaps, [len(places) - 1]])] + 1
    return list(zip(firsts.tolist(), ends.tolist(), strict=True))


def _place(ride: Ride, weighted_s: float, first: int, end: int, code: int) -> WorstPlace:
    course, span = ride.course, slice(first, end)
    inside = first + np.flatnonzero(ride.state[span] == code)
    duration = ride.duration_s[inside]
    causes = np.bincount(ride.cause[inside], weights=duration, minlength=len(CAUSES))
    pedalled_s = np.where(ride.cadence_rpm[inside] > 0.0, duration, 0.0)
    turns = (ride.cadence_rpm[inside] * pedalled_s).sum()
    length = course.step_m * (end - first)
    return WorstPlace(
        state=STATES[code],
        cause=CAUSES[1 + int(np.argmax(causes[1:]))] if causes[1:].any() else Cause.NONE,
        start_m=float(course.distance_m[first]),
        length_m=length,
        grade=float((course.elevation_m[end] - course.elevation_m[first]) / length),
        seconds=float(duration.sum()),
        weighted_s=weighted_s,
        cadence_rpm=float(turns / pedalled_s.sum()) if pedalled_s.any() else 0.0,
        speed_mps=float(course.road_length_m[span].sum() / ride.duration_s[span].sum()),
    )
