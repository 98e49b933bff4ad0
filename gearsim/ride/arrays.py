"""Values of ours → the numbers and arrays that the compiled loops take."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.physics.air import air_density_kgm3
from gearsim.physics.forces import (
    effective_mass_kg,
    gravity_force_n,
    head_wind_mps,
    rolling_force_n,
)
from gearsim.physics.gearing import cadence_rpm
from gearsim.physics.walking import pushing_speed_mps
from gearsim.ride.kernel import (
    LOOKUPS,
    LOOKUPS_PER_MPS,
    Body,
    GearTable,
    Road,
    bound_by_braking,
    by_height,
)
from gearsim.ride.pace import dared_speed_mps, wanted_power_w
from gearsim.ride.shifting import INSIDE_THE_BAND, SLOTS_AT_ONCE, TOO_MUCH, Ladder, Wishes
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import Gears
from gearsim.setup.rider import Rider

Floats = NDArray[np.float64]

REMOUNT_AHEAD_M = 30.0
"""Rideable road ahead before a rider on foot gets on again (judgement, no source)."""

CROSSED_FROM = 0.75
CROSSED_PENALTY = 0.1
"""What a second with the chain fully crossed costs the shift plan (judgement, no source); it
starts at `CROSSED_FROM` of the largest angle that the drivetrain has."""

DENSITY_KNOTS = 33  # air density is smooth in height: computed at a few and interpolated


def total_mass_kg(rider: Rider, bike: Bike, drivetrain: Drivetrain) -> float:
    """Mass of everything that moves along the road, kg."""
    return rider.mass_kg + bike.mass_kg + drivetrain.mass_kg


def road_of(
    course: Course, rider: Rider, bike: Bike, drivetrain: Drivetrain, conditions: Conditions
) -> Road:
    """The course as this rider meets it on this bike on this day."""
    road = road_for_1_kg(course, rider, bike, conditions)
    return road_for(total_mass_kg(rider, bike, drivetrain), road)


def road_for(mass_kg: float, road: Road) -> Road:
    """The road for a mass, given that for 1 kg: gravity and rolling resist in proportion to it."""
    return road._replace(resistance_n=mass_kg * road.resistance_n)


def road_for_1_kg(course: Course, rider: Rider, bike: Bike, conditions: Conditions) -> Road:
    """The course as this rider meets it, whatever the gears; its resistance is that of 1 kg."""
    grade, length = course.grade, course.road_length_m
    rolling = rolling_force_n(1.0, grade, _rolling_coefficient(course, bike, conditions))
    wind = conditions.wind_mps * conditions.wind_share
    bound = dared_speed_mps(rider, course, conditions)
    bound_by_braking(bound, length, float(rider.braking_mps2))
    return Road(
        length_m=length,
        resistance_n=np.asarray(gravity_force_n(1.0, grade) + rolling),
        head_wind_mps=np.asarray(
            head_wind_mps(wind, conditions.wind_from_rad, course.bearing_rad), dtype=np.float64
        ),
        air_factor_kgpm=0.5 * bike.drag_area_m2 * _density_kgm3(course, conditions),
        wanted_w=wanted_power_w(rider, grade),
        pushing_mps=np.asarray(pushing_speed_mps(grade, rider.pushing_factor)),
        bound_mps=bound,
    )


def _rolling_coefficient(course: Course, bike: Bike, conditions: Conditions) -> Floats:
    by_surface = [
        surface.rolling_coefficient * (surface.wet_rolling_factor if conditions.wet else 1.0)
        for surface in course.surfaces
    ]
    coefficient: Floats = bike.tyre_rolling_factor * np.array(by_surface)[course.surface_index]
    return coefficient


def _density_kgm3(course: Course, conditions: Conditions) -> Floats:
    height = 0.5 * (course.elevation_m[:-1] + course.elevation_m[1:])
    low = float(height.min())
    spacing = (float(height.max()) + 1.0 - low) / (DENSITY_KNOTS - 1)
    density = air_density_kgm3(
        low + spacing * np.arange(DENSITY_KNOTS, dtype=np.float64),
        temperature_c=conditions.temperature_c,
        relative_humidity=conditions.relative_humidity,
        pressure_pa=conditions.pressure_pa,
        reference_height_m=conditions.reference_height_m,
    )
    found = np.empty_like(height)
    by_height(height, low, spacing, np.asarray(density), found)
    return found


def body_of(course: Course, rider: Rider, bike: Bike, drivetrain: Drivetrain) -> Body:
    """Rider and bike as numbers."""
    mass = total_mass_kg(rider, bike, drivetrain)
    radius = bike.circumference_m / (2.0 * np.pi)
    return Body(
        mass_kg=float(effective_mass_kg(mass, bike.wheel_inertia_kgm2, radius)),
        bearing_factor=float(bike.bearing_factor),
        power_w=float(rider.power_w),
        critical_w=float(rider.critical_w),
        largest_w=float(rider.largest_w),
        reserve_j=float(rider.reserve_j),
        low_rpm=float(rider.limits_rpm[0]),
        high_rpm=float(rider.limits_rpm[1]),
        stop_pedalling_mps=float(rider.stop_pedalling_mps),
        slowest_riding_mps=float(rider.slowest_riding_mps),
        remount_s=float(rider.remount_s),
        remount_intervals=max(1, round(REMOUNT_AHEAD_M / course.step_m)),
        rear_shift_s=float(rider.rear_shift_s),
        front_shift_s=float(rider.front_shift_s),
    )


def gear_table_of(gears: Gears, rider: Rider) -> GearTable:
    """The gears for the ride, and the nearest to the target cadence for each speed."""
    speed = (np.arange(LOOKUPS) + 0.5) / LOOKUPS_PER_MPS
    wished = speed / rider.target_cadence_rpm * 60.0
    off = np.abs(np.log(gears.development_m) - np.log(wished)[:, None])
    return GearTable(
        development_m=gears.development_m,
        ring=gears.ring,
        place=gears.place,
        load_loss_share=gears.load_loss_share,
        drag_n=gears.drag_n,
        lowest=gears.lowest,
        highest=gears.highest,
        nearest=np.argmin(off, axis=1).astype(np.int64),
    )


def ladder_of(gears: Gears) -> Ladder:
    """The gears for the shift plan."""
    rings, most = int(gears.ring.max()) + 1, int(np.bincount(gears.ring).max())
    ring_slots = math.ceil((most + 2) / SLOTS_AT_ONCE) * SLOTS_AT_ONCE
    slot, slots = gears.ring * ring_slots + gears.place + 1, rings * ring_slots
    rpm_per_mps, upkeep, empty = np.ones(slots), np.zeros(slots), np.full(slots, TOO_MUCH)
    rpm_per_mps[slot] = cadence_rpm(1.0, gears.development_m)
    upkeep[slot] = gears.load_loss_share + CROSSED_PENALTY * _crossed(gears)
    empty[slot] = 0.0
    gear = np.full(slots, -1, dtype=np.int64)
    gear[slot] = np.arange(len(slot))
    return Ladder(
        rpm_per_mps=rpm_per_mps,
        upkeep=upkeep,
        empty=empty,
        slot=slot,
        gear=gear,
        ring=np.arange(slots) // ring_slots,
        lowest=int(slot[gears.lowest]),
        rings=rings,
    )


def _crossed(gears: Gears) -> Floats:
    """How far each gear's chain is crossed: 0 up to a share of the largest angle, 1 at it."""
    angle = np.abs(gears.chain_angle_rad)
    if gears.ring.max() == 0 or angle.max() == 0.0:
        return np.zeros(len(angle))
    crossed: Floats = np.maximum(angle / angle.max() - CROSSED_FROM, 0.0) / (1.0 - CROSSED_FROM)
    return crossed


def wishes_of(rider: Rider) -> Wishes:
    """What the rider likes, as numbers."""
    target, (low, high) = float(rider.target_cadence_rpm), rider.band_rpm
    return Wishes(
        target_rpm=target,
        low_edge_rpm=float(low),
        high_edge_rpm=float(high),
        low_inside_per_rpm2=INSIDE_THE_BAND / (target - low) ** 2,
        high_inside_per_rpm2=INSIDE_THE_BAND / (high - target) ** 2,
        low_off_per_rpm=1.0 / (rider.limits_rpm[0] - low),
        high_off_per_rpm=1.0 / (rider.limits_rpm[1] - high),
        rear_step_s=float(rider.rear_step_cost_s),
        rear_jump_s=float(rider.rear_jump_cost_s),
        front_s=float(rider.front_cost_s),
    )
