"""Values → arrays → compiled loops → a complete ride."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.ride import kernel, shifting
from gearsim.ride.arrays import (
    body_of,
    gear_table_of,
    ladder_of,
    road_of,
    total_mass_kg,
    wishes_of,
)
from gearsim.ride.compiled import drop_stale_code
from gearsim.ride.ride import Energy, Ride
from gearsim.ride.states import CAUSES, STATES, Cause, State
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import Gears, gears_of
from gearsim.setup.rider import Rider
from gearsim.units import GRAVITY_MPS2, SECONDS_PER_MINUTE

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]

MOST_PASSES = 20
FIRST_WORTH_S = 0.1
"""Gain, in seconds at the limit of cadence, for which a shift plan is first changed again."""

drop_stale_code()  # before the first call loads any

_STATE_OF_MODE = {
    kernel.BELOW_LOWEST_GEAR: State.BELOW_LOWEST_GEAR,
    kernel.WALKING: State.WALKING,
    kernel.SPUN_OUT: State.SPUN_OUT,
    kernel.COASTING: State.COASTING,
}


def simulate(
    course: Course, rider: Rider, bike: Bike, drivetrain: Drivetrain, conditions: Conditions
) -> Ride:
    """Ride the course once, with the gears at their best use.

    Ride and shift plan are repeated until the gears no longer change.

    Raises `PlanError` where the ride cannot be computed, naming the place on the course.
    """
    gears = gears_of(drivetrain, bike)
    road = road_of(course, rider, bike, drivetrain, conditions)
    body = body_of(course, rider, bike, drivetrain)
    trace = kernel.empty_trace(course.intervals, rider.reserve_j)
    table = gear_table_of(gears, rider)
    gear, passes, settled = _settle(trace, road, body, table, ladder_of(gears), wishes_of(rider))
    _require_finite(trace, course)
    books = kernel.close_books(gear, trace, road, body, table)
    cadence = _cadence_rpm(trace, road, gears, gear)
    state, cause = _states(trace, rider, gears, gear, cadence)
    rear, front = _shifts(gears, gear)
    return Ride(
        course=course,
        rider=rider,
        bike=bike,
        drivetrain=drivetrain,
        conditions=conditions,
        gears=gears,
        node_speed_mps=trace.speed_mps,
        duration_s=trace.duration_s,
        power_w=trace.power_w,
        wanted_power_w=road.wanted_w,
        cadence_rpm=cadence,
        gear=gear,
        state=state,
        cause=cause,
        reserve_j=trace.reserve_j[1:],
        rear_shifts=rear,
        front_shifts=front,
        energy=_energy(
            course, trace, road, books, total_mass_kg(rider, bike, drivetrain), body.mass_kg
        ),
        passes=passes,
        settled=settled,
    )


def _settle(
    trace: kernel.Trace,
    road: kernel.Road,
    body: kernel.Body,
    table: kernel.GearTable,
    ladder: shifting.Ladder,
    wishes: shifting.Wishes,
) -> tuple[Codes, int, bool]:
    """Repeat ride and shift plan in the trace until the gears no longer change.

    A shift costs speed, and speed decides where to shift, so two plans can each call for the
    other.  From the second repeat on a stretch keeps its gears unless others gain more than a
    worth that doubles each time: a rider who does not change their mind for next to nothing.
    """
    path = shifting.empty_path(len(trace.duration_s), ladder)
    planned = np.empty(len(trace.duration_s), dtype=np.int64)
    gear = np.full(len(trace.duration_s), kernel.NO_GEAR, dtype=np.int64)
    before, worth_s = gear, 0.0
    for passes in range(1, MOST_PASSES + 1):
        kernel.ride_pass(gear, before, trace, road, body, table)
        shifting.least_cost_rows(path, road, trace, ladder, wishes)
        shifting.trace_back(path, ladder, planned)
        before = gear.copy()
        if passes == 1:
            gear[:] = planned
        elif shifting.take_gains(gear, planned, worth_s, road, trace, ladder, wishes) == 0:
            return gear, passes, True
        else:
            worth_s = max(2.0 * worth_s, FIRST_WORTH_S)
    kernel.ride_pass(gear, before, trace, road, body, table)
    return gear, MOST_PASSES + 1, False


def _require_finite(trace: kernel.Trace, course: Course) -> None:
    bad = ~np.isfinite(trace.duration_s)
    if bad.any():
        km = course.distance_m[int(np.argmax(bad))] / 1000.0
        raise PlanError(
            f"{course.name}: the ride cannot be computed at km {km:.2f}, where no speed satisfies "
            "the forces; check the route's heights and the rider's, bike's and wind's values"
        )


def _cadence_rpm(trace: kernel.Trace, road: kernel.Road, gears: Gears, gear: Codes) -> Floats:
    """Mean cadence of each interval where power reaches the cranks, else 0."""
    speed = road.length_m / trace.duration_s
    turning = speed / gears.development_m[gear] * SECONDS_PER_MINUTE
    return np.where(trace.power_w > 0.0, turning, 0.0)


def _states(
    trace: kernel.Trace, rider: Rider, gears: Gears, gear: Codes, cadence: Floats
) -> tuple[Codes, Codes]:
    """State and cause of each interval from what the kernel found and the cadence."""
    state = np.full(len(gear), STATES.index(State.ON_TARGET), dtype=np.int64)
    cause = np.full(len(gear), CAUSES.index(Cause.NONE), dtype=np.int64)
    pedalling = trace.mode == kernel.PEDALLING
    # Pedalling without power: freewheeling in a gear that is too low for a moment.
    over = pedalling & ((cadence > rider.band_rpm[1]) | (trace.power_w == 0.0))
    under = pedalling & ~over & (cadence < rider.band_rpm[0])
    state[over] = STATES.index(State.OVER_BAND)
    state[under] = STATES.index(State.UNDER_BAND)
    for mode, found in _STATE_OF_MODE.items():
        state[trace.mode == mode] = STATES.index(found)
    cause[over | under] = CAUSES.index(Cause.BETWEEN_GEARS)
    cause[over & (gear == gears.highest)] = CAUSES.index(Cause.END_OF_RANGE)
    cause[under & (gear == gears.lowest)] = CAUSES.index(Cause.END_OF_RANGE)
    return state, cause


def _shifts(gears: Gears, gear: Codes) -> tuple[int, int]:
    """Rear and front shifts of the ride; changing ring and sprocket counts as one of each."""
    ring = gears.ring[gear]
    place = gear - np.searchsorted(gears.ring, ring)
    return int(np.count_nonzero(np.diff(place))), int(np.count_nonzero(np.diff(ring)))


def _energy(
    course: Course,
    trace: kernel.Trace,
    road: kernel.Road,
    books: kernel.Books,
    mass_kg: float,
    effective_mass_kg: float,
) -> Energy:
    """The ride's books."""
    height = course.elevation_m[-1] - course.elevation_m[0]
    potential_j = float(mass_kg * GRAVITY_MPS2 * height)
    speed = trace.speed_mps
    return Energy(
        pedalling_j=float(trace.power_w @ trace.duration_s),
        walking_j=books.walking_j,
        potential_j=potential_j,
        kinetic_j=float(0.5 * effective_mass_kg * (speed[-1] ** 2 - speed[0] ** 2)),
        rolling_j=float(road.resistance_n @ road.length_m) - potential_j,
        air_j=books.air_j,
        bearings_j=books.bearings_j,
        chain_j=books.chain_j,
        brakes_j=books.brakes_j,
    )
