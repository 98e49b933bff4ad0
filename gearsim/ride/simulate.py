"""Values → arrays → compiled loops → a complete ride."""

from __future__ import annotations

from typing import NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.physics.reserve import reserve_after_j
from gearsim.ride import kernel, shifting, telling
from gearsim.ride.arrays import (
    body_of,
    gear_table_of,
    ladder_of,
    pace_of,
    road_for,
    total_mass_kg,
    wishes_of,
)
from gearsim.ride.compiled import drop_stale_code
from gearsim.ride.effort import solve_effort
from gearsim.ride.legs import Leg, legs_of, road_on
from gearsim.ride.outset import Outset, outset_of
from gearsim.ride.ride import Energy, Ride
from gearsim.ride.settling import Rig, settle
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.effort import FOR_THE_DURATION
from gearsim.setup.gears import gears_of
from gearsim.setup.rider import Rider
from gearsim.units import GRAVITY_MPS2

Codes = NDArray[np.int64]
Floats = NDArray[np.float64]
Kind = TypeVar("Kind", np.int64, np.float64)

drop_stale_code()  # before the first call loads any


class _Ridden(NamedTuple):
    """What came of the legs, with the rig they were ridden on."""

    rig: Rig
    legs: tuple[Leg, ...]
    traces: list[kernel.Trace]
    gears: list[Codes]
    passes: int
    settled: bool

    @property
    def duration_s(self) -> Floats:
        return _joined([trace.duration_s for trace in self.traces])

    @property
    def power_w(self) -> Floats:
        return _joined([trace.power_w for trace in self.traces])


def simulate(
    course: Course,
    rider: Rider,
    bike: Bike,
    drivetrain: Drivetrain,
    conditions: Conditions,
    *,
    wanted_w: Floats | None = None,
) -> Ride:
    """Ride the course once, with the gears at their best use.

    The rider wants power by the pace on each grade and by the rider's effort, which for "for the
    duration" takes several rides to solve; or, where it is given, `wanted_w` at the cranks in each
    interval (n), W.  Ride and shift plan are repeated until the gears no longer change.  Each stop
    on the course is a new start from rest.

    Raises `PlanError` where the ride cannot be computed, naming the place on the course, where no
    effort lasts for the ride, and for a `wanted_w` that is not one power >= 0 for each interval.
    """
    return simulate_from(outset_of(course, rider, bike, conditions), drivetrain, wanted_w=wanted_w)


def simulate_from(
    outset: Outset, drivetrain: Drivetrain, *, wanted_w: Floats | None = None
) -> Ride:
    """The ride that `simulate` gives, from an outset that the rides of many drivetrains share.

    Raises `PlanError` as `simulate` does.
    """
    course, rider, bike = outset.course, outset.rider, outset.bike
    gears, mass_kg = gears_of(drivetrain, bike), total_mass_kg(rider, bike, drivetrain)
    rig = Rig(
        road=road_for(mass_kg, outset.road),
        body=body_of(course, rider, bike, drivetrain),
        table=gear_table_of(gears, rider),
        ladder=ladder_of(gears),
        wishes=wishes_of(rider),
    )
    effort = None
    if wanted_w is not None:
        ridden = _ride(_wanting(rig, _checked(wanted_w, course), rider.power_w), course)
    elif rider.effort.kind == FOR_THE_DURATION:
        ridden, effort = solve_effort(
            rider,
            rig.road.length_m,
            pace_of(rider, course.grade),
            lambda power_w, mean_w: _ride(_wanting(rig, power_w, mean_w), course),
        )
    else:
        ridden = _ride(rig, course)
    told, shifts = _told(ridden)
    return Ride(
        course=course,
        rider=rider,
        bike=bike,
        drivetrain=drivetrain,
        conditions=outset.conditions,
        gears=gears,
        node_speed_mps=_node_speed_mps(ridden.traces),
        duration_s=ridden.duration_s,
        power_w=ridden.power_w,
        wanted_power_w=ridden.rig.road.wanted_w,
        cadence_rpm=_joined([each.cadence_rpm for each in told]),
        gear=_joined(ridden.gears),
        state=_joined([each.state for each in told]),
        cause=_joined([each.cause for each in told]),
        reserve_j=_joined([trace.reserve_j[1:] for trace in ridden.traces]),
        rear_shifts=sum(rear for rear, _ in shifts),
        front_shifts=sum(front for _, front in shifts),
        energy=_energy(ridden, course, mass_kg),
        passes=ridden.passes,
        settled=ridden.settled,
        effort=effort,
    )


def _checked(wanted_w: Floats, course: Course) -> Floats:
    wanted_w = np.ascontiguousarray(wanted_w, dtype=np.float64)
    if wanted_w.shape != (course.intervals,):
        raise PlanError(
            f"wanted_w has the shape {wanted_w.shape}; allowed is one power for each of the "
            f"{course.intervals} intervals of the course"
        )
    if not (np.isfinite(wanted_w).all() and (wanted_w >= 0.0).all()):
        raise PlanError("wanted_w has powers that are negative or no number; allowed is 0 W and up")
    return wanted_w


def _wanting(rig: Rig, wanted_w: Floats, power_w: float) -> Rig:
    """The rig with other wanted power, of which `power_w` is what the rider holds on the flat.

    The largest power is never under what is asked for, as in `Rider`.
    """
    largest_w = max(rig.body.largest_w, float(wanted_w.max()))
    body = rig.body._replace(power_w=power_w, largest_w=largest_w)
    return rig._replace(road=rig.road._replace(wanted_w=wanted_w), body=body)


def _ride(rig: Rig, course: Course) -> _Ridden:
    """Ride leg after leg; the reserve recovers at the stops between them."""
    legs, traces, gears = legs_of(course), [], []
    reserve_j, most_passes, all_settled = rig.body.reserve_j, 0, True
    for leg in legs:
        rested_j = reserve_after_j(
            reserve_j, rig.body.reserve_j, rig.body.critical_w, 0.0, leg.rest_s
        )
        trace = kernel.empty_trace(leg.end - leg.first, rested_j)
        gear = np.empty(leg.end - leg.first, dtype=np.int64)
        path = shifting.empty_path(leg.end - leg.first, rig.ladder)
        passes, settled = settle(gear, trace, path, rig._replace(road=road_on(rig.road, leg)))
        _require_finite(trace, course, leg)
        traces.append(trace)
        gears.append(gear)
        reserve_j = float(trace.reserve_j[-1])
        most_passes, all_settled = max(most_passes, passes), all_settled and settled
    return _Ridden(rig, legs, traces, gears, most_passes, all_settled)


def _told(ridden: _Ridden) -> tuple[list[telling.Telling], list[tuple[int, int]]]:
    """What each leg was like, and its rear and front shifts; one at a stop costs nothing."""
    rig, told, shifts = ridden.rig, [], []
    for leg, trace, gear in zip(ridden.legs, ridden.traces, ridden.gears, strict=True):
        each = telling.empty_telling(len(gear))
        road = road_on(rig.road, leg)
        shifts.append(telling.tell(gear, trace, road, rig.table, rig.body, each))
        told.append(each)
    return told, shifts


def _joined(parts: list[NDArray[Kind]]) -> NDArray[Kind]:
    return parts[0] if len(parts) == 1 else np.concatenate(parts)


def _node_speed_mps(traces: list[kernel.Trace]) -> Floats:
    """Speed at each node, that of the start from rest at a stop."""
    return _joined([*(trace.speed_mps[:-1] for trace in traces[:-1]), traces[-1].speed_mps])


def _require_finite(trace: kernel.Trace, course: Course, leg: Leg) -> None:
    if not np.isfinite(trace.duration_s.sum()):
        interval = leg.first + int(np.argmin(np.isfinite(trace.duration_s)))
        km = course.distance_m[interval] / 1000.0
        raise PlanError(
            f"{course.name}: the ride cannot be computed at km {km:.2f}, where no speed satisfies "
            "the forces; check the route's heights and the rider's, bike's and wind's values"
        )


def _energy(ridden: _Ridden, course: Course, mass_kg: float) -> Energy:
    """The ride's books; what is left of speed at a stop goes into the brakes."""
    rig = ridden.rig
    height = course.elevation_m[-1] - course.elevation_m[0]
    potential_j = float(mass_kg * GRAVITY_MPS2 * height)
    books = [
        kernel.close_books(gear, trace, road_on(rig.road, leg), rig.body, rig.table)
        for leg, trace, gear in zip(ridden.legs, ridden.traces, ridden.gears, strict=True)
    ]
    speeds = [trace.speed_mps for trace in ridden.traces]
    gained_j = [float(0.5 * rig.body.mass_kg * (v[-1] ** 2 - v[0] ** 2)) for v in speeds]
    return Energy(
        pedalling_j=sum(each.pedalling_j for each in books),
        walking_j=sum(each.walking_j for each in books),
        potential_j=potential_j,
        kinetic_j=gained_j[-1],
        rolling_j=sum(each.resistance_j for each in books) - potential_j,
        air_j=sum(each.air_j for each in books),
        bearings_j=sum(each.bearings_j for each in books),
        chain_j=sum(each.chain_j for each in books),
        brakes_j=sum(each.brakes_j for each in books) + sum(gained_j[:-1]),
    )
