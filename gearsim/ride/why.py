"""Why the gears do not suit at a place: the gear that was in use there and what it could not do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearsim.physics.forces import air_force_n, bearing_force_n
from gearsim.physics.gearing import speed_mps
from gearsim.ride.arrays import pace_of, road_of
from gearsim.ride.ride import Ride
from gearsim.ride.road import Road
from gearsim.ride.score import WorstPlace
from gearsim.ride.states import STATES, Cause, State
from gearsim.setup.gears import Gears

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Why:
    """What the gear in use could not do at a place.

    `gear` is the lowest below it and on foot, the highest when spun out, else the one used
    longest, at `gear_rpm` on average (0 on foot), with `ridden_power_w` at the cranks.
    `holding_power_w` is what holds the low limit of cadence in that gear, on average, and
    `most_holding_power_w` where it is most.  `wanted_power_w` is the pace's: the power on the flat
    times `pace_factor`.  `next_gear` is the neighbour that would bring the legs nearer the target,
    `next_rpm` the cadence in it at the same speed; None and 0 where there is none.
    """

    gear: int
    gear_rpm: float
    ridden_power_w: float
    holding_power_w: float
    most_holding_power_w: float
    wanted_power_w: float
    pace_factor: float
    next_gear: int | None
    next_rpm: float


def why(ride: Ride, places: Sequence[WorstPlace]) -> tuple[Why, ...]:
    """Why each of the ride's places is among its worst."""
    road = road_of(ride.course, ride.rider, ride.bike, ride.drivetrain, ride.conditions)
    return tuple(_why(ride, place, road) for place in places)


def _why(ride: Ride, place: WorstPlace, road: Road) -> Why:
    gears = ride.gears
    inside = _inside(ride, place)
    gear = _gear_in_question(ride, place, inside)
    in_gear = inside[ride.gear[inside] == gear]
    rpm = _mean(ride.cadence_rpm, in_gear, ride.duration_s)
    holding_w = _holding_power_w(ride, road, gear)
    factor = pace_of(ride.rider, ride.course.grade)
    neighbour = _next_gear(gears, gear, lower=place.state == State.UNDER_BAND)
    if place.cause != Cause.BETWEEN_GEARS:
        neighbour = None
    ratio = 0.0 if neighbour is None else gears.ratio[gear] / gears.ratio[neighbour]
    return Why(
        gear=gear,
        gear_rpm=rpm,
        ridden_power_w=_mean(ride.power_w, inside, ride.duration_s),
        holding_power_w=_mean(holding_w, inside, ride.duration_s),
        most_holding_power_w=float(holding_w[inside].max()),
        wanted_power_w=_mean(ride.wanted_power_w, inside, ride.duration_s),
        pace_factor=_mean(factor, inside, ride.duration_s),
        next_gear=neighbour,
        next_rpm=float(rpm * ratio),
    )


def _inside(ride: Ride, place: WorstPlace) -> NDArray[np.int64]:
    """The intervals of the place that are in its state."""
    first = round(place.start_m / ride.course.step_m)
    end = first + round(place.length_m / ride.course.step_m)
    return first + np.flatnonzero(ride.state[first:end] == STATES.index(place.state))


def _gear_in_question(ride: Ride, place: WorstPlace, inside: NDArray[np.int64]) -> int:
    if place.state in (State.BELOW_LOWEST_GEAR, State.WALKING):
        return ride.gears.lowest
    if place.state == State.SPUN_OUT:
        return ride.gears.highest
    return int(np.argmax(np.bincount(ride.gear[inside], weights=ride.duration_s[inside])))


def _mean(values: Floats, inside: NDArray[np.int64], duration_s: Floats) -> float:
    """Mean over time; 0 over no intervals."""
    time = duration_s[inside]
    return float((values[inside] * time).sum() / time.sum()) if len(inside) else 0.0


def _holding_power_w(ride: Ride, road: Road, gear: int) -> Floats:
    """Power at the cranks that holds the low limit of cadence in a gear, W, (n).

    P = (resistance + air(v) + bearings(v) + chain drag)·v / (1 - loss) at the limit's speed v.
    """
    limit_mps = speed_mps(ride.rider.limits_rpm[0], ride.gears.development_m[gear])
    air_n = air_force_n(limit_mps, road.head_wind_mps, road.air_factor_kgpm)
    bearing_n = bearing_force_n(limit_mps, ride.bike.bearing_factor)
    resisting_n = road.resistance_n + ride.gears.drag_n[gear] + air_n + bearing_n
    power_w = resisting_n * limit_mps / (1.0 - ride.gears.load_loss_share[gear])
    return np.asarray(power_w, dtype=np.float64)


def _next_gear(gears: Gears, gear: int, *, lower: bool) -> int | None:
    """The neighbour on the same ring, else the nearest ratio on another; None at the end."""
    beyond = gears.ratio < gears.ratio[gear] if lower else gears.ratio > gears.ratio[gear]
    same_ring = beyond & (gears.ring == gears.ring[gear])
    choice = np.flatnonzero(same_ring if same_ring.any() else beyond)
    if len(choice) == 0:
        return None
    return int(choice[np.argmin(np.abs(gears.ratio[choice] - gears.ratio[gear]))])
