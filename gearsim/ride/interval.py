"""The energy equation of one interval, compiled: speed from power, and power from speed.

    ½·m·(v₁² - v₀²) = Δs·[(1-θ)·F(v₀) + θ·F(v₁)] - lost,    F(v) = D/v - resisting(v)

D is the power that reaches the wheel.  The same weights θ give the time, Δs·[(1-θ)/v₀ + θ/v₁], so
that D × time is the work that the equation has in it and every ride closes its books.  From rest
1/v₀ has no mean: `rest_factor` has the time then.

All loops are compiled so that other threads run on (nogil), and x/0 is inf or NaN (error_model),
which `simulate` finds.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from gearsim.physics import forces
from gearsim.ride.compiler import inlined, part

MOST_NEWTON_STEPS = 60
LAST_STEP = 2e-2  # of the speed; the error left is of the order of its fourth power
SLOWEST_MPS = 0.05  # keeps the solver off the pole of D/v at rest

air_force_n: Any = part(forces.air_force_n)
bearing_force_n: Any = part(forces.bearing_force_n)


class Interval(NamedTuple):
    """One interval of road as rider and bike enter it."""

    length_m: float
    steady_n: float  # gravity and rolling, and the chain's own drag where the rider pedals
    head_wind_mps: float
    air_factor_kgpm: float  # ½ρCdA
    mass_kg: float  # with the wheels' inertia
    bearing_factor: float
    start_mps: float
    guess_mps: float  # where the search for the end speed begins
    end_weight: float  # θ
    rest_factor: float  # time for the interval over Δs/v₁ where it starts at rest, else 1


@inlined
def end_weight(interval: Interval, drive_w: float) -> float:
    """Weight θ of the interval's end in its mean force, for power D at the wheel.

    θ = (3 + x)/(6 + x), x = -Δs·F′(v)/(m·v), makes the step on the linearised equation the (1, 2)
    Padé approximant of exp(-x), the stability function of Radau IIA (Hairer and Wanner 1996,
    Solving Ordinary Differential Equations II, IV.3): accurate where speed changes slowly, and
    damped at walking pace, where Δs is many times the length over which speed settles.
    """
    speed = interval.start_mps
    if speed < SLOWEST_MPS:
        return 1.0
    air_slope = 2.0 * interval.air_factor_kgpm * abs(speed + interval.head_wind_mps)
    # x is rise over run: one division for the whole weight.
    rise = interval.length_m * (drive_w + air_slope * speed**2)
    run = interval.mass_kg * speed**3
    return (3.0 * run + rise) / (6.0 * run + rise)


@part
def rest_factor(interval: Interval, drive_w: float) -> float:
    """Time for an interval that starts at rest, over Δs/v₁.

    2 under a constant force; under constant power 3/2 where inertia rules, 1 where resistance does.
    In between it hangs on x = R·(3·D·Δs/m)^⅓/D, R what resists at rest: fitted within 0.01 to the
    exact times for constant D and R, -20 ≤ x ≤ 10.
    """
    if drive_w <= 0.0:
        return 2.0
    unresisted_mps: float = (3.0 * drive_w * interval.length_m / interval.mass_kg) ** (1.0 / 3.0)
    x = resisting_n(interval, 0.0) * unresisted_mps / drive_w
    if x >= 0.0:
        return 1.0 + 0.5 / (1.0 + 0.35 * x + 0.08 * x**4)
    return 2.0 - 0.5 / (1.0 - 0.27 * x)


@inlined
def resisting_n(interval: Interval, speed_mps: float) -> float:
    """Gravity, rolling, air and bearings at a speed, N; positive against the rider."""
    air_n: float = air_force_n(speed_mps, interval.head_wind_mps, interval.air_factor_kgpm)
    bearing_n: float = bearing_force_n(speed_mps, interval.bearing_factor)
    return interval.steady_n + air_n + bearing_n


@inlined
def end_speed_mps(interval: Interval, drive_w: float, lost_j: float) -> float:
    """Speed at the interval's end for power D at the wheel, by Newton's method.

    The last step follows curve and twist too (the series of the inverse function to its third
    term), which spares one or two more.  Gives 0 where drive and momentum do not reach the end,
    and NaN where the method does not settle.
    """
    start, weight, mass = interval.start_mps, interval.end_weight, interval.mass_kg
    wind, air_kgpm = interval.head_wind_mps, interval.air_factor_kgpm
    energy_j = 0.5 * mass * start**2 - lost_j
    if weight < 1.0:
        start_n = drive_w / start - resisting_n(interval, start)
        energy_j += (1.0 - weight) * interval.length_m * start_n
    reach_m = weight * interval.length_m
    bearing_slope = interval.bearing_factor * forces.BEARING_PER_SPEED_NSPM
    speed = interval.guess_mps
    for _ in range(MOST_NEWTON_STEPS):
        per_speed = 1.0 / speed
        drive_n = interval.rest_factor * drive_w * per_speed
        excess_j = 0.5 * mass * speed**2 - energy_j
        excess_j -= reach_m * (drive_n - resisting_n(interval, speed))
        drive_slope, air_slope = drive_n * per_speed, 2.0 * air_kgpm * abs(speed + wind)
        slope = mass * speed + reach_m * (drive_slope + air_slope + bearing_slope)
        per_slope = 1.0 / slope
        step = excess_j * per_slope
        if abs(step) < LAST_STEP * speed:
            drive_curve = drive_slope * per_speed
            curve_n = np.copysign(air_kgpm, speed + wind) - drive_curve
            curve = (0.5 * mass + reach_m * curve_n) * per_slope
            twist = 2.0 * curve**2 - reach_m * drive_curve * per_speed * per_slope
            reached_mps: float = speed - step * (1.0 + step * (curve + step * twist))
            return reached_mps
        if step > 0.5 * speed:
            if speed < 2.0 * SLOWEST_MPS:
                return 0.0
            step = 0.5 * speed
        speed -= step
    return np.nan


@inlined
def duration_s(interval: Interval, end_mps: float) -> float:
    """Time for the interval, s."""
    weight = interval.end_weight
    if weight < 1.0:
        return interval.length_m * ((1.0 - weight) / interval.start_mps + weight / end_mps)
    return interval.rest_factor * interval.length_m / end_mps


@inlined
def mean_resisting_n(interval: Interval, end_mps: float) -> float:
    """The weighted mean of what resists at the interval's start and end, N."""
    weight = interval.end_weight
    resist_n = weight * resisting_n(interval, end_mps)
    if weight < 1.0:
        resist_n += (1.0 - weight) * resisting_n(interval, interval.start_mps)
    return resist_n


@inlined
def needed_wheel_w(interval: Interval, end_mps: float) -> float:
    """Power at the wheel that brings the interval to an end speed, W; negative for brakes."""
    gained_j = 0.5 * interval.mass_kg * (end_mps**2 - interval.start_mps**2)
    work_j = gained_j + interval.length_m * mean_resisting_n(interval, end_mps)
    return work_j / duration_s(interval, end_mps)


@inlined
def mean_air_n(interval: Interval, end_mps: float) -> float:
    """The weighted mean air force, N, whose product with the length is the work against the air."""
    weight, wind, air = interval.end_weight, interval.head_wind_mps, interval.air_factor_kgpm
    at_start_n: float = air_force_n(interval.start_mps, wind, air)
    at_end_n: float = air_force_n(end_mps, wind, air)
    return (1.0 - weight) * at_start_n + weight * at_end_n


@inlined
def mean_bearing_n(interval: Interval, end_mps: float) -> float:
    """The weighted mean bearing force, N."""
    weight, factor = interval.end_weight, interval.bearing_factor
    at_start_n: float = bearing_force_n(interval.start_mps, factor)
    at_end_n: float = bearing_force_n(end_mps, factor)
    return (1.0 - weight) * at_start_n + weight * at_end_n
