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

SLOTS_AT_ONCE = 16
"""Slots of a ring come in multiples of this, so that compiled loops over them are whole vectors."""


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
    """The gears as slots: as many for each ring, the first and the last ones of a ring empty.

    The empty slots cost too much to enter, so that the neighbours of a slot need no telling apart.
    """

    rpm_per_mps: Floats  # (slots)
    upkeep: Floats  # (slots): penalty of each gear itself: its losses, a crossed chain
    empty: Floats  # (slots): 0 for a gear, `TOO_MUCH` for none
    slot: Integers  # (gears): the slot of each gear
    gear: Integers  # (slots): the gear in each slot
    ring: Integers  # (slots): the ring that each slot is of
    lowest: int  # slot
    rings: int


class Path(NamedTuple):
    """What planning leaves for the next time."""

    cost_s: Floats  # (n, slots): least cost so far ending here, over the row before's least
    enter_s: Floats  # (n, rings): least cost of a jump into the ring, counted as the row before
    priced_s: Floats  # (n): the time for the interval that the costs are for
    priced_mode: Bytes  # (n)


def empty_path(intervals: int, ladder: Ladder) -> Path:
    """A path for n intervals, before the first planning."""
    return Path(
        cost_s=np.empty((intervals, len(ladder.empty))),
        enter_s=np.empty((intervals, ladder.rings)),
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
def enter_rings(least: Floats, wishes: Wishes, enter_s: Floats, of_slots: Floats) -> float:
    """Write the least cost of a jump into each ring, and for its slots; give the least of all."""
    overall = TOO_MUCH
    for r in range(len(least)):
        overall = min(overall, least[r])
        elsewhere = TOO_MUCH
        for other in range(len(least)):
            if other != r:
                elsewhere = min(elsewhere, least[other])
        enter = min(least[r] + wishes.rear_jump_s, elsewhere + wishes.front_s)
        enter_s[r], of_ring = enter, of_slots[r]
        for g in range(len(of_ring)):
            of_ring[g] = enter
    return overall


@njit(nogil=True, error_model="numpy", inline="always")
def keep_row(cost_s: Floats, kept_s: Floats, row: Floats) -> bool:
    """Keep a new row in the path, and as the row before the next; tell whether it has moved."""
    moved = 0
    for g in range(len(cost_s)):
        moved |= abs(cost_s[g] - kept_s[g]) > SETTLED_COST_S
        kept_s[g] = row[g + 1] = cost_s[g]
    return moved != 0


@njit(nogil=True, error_model="numpy", inline="always")
def least_of_rings(rings_s: Floats, least: Floats) -> None:
    """Write the least cost of each ring."""
    for r in range(len(least)):
        of_ring, ring_least = rings_s[r], TOO_MUCH
        for g in range(len(of_ring)):
            ring_least = min(ring_least, of_ring[g])
        least[r] = ring_least


@njit(cache=True, nogil=True, error_model="numpy", fastmath={"nnan", "nsz"})
def least_cost_rows(path: Path, road: Road, trace: Trace, ladder: Ladder, wishes: Wishes) -> None:
    """Bring the rows of the path up to date with the ride in the trace.

    A shift's cost depends on its kind alone, so the least cost of each ring is all that has to be
    looked up, instead of every pair of gears.  Each row counts from the least of the row before:
    rows that the last planning left, and that nothing before them has changed, then stand.  A
    first planning is exact for the ride; later ones are for cadences within `NEWLY_PRICED`.
    """
    intervals, rings = path.enter_s.shape
    slots = len(ladder.empty) // SLOTS_AT_ONCE * SLOTS_AT_ONCE  # tells the compiler of the multiple
    own_s, least = np.empty(slots), np.zeros(rings)
    row = np.empty(slots + 2)  # the row before, an empty slot at either end
    row[0] = row[-1] = TOO_MUCH
    for g in range(slots):
        row[g + 1] = ladder.empty[g]
    entering, rows = np.empty((rings, slots // rings)), np.empty((rings, slots // rings))
    enter_s, cost_s = entering.ravel(), rows.ravel()
    differs, stood = True, False
    for i in range(intervals):
        lasting, mode = trace.duration_s[i], trace.mode[i]
        off_s = abs(lasting - path.priced_s[i])
        stale = off_s > NEWLY_PRICED * lasting or mode != path.priced_mode[i]
        if not (differs or stale):
            stood = True
            continue
        if stood:
            for g in range(slots):
                cost_s[g] = row[g + 1] = path.cost_s[i - 1, g]
            least_of_rings(rows, least)
            stood = False
        if stale:
            path.priced_s[i], path.priced_mode[i] = lasting, mode
        price(path.priced_mode[i], path.priced_s[i], road.length_m[i], ladder, wishes, own_s)
        base = enter_rings(least, wishes, path.enter_s[i], entering)
        for g in range(slots):
            shift = min(min(row[g], row[g + 2]) + wishes.rear_step_s, enter_s[g])
            cost_s[g] = own_s[g] + min(row[g + 1], shift) - base
        differs = keep_row(cost_s, path.cost_s[i], row)
        least_of_rings(rows, least)


@njit(nogil=True, error_model="numpy", inline="always")
def slot_before(slot: int, i: int, path: Path, ladder: Ladder, wishes: Wishes) -> int:
    """The slot from which the path came into this one of interval i."""
    lower, stay = path.cost_s[i - 1, slot - 1], path.cost_s[i - 1, slot]
    higher, enter = path.cost_s[i - 1, slot + 1], path.enter_s[i, ladder.ring[slot]]
    step = min(lower, higher) + wishes.rear_step_s
    if stay <= min(step, enter):
        return slot
    if step <= enter:
        return slot - 1 if lower <= higher else slot + 1
    best, least = slot, TOO_MUCH
    for g in ladder.slot:
        same_ring = ladder.ring[g] == ladder.ring[slot]
        cost = path.cost_s[i - 1, g] + (wishes.rear_jump_s if same_ring else wishes.front_s)
        if cost < least:
            best, least = g, cost
    return best


@njit(cache=True, nogil=True, error_model="numpy")
def trace_back(path: Path, ladder: Ladder, wishes: Wishes, gear: Integers) -> None:
    """Write the gears of the least-cost path, from the finish backwards."""
    intervals = len(gear)
    best = ladder.lowest
    for g in ladder.slot:
        if path.cost_s[intervals - 1, g] < path.cost_s[intervals - 1, best]:
            best = g
    for i in range(intervals - 1, 0, -1):
        gear[i] = ladder.gear[best]
        best = slot_before(best, i, path, ladder, wishes)
    gear[0] = ladder.gear[best]


@njit(nogil=True, error_model="numpy")
def shift_cost_s(before: int, after: int, ring: Integers, wishes: Wishes) -> float:
    """Cost of going from one slot to another, in seconds at the limit of cadence."""
    if before == after:
        return 0.0
    if ring[before] != ring[after]:
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
            total += shift_cost_s(ladder.slot[gear[i - 1]], slot, ladder.ring, wishes)
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
