"""Values of ours → the numbers and arrays that the compiled loops take."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.physics.air import air_density_kgm3
from gearsim.physics.forces import effective_mass_kg, head_wind_mps
from gearsim.physics.gearing import cadence_rpm
from gearsim.ride.kernel import LOOKUPS, LOOKUPS_PER_MPS, GearTable
from gearsim.ride.legs import legs_of
from gearsim.ride.pace import pace_factor
from gearsim.ride.pricing import (
    INSIDE_THE_BAND,
    SLOTS_AT_ONCE,
    TOO_MUCH,
    Ladder,
    Single,
    Wishes,
)
from gearsim.ride.road import Ground, Manner, Road, empty_road, meet
from gearsim.ride.stretch import Body
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import Gears
from gearsim.setup.rider import Rider
from gearsim.units import SECONDS_PER_MINUTE

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
    wind = conditions.wind_mps * conditions.wind_share
    along = head_wind_mps(wind, conditions.wind_from_rad, course.bearing_rad)
    road = empty_road(np.asarray(along, dtype=np.float64))
    meet(_ground_of(course, rider, bike, conditions), _manner_of(rider), road)
    return road


def _ground_of(course: Course, rider: Rider, bike: Bike, conditions: Conditions) -> Ground:
    rolling, grip_g = [], []
    for surface in course.surfaces:
        rolling_factor = surface.wet_rolling_factor if conditions.wet else 1.0
        rolling.append(bike.tyre_rolling_factor * surface.rolling_coefficient * rolling_factor)
        grip_factor = surface.wet_grip_factor if conditions.wet else 1.0
        grip_g.append(rider.cornering * surface.side_grip * grip_factor)
    lowest_m = float(course.elevation_m.min())
    spacing_m = (float(course.elevation_m.max()) + 1.0 - lowest_m) / (DENSITY_KNOTS - 1)
    density = air_density_kgm3(
        lowest_m + spacing_m * np.arange(DENSITY_KNOTS, dtype=np.float64),
        temperature_c=conditions.temperature_c,
        relative_humidity=conditions.relative_humidity,
        pressure_pa=conditions.pressure_pa,
        reference_height_m=conditions.reference_height_m,
    )
    return Ground(
        step_m=float(course.step_m),
        elevation_m=course.elevation_m,
        bend_radius_m=course.bend_radius_m,
        stop_nodes=np.array([leg.first for leg in legs_of(course)[1:]], dtype=np.int64),
        surface_index=course.surface_index,
        rolling_coefficient=np.array(rolling, dtype=np.float64),
        side_grip_g=np.array(grip_g, dtype=np.float64),
        lowest_m=lowest_m,
        knot_spacing_m=spacing_m,
        air_factor_kgpm=0.5 * bike.drag_area_m2 * np.asarray(density),
    )


def pace_of(rider: Rider, grade: Floats) -> Floats:
    """Power that this rider wants on each grade over that on the flat."""
    factor = pace_factor(grade, rider.full_effect_grade, rider.uphill_factor, rider.downhill_factor)
    return np.asarray(factor, dtype=np.float64)


def _manner_of(rider: Rider) -> Manner:
    return Manner(
        power_w=float(rider.power_w),
        full_effect_grade=float(rider.full_effect_grade),
        uphill_factor=float(rider.uphill_factor),
        downhill_factor=float(rider.downhill_factor),
        descending_mps=float(rider.descending_mps),
        slowest_riding_mps=float(rider.slowest_riding_mps),
        braking_mps2=float(rider.braking_mps2),
    )


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
        low_edge_rpm=float(rider.band_rpm[0]),
        high_edge_rpm=float(rider.band_rpm[1]),
        high_rpm=float(rider.limits_rpm[1]),
        stop_pedalling_mps=float(rider.stop_pedalling_mps),
        slowest_riding_mps=float(rider.slowest_riding_mps),
        pushing_factor=float(rider.pushing_factor),
        remount_s=float(rider.remount_s),
        remount_intervals=max(1, round(REMOUNT_AHEAD_M / course.step_m)),
        rear_shift_s=float(rider.rear_shift_s),
        front_shift_s=float(rider.front_shift_s),
    )


def gear_table_of(gears: Gears, rider: Rider) -> GearTable:
    """The gears for the ride, and the nearest to the target cadence for each speed."""
    speed_mps = (np.arange(LOOKUPS) + 0.5) / LOOKUPS_PER_MPS
    wished_m = speed_mps * (SECONDS_PER_MINUTE / rider.target_cadence_rpm)
    lowest_first = np.argsort(gears.development_m, kind="stable")
    development_m = gears.development_m[lowest_first]
    halfway_m = np.sqrt(development_m[1:] * development_m[:-1])  # between neighbours, by ratio
    return GearTable(
        development_m=gears.development_m,
        ring=gears.ring,
        place=gears.place,
        load_loss_share=gears.load_loss_share,
        drag_n=gears.drag_n,
        lowest=gears.lowest,
        highest=gears.highest,
        nearest=lowest_first[np.searchsorted(halfway_m, wished_m)],
    )


def ladder_of(gears: Gears) -> Ladder:
    """The gears for the shift plan."""
    rings, most = int(gears.ring.max()) + 1, int(np.bincount(gears.ring).max())
    ring_slots = math.ceil((most + 2) / SLOTS_AT_ONCE) * SLOTS_AT_ONCE
    slot, slots = gears.ring * ring_slots + gears.place + 1, rings * ring_slots
    rpm_per_mps, upkeep = np.ones(slots, dtype=Single), np.zeros(slots, dtype=Single)
    empty = np.full(slots, TOO_MUCH)
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
        target_rpm=Single(target),
        low_edge_rpm=Single(low),
        high_edge_rpm=Single(high),
        low_inside_per_rpm2=Single(INSIDE_THE_BAND / (target - low) ** 2),
        high_inside_per_rpm2=Single(INSIDE_THE_BAND / (high - target) ** 2),
        low_off_per_rpm=Single(1.0 / (rider.limits_rpm[0] - low)),
        high_off_per_rpm=Single(1.0 / (rider.limits_rpm[1] - high)),
        rear_step_s=Single(rider.rear_step_cost_s),
        rear_jump_s=Single(rider.rear_jump_cost_s),
        front_s=Single(rider.front_cost_s),
    )
