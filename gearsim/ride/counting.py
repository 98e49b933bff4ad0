"""What a ride adds up to, compiled: one walk over its intervals for each question."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gearsim.ride.compiler import inlined, loop
from gearsim.ride.states import CAUSES, STATES, State

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

UNDER_BAND = STATES.index(State.UNDER_BAND)
OVER_BAND = STATES.index(State.OVER_BAND)
BELOW_LOWEST_GEAR = STATES.index(State.BELOW_LOWEST_GEAR)
WALKING = STATES.index(State.WALKING)
SPUN_OUT = STATES.index(State.SPUN_OUT)


class Told(NamedTuple):
    """What is told of each interval, (n)."""

    duration_s: Floats
    state: Integers
    cause: Integers
    cadence_rpm: Floats
    power_w: Floats
    wanted_w: Floats


class Rates(NamedTuple):
    """The rider's cadences, and what a second in each state counts."""

    low_limit_rpm: float
    low_edge_rpm: float
    high_edge_rpm: float
    high_limit_rpm: float
    at_limit: float
    spun_out: float
    below_lowest_gear: float
    walking: float


class Counts(NamedTuple):
    """Seconds in each state and of each cause, and what a second counts on each interval, (n)."""

    state_s: Floats
    cause_s: Floats
    weight: Floats


def empty_counts(intervals: int) -> Counts:
    """Counts before the first of n intervals."""
    return Counts(
        state_s=np.zeros(len(STATES)), cause_s=np.zeros(len(CAUSES)), weight=np.empty(intervals)
    )


@inlined
def share(part: float, whole: float) -> float:
    """How far along a part is, from 0 to 1."""
    return min(max(part / whole, 0.0), 1.0)


@inlined
def weight_at(i: int, told: Told, rates: Rates) -> float:
    """What a second of interval i counts."""
    state, rpm = told.state[i], told.cadence_rpm[i]
    if state == UNDER_BAND:
        width = rates.low_edge_rpm - rates.low_limit_rpm
        return rates.at_limit * share(rates.low_edge_rpm - rpm, width)
    if state == OVER_BAND:
        # Over the band without power: freewheeling in too low a gear counts as at the limit.
        if told.power_w[i] == 0.0:
            return rates.at_limit
        width = rates.high_limit_rpm - rates.high_edge_rpm
        return rates.at_limit * share(rpm - rates.high_edge_rpm, width)
    if state == BELOW_LOWEST_GEAR:
        wanted = told.wanted_w[i]
        times_wanted = told.power_w[i] / wanted if wanted > 0.0 else 1.0
        return rates.below_lowest_gear * max(times_wanted, 1.0)
    if state == SPUN_OUT:
        return rates.spun_out
    return rates.walking if state == WALKING else 0.0


@loop
def count(told: Told, rates: Rates, counts: Counts) -> float:
    """Write the counts; give the weighted seconds of all intervals."""
    weighted_s = 0.0
    for i in range(len(told.state)):
        lasting_s, weight = told.duration_s[i], weight_at(i, told, rates)
        counts.state_s[told.state[i]] += lasting_s
        counts.cause_s[told.cause[i]] += lasting_s
        counts.weight[i] = weight
        weighted_s += weight * lasting_s
    return weighted_s


@loop
def places_passed(gear: Integers, place: Integers) -> int:
    """Sprockets (or gears of a hub) that are passed in all shifts between these gears."""
    passed = 0
    for i in range(1, len(gear)):
        passed += abs(place[gear[i]] - place[gear[i - 1]])
    return passed
