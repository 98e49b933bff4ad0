"""Values → arrays → compiled loops → a complete ride."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.ride import kernel, shifting, telling
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
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import gears_of
from gearsim.setup.rider import Rider
from gearsim.units import GRAVITY_MPS2

Codes = NDArray[np.int64]

MOST_PASSES = 20
FIRST_WORTH_S = 0.1
"""Gain, in seconds at the limit of cadence, for which a shift plan is first changed again."""

drop_stale_code()  # before the first call loads any


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
    table, wishes = gear_table_of(gears, rider), wishes_of(rider)
    gear, passes, settled = _settle(trace, road, body, table, ladder_of(gears), wishes)
    _require_finite(trace, course)
    books = kernel.close_books(gear, trace, road, body, table)
    told = telling.empty_telling(course.intervals)
    rear, front = telling.tell(gear, trace, road, table, wishes, told)
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
        cadence_rpm=told.cadence_rpm,
        gear=gear,
        state=told.state,
        cause=told.cause,
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
        shifting.trace_back(path, ladder, wishes, planned)
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
    if not np.isfinite(trace.duration_s.sum()):
        km = course.distance_m[int(np.argmin(np.isfinite(trace.duration_s)))] / 1000.0
        raise PlanError(
            f"{course.name}: the ride cannot be computed at km {km:.2f}, where no speed satisfies "
            "the forces; check the route's heights and the rider's, bike's and wind's values"
        )


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
