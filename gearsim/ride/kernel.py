"""The compiled loop that rides: one pass over the course with the gears given.

Only numbers, arrays and tuples of them come in here.  Explicit loops, because array expressions
inside compiled code take about ten times longer to compile.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gearsim.ride.compiler import inlined, loop, part
from gearsim.ride.interval import duration_s, mean_air_n, mean_bearing_n, needed_wheel_w
from gearsim.ride.road import Road
from gearsim.ride.stretch import (
    COASTING,
    WALKING,
    Body,
    Gear,
    Outcome,
    Stretch,
    ending_interval_of,
    holding_power_w,
    lasting_s_of,
    reserve_left_j,
    ride_stretch,
    walk,
    with_weight,
)

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Bytes = NDArray[np.uint8]
Flags = NDArray[np.bool_]

NO_GEAR = -1
"""In the first pass no gears are planned: the one nearest to the target cadence is taken."""

SETTLED = 1e-6  # relative change under which a pass has left an interval as it was
LOOKUPS_PER_MPS = 4  # the first pass's gear table has an entry each quarter of a m/s
LOOKUPS = 160


class GearTable(NamedTuple):
    """Every gear as numbers, ring by ring; `nearest` gives the one for each speed looked up."""

    development_m: Floats
    ring: Integers
    place: Integers  # on its ring, counted from the highest
    load_loss_share: Floats
    drag_n: Floats
    lowest: int
    highest: int
    nearest: Integers


class Trace(NamedTuple):
    """What a pass writes: nodes (n + 1) and intervals (n)."""

    speed_mps: Floats  # nodes
    reserve_j: Floats  # nodes
    shift_left_s: Floats  # nodes: shifting time without drive still to come
    on_foot: Flags  # nodes
    duration_s: Floats
    power_w: Floats
    end_weight: Floats
    mode: Bytes


class Books(NamedTuple):
    """Work over a whole ride, J."""

    pedalling_j: float
    resistance_j: float  # gravity and rolling
    air_j: float
    bearings_j: float
    chain_j: float
    brakes_j: float
    walking_j: float


def empty_trace(intervals: int, reserve_j: float) -> Trace:
    """A trace for n intervals, before the first pass: at rest, with the reserve full."""
    nodes = intervals + 1
    trace = Trace(
        speed_mps=np.zeros(nodes),
        reserve_j=np.zeros(nodes),
        shift_left_s=np.zeros(nodes),
        on_foot=np.zeros(nodes, dtype=np.bool_),
        duration_s=np.zeros(intervals),
        power_w=np.zeros(intervals),
        end_weight=np.zeros(intervals),
        mode=np.zeros(intervals, dtype=np.uint8),
    )
    trace.reserve_j[0] = reserve_j
    return trace


@inlined
def expected_end_mps(i: int, trace: Trace) -> float:
    """End speed to expect of interval i: the pass before's, in the first pass the start's."""
    last_mps: float = trace.speed_mps[i + 1]
    return last_mps if last_mps > 0.0 else float(trace.speed_mps[i])


@inlined
def stretch_at(i: int, shifting_s: float, guess_mps: float, trace: Trace, road: Road) -> Stretch:
    """Interval i as the trace has it entered, `shifting_s` still to come."""
    return Stretch(
        road.length_m[i],
        road.resistance_n[i],
        road.head_wind_mps[i],
        road.air_factor_kgpm[i],
        road.wanted_w[i],
        road.grade[i],
        road.bound_mps[i + 1],
        trace.speed_mps[i],
        max(guess_mps, 1.0),
        trace.reserve_j[i],
        shifting_s,
        trace.on_foot[i],
    )


@inlined
def gear_at(g: int, free: bool, gears: GearTable, body: Body) -> Gear:
    """Gear g; in a pass with no gears planned, the highest is within reach from any."""
    widest = gears.highest if free else g
    bound = body.high_rpm / 60.0 * gears.development_m[widest]
    return Gear(1.0 - gears.load_loss_share[g], gears.drag_n[g], bound, widest == gears.highest)


@part
def rideable_ahead(
    i: int, low: Gear, lowest_mps: float, trace: Trace, road: Road, body: Body
) -> bool:
    """Whether wanted power holds the lowest speed here and a little further on."""
    for j in range(i, min(i + body.remount_intervals, len(road.length_m))):
        stretch = stretch_at(j, 0.0, 0.0, trace, road)
        holding = holding_power_w(stretch, lowest_mps, low, body)
        if holding > max(road.wanted_w[j], body.power_w):
            return False
    return True


@inlined
def shift_time_s(before: int, after: int, body: Body, gears: GearTable) -> float:
    """Time without drive for going from one gear to another, s."""
    if before == after:
        return 0.0
    if gears.ring[before] != gears.ring[after]:
        return body.front_shift_s
    return body.rear_shift_s


@inlined
def differ(one: float, other: float, scale: float) -> bool:
    """Whether two values differ for the passes that follow; NaN differs from all."""
    return not abs(one - other) <= SETTLED * scale


@inlined
def write(
    i: int, outcome: Outcome, lasting_s: float, reserve_j: float, full_j: float, trace: Trace
) -> bool:
    """Write interval i and its end node; tell whether what follows is entered differently."""
    end, left, on_foot = outcome.end_mps, outcome.shift_left_s, outcome.mode == WALKING
    differs = (
        differ(end, trace.speed_mps[i + 1], end)
        | differ(reserve_j, trace.reserve_j[i + 1], full_j)
        | (left != trace.shift_left_s[i + 1])
        | (on_foot != trace.on_foot[i + 1])
    )
    trace.speed_mps[i + 1] = end
    trace.reserve_j[i + 1] = reserve_j
    trace.shift_left_s[i + 1] = left
    trace.on_foot[i + 1] = on_foot
    trace.duration_s[i] = lasting_s
    trace.power_w[i] = outcome.power_w
    trace.end_weight[i] = outcome.interval.end_weight
    trace.mode[i] = outcome.mode
    return bool(differs)


@loop
def ride_pass(
    gear: Integers, before: Integers, trace: Trace, road: Road, body: Body, gears: GearTable
) -> None:
    """Ride the course in the gears given, over what the pass before wrote in the trace.

    `before` are the gears of that pass.  Where gear and entry are as they were then, the interval
    stands as it is, so that repeating a ride after a few changed gears costs little.
    """
    free = gear[0] == NO_GEAR
    low = gear_at(gears.lowest, False, gears, body)
    lowest_mps = body.low_rpm / 60.0 * gears.development_m[gears.lowest]
    lowest_mps = max(lowest_mps, body.slowest_riding_mps)
    differs, faster = True, 0.0
    for i in range(len(gear)):
        last = max(i - 1, 0)
        if not differs and gear[i] == before[i] and gear[last] == before[last]:
            faster = 0.0
            continue
        g, shifting = gear[i], trace.shift_left_s[i]
        if free:
            g = gears.nearest[min(int(trace.speed_mps[i] * LOOKUPS_PER_MPS), LOOKUPS - 1)]
        elif not trace.on_foot[i]:
            shifting += shift_time_s(gear[last], g, body, gears)
        # As much faster than expected as the interval before ended, this one is likely to end.
        expected = expected_end_mps(i, trace)
        stretch = stretch_at(i, shifting, expected + faster, trace, road)
        taken = gear_at(g, free, gears, body)
        if stretch.on_foot and not rideable_ahead(i, low, lowest_mps, trace, road, body):
            outcome = walk(stretch, body)
        else:
            outcome = ride_stretch(stretch, taken, low, lowest_mps, body)
        lasting = lasting_s_of(stretch, outcome, body)
        reserve_j = reserve_left_j(stretch, outcome, lasting, body)
        faster = outcome.end_mps - expected
        differs = write(i, outcome, lasting, reserve_j, body.reserve_j, trace)


@loop
def close_books(gear: Integers, trace: Trace, road: Road, body: Body, gears: GearTable) -> Books:
    """Where the work of the ride in the trace went."""
    pedalling_j = resistance_j = air_j = bearings_j = chain_j = brakes_j = walking_j = 0.0
    for i in range(len(gear)):
        power, mode, end = trace.power_w[i], trace.mode[i], trace.speed_mps[i + 1]
        stretch, taken = stretch_at(i, 0.0, 0.0, trace, road), gear_at(gear[i], False, gears, body)
        drag_n = taken.drag_n if power > 0.0 else 0.0
        interval = ending_interval_of(stretch, drag_n, body)
        interval = with_weight(interval, trace.end_weight[i], 1.0)
        pedalling_j += power * trace.duration_s[i]
        resistance_j += road.length_m[i] * road.resistance_n[i]
        air_j += interval.length_m * mean_air_n(interval, end)
        bearings_j += interval.length_m * mean_bearing_n(interval, end)
        if power > 0.0:
            chain_j += (1.0 - taken.share) * power * trace.duration_s[i]
            chain_j += drag_n * interval.length_m
        elif mode in (WALKING, COASTING):
            work_j = needed_wheel_w(interval, end) * duration_s(interval, end)
            brakes_j += max(-work_j, 0.0)
            walking_j += max(work_j, 0.0) if mode == WALKING else 0.0
    return Books(pedalling_j, resistance_j, air_j, bearings_j, chain_j, brakes_j, walking_j)
