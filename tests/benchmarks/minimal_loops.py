"""The least that a ride and its shift plan can cost: one pass of each, and nothing else.

The same implicit energy equation with the same weights and the same Newton's method, and the same
exact least-cost path, on the same arrays, compiled alike, in double precision; no bounds, no
walking, no surges, no second thoughts.
"""

from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray

from gearsim.ride.compiler import OPTIONS, WITHOUT_NAN

Floats = NDArray[np.float64]

SLOWEST_MPS = 0.05
NEWTON_STEP = 1e-5
TOO_MUCH = 1e12
STAYED, FROM_HIGHER, FROM_LOWER, JUMPED, CHANGED_RING = range(5)


@njit(**OPTIONS)
def ride_once(
    length_m: Floats,
    resistance_n: Floats,
    wind_mps: Floats,
    air_kgpm: Floats,
    drive_w: Floats,
    mass_kg: float,
    bearing_n: float,
    bearing_nspm: float,
    duration_s: Floats,
) -> float:
    """Write the time for each interval; give the speed at the finish."""
    start = 0.0
    for i in range(len(length_m)):
        length, steady, wind = length_m[i], resistance_n[i] + bearing_n, wind_mps[i]
        air, drive = air_kgpm[i], drive_w[i]
        weight, energy = 1.0, 0.5 * mass_kg * start * start
        if start >= SLOWEST_MPS:
            through = abs(start + wind)
            rise = length * (drive + 2.0 * air * through * start * start)
            run = mass_kg * start * start * start
            weight = (3.0 * run + rise) / (6.0 * run + rise)
            held = steady + air * through * (start + wind) + bearing_nspm * start
            energy += (1.0 - weight) * length * (drive / start - held)
        reach, speed = weight * length, max(start, 1.0)
        for _ in range(60):
            per_speed, through = 1.0 / speed, speed + wind
            held = steady + air * abs(through) * through + bearing_nspm * speed
            excess = 0.5 * mass_kg * speed * speed - energy - reach * (drive * per_speed - held)
            slope = drive * per_speed * per_speed + 2.0 * air * abs(through)
            step = min(excess / (mass_kg * speed + reach * slope), 0.5 * speed)
            speed -= step
            if abs(step) < NEWTON_STEP * speed:
                break
        lasting = length * weight / speed
        if weight < 1.0:
            lasting += length * (1.0 - weight) / start
        duration_s[i], start = lasting, speed
    return start


@njit(**{**OPTIONS, "fastmath": WITHOUT_NAN})
def plan_once(
    length_m: Floats,
    duration_s: Floats,
    rpm_per_mps: Floats,
    upkeep: Floats,
    wishes: Any,
    came: NDArray[np.uint8],
    first: NDArray[np.int64],
    gear: NDArray[np.int64],
) -> None:
    """Write the gears of the least-cost path: `rpm_per_mps` is (rings, gears + 2), ends empty.

    `came` (n, rings, gears + 2) and `first` (n, rings) are room to work in.
    """
    rings, slots = rpm_per_mps.shape
    row, own, least = np.full((rings, slots), TOO_MUCH), np.empty((rings, slots)), np.zeros(rings)
    row[:, 1:-1] = 0.0
    for i in range(len(length_m)):
        lasting = duration_s[i]
        pace = length_m[i] / lasting
        base = least[0]
        for r in range(rings):
            base = min(base, least[r])
            for g in range(slots):
                off_target = pace * rpm_per_mps[r, g] - wishes.target_rpm
                high = off_target >= 0.0
                edge = (wishes.high_edge_rpm if high else wishes.low_edge_rpm) - wishes.target_rpm
                per_rpm = wishes.high_off_per_rpm if high else wishes.low_off_per_rpm
                curve = wishes.high_inside_per_rpm2 if high else wishes.low_inside_per_rpm2
                off = max((off_target - edge) * per_rpm, 0.0)
                inside = min(curve * off_target * off_target, 0.05)
                penalty = inside + 0.95 * off + 8.0 * max(off - 1.0, 0.0)
                own[r, g] = lasting * (penalty + upkeep[r, g])
        for r in range(rings):
            elsewhere = TOO_MUCH
            for other in range(rings):
                if other != r:
                    elsewhere = min(elsewhere, least[other])
            jump, change = least[r] + wishes.rear_jump_s, elsewhere + wishes.front_s
            enter = min(jump, change)
            by = np.uint8(JUMPED) if jump <= change else np.uint8(CHANGED_RING)
            higher = TOO_MUCH
            for g in range(1, slots - 1):
                here, lower = row[r, g], row[r, g + 1]
                cost = min(higher, lower) + wishes.rear_step_s
                kind = np.uint8(FROM_HIGHER) if higher <= lower else np.uint8(FROM_LOWER)
                if enter < cost:
                    cost, kind = enter, by
                if here <= cost:
                    cost, kind = here, np.uint8(STAYED)
                came[i, r, g] = kind
                row[r, g] = cost + own[r, g] - base
                higher = here
        for r in range(rings):
            best = 1
            for g in range(2, slots - 1):
                if row[r, g] < row[r, best]:
                    best = g
            first[i, r], least[r] = best, row[r, best]
    trace_back(least, came, first, gear)


@njit(**OPTIONS)
def trace_back(
    least: Floats, came: NDArray[np.uint8], first: NDArray[np.int64], gear: NDArray[np.int64]
) -> None:
    """Write the gears from the finish backwards, for one or two rings."""
    rings, slots = came.shape[1], came.shape[2]
    r = int(np.argmin(least))
    g = first[len(gear) - 1, r]
    for i in range(len(gear) - 1, -1, -1):
        gear[i] = r * (slots - 2) + g - 1
        kind = came[i, r, g]
        if kind == FROM_HIGHER:
            g -= 1
        elif kind == FROM_LOWER:
            g += 1
        elif kind != STAYED and i > 0:
            r = r if kind == JUMPED else rings - 1 - r
            g = first[i - 1, r]
