"""How far the predicted times may be off: the same ride by a model that errs as published."""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gearsim.course.climbs import Climb, climbs
from gearsim.ride.ride import Ride
from gearsim.ride.score import Score, Weights, score
from gearsim.ride.simulate import simulate
from gearsim.setup.rider import Rider
from gearsim.studies.compare import Candidate, Comparison, Ends

MEAN_ERROR = -0.0095
ERROR_BAND = (-0.104, 0.085)
"""Climbing power from such a model against a power meter: mean and 95 % interval, as fractions
(Millet GP, Tronche C, Grappe F 2014, IJSPP 9:777-782)."""

MOST_CLIMBS = 12
LEADERS = 3  # candidates ridden again to see whether they stay ahead
UPHILL_GRADE = 0.02

POWERS_W = (20.0, 3000.0)  # what a rider can be; see Rider


@dataclass(frozen=True, kw_only=True)
class TimeBand:
    """A stretch, or kind of road: its length on the road, m, and its time at either end, s.

    `slow_s` and `fast_s` are those at the two ends of the published error, `likely_s` as predicted.
    """

    name: str
    road_m: float
    slow_s: float
    likely_s: float
    fast_s: float


@dataclass(frozen=True, kw_only=True)
class ClimbBand:
    """A climb and its times."""

    climb: Climb
    times: TimeBand


@dataclass(frozen=True, kw_only=True)
class FinishBand:
    """One ride and its two twins at the ends of the published error of power.

    `grounds` are uphill, level and downhill road; `climbs` the largest climbs, in riding order,
    of `all_climbs`.
    """

    slow: Score
    likely: Score
    fast: Score
    grounds: tuple[TimeBand, ...]
    climbs: tuple[ClimbBand, ...]
    all_climbs: int


def finish_band(ride: Ride, weights: Weights | None = None) -> FinishBand:
    """Ride it again with all of the rider's powers at either end of the published error.

    A model that asks for 8.5 % too much power is right about a rider of 8.5 % more: so the ride of
    that rider is how fast this one may turn out to be.
    """
    with ThreadPoolExecutor() as pool:  # the compiled loops release the interpreter lock
        slow, fast = pool.map(lambda error: _with_power(ride, 1.0 + error), ERROR_BAND)
    rides = (slow, ride, fast)
    found = climbs(ride.course)
    largest = sorted(found, key=lambda climb: -climb.gain_m)[:MOST_CLIMBS]
    return FinishBand(
        slow=score(slow, weights),
        likely=score(ride, weights),
        fast=score(fast, weights),
        grounds=_grounds(rides),
        climbs=tuple(
            _climb_band(rides, climb) for climb in sorted(largest, key=lambda climb: climb.start_m)
        ),
        all_climbs=len(found),
    )


def with_ends(comparison: Comparison, weights: Weights | None = None) -> Comparison:
    """The comparison with the leaders' scores at both ends of the published error of power."""

    def ends(candidate: Candidate) -> Ends:
        slow, fast = (
            score(_with_power(candidate.ride, 1.0 + error), weights) for error in ERROR_BAND
        )
        return Ends(slow=slow, fast=fast)

    leaders, others = comparison.candidates[:LEADERS], comparison.candidates[LEADERS:]
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        found = list(pool.map(ends, leaders))
    told = [replace(each, ends=end) for each, end in zip(leaders, found, strict=True)]
    return replace(comparison, candidates=(*told, *others))


def _with_power(ride: Ride, factor: float) -> Ride:
    rider = _scaled(ride.rider, factor)
    return simulate(ride.course, rider, ride.bike, ride.drivetrain, ride.conditions)


def _scaled(rider: Rider, factor: float) -> Rider:
    """The rider with every power and the reserve times `factor`, within what a rider can be."""
    low_w, high_w = POWERS_W
    power_w = float(np.clip(factor * rider.power_w, low_w, 2000.0))
    return replace(
        rider,
        power_w=power_w,
        critical_power_w=float(np.clip(factor * rider.critical_w, low_w, 2000.0)),
        largest_power_w=float(np.clip(factor * rider.largest_w, power_w, high_w)),
        reserve_j=min(factor * rider.reserve_j, 100_000.0),
    )


def _grounds(rides: tuple[Ride, Ride, Ride]) -> tuple[TimeBand, ...]:
    course = rides[0].course
    grade = course.grade
    kinds = {
        "uphill": grade > UPHILL_GRADE,
        "level": np.abs(grade) <= UPHILL_GRADE,
        "downhill": grade < -UPHILL_GRADE,
    }
    return tuple(_time_band(name, rides, inside) for name, inside in kinds.items() if inside.any())


def _climb_band(rides: tuple[Ride, Ride, Ride], climb: Climb) -> ClimbBand:
    course = rides[0].course
    middle_m = course.distance_m[:-1] + 0.5 * course.step_m
    inside = (middle_m > climb.start_m) & (middle_m < climb.end_m)
    return ClimbBand(climb=climb, times=_time_band("climb", rides, inside))


def _time_band(name: str, rides: tuple[Ride, Ride, Ride], inside: NDArray[np.bool_]) -> TimeBand:
    slow_s, likely_s, fast_s = (float(ride.duration_s[inside].sum()) for ride in rides)
    road_m = float(rides[0].course.road_length_m[inside].sum())
    return TimeBand(name=name, road_m=road_m, slow_s=slow_s, likely_s=likely_s, fast_s=fast_s)
