"""The recorded power ridden along the course: what the forces alone make of it.

Here nothing of the rider's pace is guessed, so what is left is the error of the forces: drag area,
rolling, wind, heights and brakes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.physics.air import standard_density_kgm3
from gearsim.physics.forces import (
    BEARING_PER_SPEED_NSPM,
    BEARING_STEADY_N,
    effective_mass_kg,
    gravity_force_n,
    head_wind_mps,
    rolling_force_n,
)
from gearsim.ride.pace import dared_speed_mps
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.rider import Rider
from gearsim.studies.learn.resistance import DRIVE_EFFICIENCY

Floats = NDArray[np.float64]

SLOWEST_MPS = 0.8  # with little power on a wall a rider still gets along, on foot
PEDALS_UNDER_MPS = 2.0
"""Twice the pace at which a rider balances (Cain et al. 2016): judgement.  Where the recorded rider
let the bike roll, one who comes along a little slower would roll to a standstill; nobody does."""

MOST_STEPS = 50
CLOSE_MPS = 1e-6


@dataclass(frozen=True, kw_only=True)
class PowerAlong:
    """What happens with a given power along the course, by interval.

    `added_j` is the work added to the given power so that the rider does not roll to a standstill.
    """

    speed_mps: Floats
    duration_s: Floats
    power_w: Floats
    brakes_j: float
    added_j: float

    @property
    def finish_s(self) -> float:
        """Time from start to finish, s."""
        return float(self.duration_s.sum())


def ride_power(
    course: Course,
    rider: Rider,
    bike: Bike,
    conditions: Conditions,
    power_w: Floats,
    stops_m: Floats,
) -> PowerAlong:
    """Speed along the course for a power (at the cranks, W) in each interval, from rest.

    The implicit step ½m(v₁² - v₀²) = Δs·(η·P/v₁ - F(v₁)): first order, and stable at any speed.
    Under 2 m/s the rider pedals, with the power of the flat at most, whatever the power given.
    Bounded by what the rider dares, braking ahead of bends, and at rest at the nodes nearest to
    `stops_m`.
    """
    bound = _bounds_mps(course, rider, conditions, stops_m)
    length = course.road_length_m
    mass = rider.mass_kg + bike.mass_kg
    heavy = float(effective_mass_kg(mass, bike.wheel_inertia_kgm2, bike.circumference_m / 6.2832))
    steady, wind, air = _resisting(course, mass, bike, conditions)
    speed = np.zeros(course.intervals + 1)
    ridden_w = np.maximum(power_w, 0.0)
    brakes_j = 0.0
    for i in range(course.intervals):
        road = (float(length[i]), float(steady[i]), float(wind[i]), float(air[i]))
        end = _end_speed_mps(float(speed[i]), DRIVE_EFFICIENCY * ridden_w[i], road, heavy)
        if end < min(PEDALS_UNDER_MPS, bound[i + 1]) and ridden_w[i] < rider.power_w:
            ridden_w[i] = rider.power_w
            pedalled = _end_speed_mps(float(speed[i]), DRIVE_EFFICIENCY * ridden_w[i], road, heavy)
            end = min(pedalled, PEDALS_UNDER_MPS)
        end = max(end, SLOWEST_MPS)
        if end > bound[i + 1]:
            brakes_j += 0.5 * heavy * (end**2 - bound[i + 1] ** 2)
            end = float(bound[i + 1])
        speed[i + 1] = end
    mean = np.maximum(0.5 * (speed[:-1] + speed[1:]), 0.5 * SLOWEST_MPS)
    duration = length / mean
    added = float(((ridden_w - np.maximum(power_w, 0.0)) * duration).sum())
    return PowerAlong(
        speed_mps=mean, duration_s=duration, power_w=ridden_w, brakes_j=brakes_j, added_j=added
    )


def _bounds_mps(course: Course, rider: Rider, conditions: Conditions, stops_m: Floats) -> Floats:
    """The fastest at each node from which the rider can still brake for what is ahead."""
    bound = dared_speed_mps(rider, course, conditions)
    node = np.round(stops_m / course.step_m).astype(np.int64)
    bound[np.clip(node, 0, course.intervals)] = 0.0
    gain = 2.0 * rider.braking_mps2 * course.road_length_m
    for i in range(course.intervals - 1, -1, -1):
        bound[i] = min(bound[i], (bound[i + 1] ** 2 + gain[i]) ** 0.5)
    return bound


def _resisting(
    course: Course, mass_kg: float, bike: Bike, conditions: Conditions
) -> tuple[Floats, Floats, Floats]:
    """Gravity with rolling (N), head wind (m/s) and ½ρCdA (kg/m) of each interval."""
    table = np.array([surface.rolling_coefficient for surface in course.surfaces])
    rolling = bike.tyre_rolling_factor * table[course.surface_index]
    steady = gravity_force_n(mass_kg, course.grade) + rolling_force_n(
        mass_kg, course.grade, rolling
    )
    wind = conditions.wind_mps * conditions.wind_share
    head = head_wind_mps(wind, conditions.wind_from_rad, course.bearing_rad)
    middle_m = 0.5 * (course.elevation_m[1:] + course.elevation_m[:-1])
    air = 0.5 * bike.drag_area_m2 * np.asarray(standard_density_kgm3(middle_m))
    return np.asarray(steady), np.asarray(head), air


def _end_speed_mps(
    start_mps: float, drive_w: float, road: tuple[float, float, float, float], mass_kg: float
) -> float:
    """Speed at the end of an interval (length, steady force, head wind, ½ρCdA), by Newton."""
    length, steady, wind, air = road
    speed = max(start_mps, 2.0)
    for _ in range(MOST_STEPS):
        flow = speed + wind
        force = steady + air * abs(flow) * flow + BEARING_STEADY_N + BEARING_PER_SPEED_NSPM * speed
        excess = 0.5 * mass_kg * (speed**2 - start_mps**2)
        excess -= length * (drive_w / speed - force)
        slope = mass_kg * speed + length * (
            drive_w / speed**2 + 2.0 * air * abs(flow) + BEARING_PER_SPEED_NSPM
        )
        step = min(excess / slope, 0.5 * speed)
        speed -= step
        if abs(step) < CLOSE_MPS or speed < 0.1:
            break
    return speed
