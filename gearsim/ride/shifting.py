"""The shift plan, compiled: the least-cost path through the gears along the course.

The cost is seconds × cadence penalty on every interval, and so much for each shift.  The path is
exact (dynamic programming over gears, Bellman 1957): a rider who sees the hill coming.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from gearsim.ride.kernel import (
    BELOW_LOWEST_GEAR,
    COASTING,
    PEDALLING,
    SPUN_OUT,
    WALKING,
    Road,
    Trace,
)

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Bytes = NDArray[np.uint8]

INSIDE_THE_BAND = 0.05  # penalty at the band's edge: in the band, nearer to the target is better
BEYOND_LIMIT = 8.0  # further penalty for each width of (limit - edge) beyond a limit
WRONG_GEAR = 50.0  # penalty for any but the lowest gear where the rider is below the lowest gear
NEWLY_PRICED = 0.005  # relative change of cadence from which an interval is priced again
SETTLED_COST_S = 1e-7
TOO_MUCH = 1e12

STAYED, STEPPED, JUMPED, CHANGED_RING = range(4)
"""How the path comes into a gear: from the same, the next sprocket, a further one, another ring."""


class Wishes(NamedTuple):
    """What the rider likes, and what a shift is worth, in seconds at the limit of cadence."""

    target_rpm: float
    low_edge_rpm: float
    high_edge_rpm: float
    low_inside_per_rpm2: float  # penalty in the band, on the low side of the target
    high_inside_per_rpm2: float
    low_off_per_rpm: float  # share of the way from the band's edge to the limit; negative
    high_off_per_rpm: float
    rear_step_s: float
    rear_jump_s: float
    front_s: float


class Ladder(NamedTuple):
    """The gears as slots: ring by ring, with an empty slot before, between and after the rings.

    The empty slots cost too much to enter, so that the neighbours of a slot need no telling apart.
    """

    rpm_per_mps: Floats  # (slots)
    upkeep: Floats  # (slots): penalty of each gear itself: its losses, a crossed chain
    empty: Floats  # (slots): 0 for a gear, `TOO_MUCH` for none
    ring_start: Integers  # (rings + 1): slots ring_start[r] up to ring_start[r + 1] - 1 are ring r
    slot: Integers  # (gears): the slot of each gear
    gear: Integers  # (slots): the gear in each slot
    lowest: int  # slot


class Path(NamedTuple):
    """What planning leaves for the next time."""

    cost_s: Floats  # (n, slots): least cost so far ending here, over the row before's least
    origin: Bytes  # (n, slots): how that is reached from the interval before
    priced_s: Floats  # (n): the time for the interval that the costs are for
    priced_mode: Bytes  # (n)


def empty_path(intervals: int, ladder: Ladder) -> Path:
    """A path for n intervals, before the first planning."""
    shape = (intervals, len(ladder.empty))
    return Path(
        cost_s=np.full(shape, TOO_MUCH),
        origin=np.zeros(shape, dtype=np.uint8),
        priced_s=np.zeros(intervals),
        priced_mode=np.zeros(intervals, dtype=np.uint8),
    )


@njit(nogil=True, error_model="numpy")
def cadence_penalty(cadence_rpm: float, wishes: Wishes) -> float:
    """Penalty of a second at a cadence.

    Small inside the band; from its edge rising linearly to 1 at the limit; steeply beyond.
    """
    from_target = cadence_rpm - wishes.target_rpm
    high = from_target >= 0.0
    from_edge = cadence_rpm - (wishes.high_edge_rpm if high else wishes.low_edge_rpm)
    off = max(from_edge * (wishes.high_off_per_rpm if high else wishes.low_off_per_rpm), 0.0)
    curve = wishes.high_inside_per_rpm2 if high else wishes.low_inside_per_rpm2
    inside = min(curve * from_target * from_target, INSIDE_THE_BAND)
    return inside + off * (1.0 - INSIDE_THE_BAND) + BEYOND_LIMIT * max(off - 1.0, 0.0)


@njit(nogil=True, error_model="numpy")
def own_cost_s(
    mode: int, duration_s: float, cadence_rpm: float, upkeep: float, lowest: bool, wishes: Wishes
) -> float:
    """Cost of an interval in a gear, shifts aside, in seconds at the limit of cadence."""
    if mode in (WALKING, COASTING):
        return 0.0
    if mode == BELOW_LOWEST_GEAR:
        return 0.0 if lowest else WRONG_GEAR * duration_s
    return duration_s * (cadence_penalty(cadence_rpm, wishes) + upkeep)


@njit(nogil=True, error_model="numpy", inline="always")
def price(
    mode: int, duration_s: float, length_m: float, ladder: Ladder, wishes: Wishes, own_s: Floats
) -> None:
    """Write into `own_s` what an interval costs in each slot, shifts aside."""
    if mode in (PEDALLING, SPUN_OUT):
        speed = length_m / duration_s
        for g in range(len(own_s)):
            penalty = cadence_penalty(speed * ladder.rpm_per_mps[g], wishes) + ladder.upkeep[g]
            own_s[g] = duration_s * penalty + ladder.empty[g]
    else:
        for g in range(len(own_s)):
            own = own_cost_s(mode, duration_s, 0.0, 0.0, g == ladder.lowest, wishes)
            own_s[g] = own + ladder.empty[g]


@njit(nogil=True, error_model="numpy", inline="always")
def take_up(i: int, cost_s: Floats, starts: Integers, row: Floats, least: Floats) -> None:
    """Take up the path behind interval i: its last row, and the least of each ring in it."""
    for r in range(len(least)):
        least[r] = TOO_MUCH
        for g in range(starts[r], starts[r + 1] - 1):
            row[g] = cost_s[i - 1, g] if i > 0 else 0.0
            least[r] = min(least[r], row[g])


@njit(nogil=True, error_model="numpy", inline="always")
def enter_rings(wishes: Wishes, least: Floats, enter_s: Floats, origin: Bytes) -> float:
    """Write what it costs to jump into each ring, and from where; give the least cost of all."""
    overall = TOO_MUCH
    for r in range(len(least)):
        overall = min(overall, least[r])
        elsewhere = TOO_MUCH
        for other in range(len(least)):
            if other != r:
                elsewhere = min(elsewhere, least[other])
        jump, change = least[r] + wishes.rear_jump_s, elsewhere + wishes.front_s
        enter_s[r] = min(jump, change)
        origin[r] = JUMPED if jump <= change else CHANGED_RING
    return overall


@njit(cache=True, nogil=True, error_model="numpy", fastmath={"nnan", "nsz"})
def least_cost_rows(path: Path, road: Road, trace: Trace, ladder: Ladder, wishes: Wishes) -> None:
    """Bring the rows of the path up to date with the ride in the trace.

    A shift's cost depends on its kind alone, so the least cost of each ring is all that has to be
    looked up, instead of every pair of gears.  Each row counts from the least of the row before:
    rows that the last planning left, and that nothing before them has changed, then stand.  A
    first planning is exact for the ride; later ones are for cadences within `NEWLY_PRICED`.
    """
    cost_s, origin, starts = path.cost_s, path.origin, ladder.ring_start
    intervals, slots = cost_s.shape
    rings = len(starts) - 1
    own_s, step_s, row = np.empty(slots), np.empty(slots), ladder.empty.copy()
    least, enter_s, entered = np.empty(rings), np.empty(rings), np.empty(rings, dtype=np.uint8)
    differs, stood = True, True
    for i in range(intervals):
        lasting, mode = trace.duration_s[i], trace.mode[i]
        off_s = abs(lasting - path.priced_s[i])
        stale = off_s > NEWLY_PRICED * lasting or mode != path.priced_mode[i]
        if not (differs or stale):
            stood = True
            continue
        if stood:
            take_up(i, cost_s, starts, row, least)
            stood = False
        if stale:
            path.priced_s[i], path.priced_mode[i] = lasting, mode
        price(path.priced_mode[i], path.priced_s[i], road.length_m[i], ladder, wishes, own_s)
        base = enter_rings(wishes, least, enter_s, entered)
        for g in range(1, slots - 1):
            step_s[g] = min(row[g - 1], row[g + 1]) + wishes.rear_step_s
        moved = 0
        for r in range(rings):
            enter, by, ring_least = enter_s[r], entered[r], TOO_MUCH
            for g in range(starts[r], starts[r + 1] - 1):
                step, stay = step_s[g], row[g]
                shift = min(step, enter)
                source = STEPPED if step <= enter else by
                origin[i, g] = source if shift < stay else STAYED
                cost = own_s[g] + min(stay, shift) - base
                moved |= abs(cost - cost_s[i, g]) > SETTLED_COST_S
                cost_s[i, g] = row[g] = cost
                ring_least = min(ring_least, cost)
            least[r] = ring_least
        differs = moved != 0


@njit(nogil=True, error_model="numpy")
def slot_before(slot: int, origin: int, row: Floats, ladder: Ladder) -> int:
    """The slot from which the path came into this one, by the costs of the interval before."""
    if origin == STAYED:
        return slot
    if origin == STEPPED:
        return slot - 1 if row[slot - 1] <= row[slot + 1] else slot + 1
    best, cost = slot, TOO_MUCH
    for r in range(len(ladder.ring_start) - 1):
        first, end = ladder.ring_start[r], ladder.ring_start[r + 1] - 1
        if (first <= slot < end) == (origin == JUMPED):
            for g in range(first, end):
                if row[g] < cost:
                    best, cost = g, row[g]
    return best


@njit(cache=True, nogil=True, error_model="numpy")
def trace_back(path: Path, ladder: Ladder, gear: Integers) -> None:
    """Write the gears of the least-cost path, from the finish backwards."""
    intervals = len(gear)
    best = ladder.lowest
    for g in ladder.slot:
        if path.cost_s[intervals - 1, g] < path.cost_s[intervals - 1, best]:
            best = g
    for i in range(intervals - 1, -1, -1):
        gear[i] = ladder.gear[best]
        if i > 0 and path.origin[i, best] != STAYED:
            best = slot_before(best, path.origin[i, best], path.cost_s[i - 1], ladder)


@njit(nogil=True, error_model="numpy")
def shift_cost_s(before: int, after: int, ring_start: Integers, wishes: Wishes) -> float:
    """Cost of going from one slot to another, in seconds at the limit of cadence."""
    if before == after:
        return 0.0
    for r in range(1, len(ring_start) - 1):
        if (before < ring_start[r]) != (after < ring_start[r]):
            return wishes.front_s
    step = wishes.rear_step_s if abs(before - after) == 1 else wishes.rear_jump_s
    return min(step, wishes.rear_jump_s)


@njit(nogil=True, error_model="numpy")
def cost_of_s(
    gear: Integers, first: int, end: int, road: Road, trace: Trace, ladder: Ladder, wishes: Wishes
) -> float:
    """Cost of the gears on intervals first up to end, with the shifts into and out of them."""
    total = 0.0
    for i in range(first, min(end + 1, len(gear))):
        slot = ladder.slot[gear[i]]
        if i > 0:
            total += shift_cost_s(ladder.slot[gear[i - 1]], slot, ladder.ring_start, wishes)
        if i < end:
            lasting, lowest = trace.duration_s[i], slot == ladder.lowest
            cadence = road.length_m[i] / lasting * ladder.rpm_per_mps[slot]
            upkeep = ladder.upkeep[slot]
            total += own_cost_s(trace.mode[i], lasting, cadence, upkeep, lowest, wishes)
    return total


@njit(cache=True, nogil=True, error_model="numpy")
def take_gains(
    gear: Integers,
    planned: Integers,
    worth_s: float,
    road: Road,
    trace: Trace,
    ladder: Ladder,
    wishes: Wishes,
) -> int:
    """Take planned gears over into `gear`, stretch by stretch, where they gain more than worth.

    A stretch runs as long as the two differ.  Gives the number of intervals whose gear changed.
    """
    intervals, changes, first = len(gear), 0, 0
    kept = gear.copy()
    while first < intervals:
        if planned[first] == kept[first]:
            first += 1
            continue
        end = first + 1
        while end < intervals and planned[end] != kept[end]:
            end += 1
        now_s = cost_of_s(kept, first, end, road, trace, ladder, wishes)
        then_s = cost_of_s(planned, first, end, road, trace, ladder, wishes)
        if now_s - then_s > worth_s:
            changes += end - first
            for i in range(first, end):
                gear[i] = planned[i]
        first = end
    return changes
