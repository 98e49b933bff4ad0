"""The shift plan, compiled: the least-cost path through the gears along the course.

The cost is seconds × cadence penalty on every interval, and so much for each shift.  The path is
exact (dynamic programming over gears, Bellman 1957): a rider who sees the hill coming.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gearsim.ride.compiler import inlined, loop, loop_without_nan
from gearsim.ride.kernel import Trace
from gearsim.ride.pricing import (
    SLOTS_AT_ONCE,
    TOO_MUCH,
    Ladder,
    Single,
    Singles,
    Wishes,
    cost_of_s,
    price,
)
from gearsim.ride.road import Road

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Bytes = NDArray[np.uint8]

NEWLY_PRICED = 0.005  # relative change of cadence from which an interval is priced again
SETTLED_COST_S = Single(1e-5)


class Path(NamedTuple):
    """What planning leaves for the next time."""

    cost_s: Singles  # (n, slots): least cost so far ending here, over the row before's least
    enter_s: Singles  # (n, rings): least cost of a jump into the ring, counted as the row before
    priced_s: Floats  # (n): the time for the interval that the costs are for
    priced_mode: Bytes  # (n)
    touched: Bytes  # (n): whether the last planning worked the row out again
    slot: Integers  # (n): the slots of the last path


def empty_path(intervals: int, ladder: Ladder) -> Path:
    """A path for n intervals, before the first planning."""
    return Path(
        cost_s=np.empty((intervals, len(ladder.empty)), dtype=Single),
        enter_s=np.empty((intervals, ladder.rings), dtype=Single),
        priced_s=np.zeros(intervals),
        priced_mode=np.zeros(intervals, dtype=np.uint8),
        touched=np.zeros(intervals, dtype=np.uint8),
        slot=np.zeros(intervals, dtype=np.int64),
    )


@inlined
def enter_rings(least: Singles, wishes: Wishes, enter_s: Singles, of_slots: Singles) -> Single:
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


@inlined
def keep_row(cost_s: Singles, kept_s: Singles, row: Singles) -> bool:
    """Keep a new row in the path, and as the row before the next; tell whether it has moved."""
    moved = 0
    for g in range(len(cost_s)):
        moved |= abs(cost_s[g] - kept_s[g]) > SETTLED_COST_S
        kept_s[g] = row[g + 1] = cost_s[g]
    return moved != 0


@inlined
def least_of_rings(rings_s: Singles, least: Singles) -> None:
    """Write the least cost of each ring."""
    for r in range(len(least)):
        of_ring, ring_least = rings_s[r], TOO_MUCH
        for g in range(len(of_ring)):
            ring_least = min(ring_least, of_ring[g])
        least[r] = ring_least


@loop_without_nan
def least_cost_rows(path: Path, road: Road, trace: Trace, ladder: Ladder, wishes: Wishes) -> None:
    """Bring the rows of the path up to date with the ride in the trace.

    A shift's cost depends on its kind alone, so the least cost of each ring is all that has to be
    looked up, instead of every pair of gears.  Each row counts from the least of the row before:
    rows that the last planning left, and that nothing before them has changed, then stand.  A
    first planning is exact for the ride; later ones are for cadences within `NEWLY_PRICED`.
    """
    intervals, rings = path.enter_s.shape
    slots = len(ladder.empty) // SLOTS_AT_ONCE * SLOTS_AT_ONCE  # tells the compiler of the multiple
    own_s, least = np.empty(slots, Single), np.zeros(rings, Single)
    row = np.empty(slots + 2, Single)  # the row before, an empty slot at either end
    row[0] = row[-1] = TOO_MUCH
    for g in range(slots):
        row[g + 1] = ladder.empty[g]
    shape = (rings, slots // rings)
    entering, rows = np.empty(shape, Single), np.empty(shape, Single)
    enter_s, cost_s = entering.ravel(), rows.ravel()
    differs, stood = True, False
    for i in range(intervals):
        lasting, mode = trace.duration_s[i], trace.mode[i]
        off_s = abs(lasting - path.priced_s[i])
        stale = off_s > NEWLY_PRICED * lasting or mode != path.priced_mode[i]
        path.touched[i] = differs or stale
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


@inlined
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


@loop
def trace_back(path: Path, ladder: Ladder, wishes: Wishes, gear: Integers) -> None:
    """Write the gears of the least-cost path, from the finish backwards.

    Where it comes by the slot of the path before, through a row that stands, it goes on as that.
    """
    intervals = len(gear)
    best = ladder.lowest
    for g in ladder.slot:
        if path.cost_s[intervals - 1, g] < path.cost_s[intervals - 1, best]:
            best = g
    for i in range(intervals - 1, 0, -1):
        gear[i] = ladder.gear[best]
        as_before = best == path.slot[i] and not path.touched[i - 1]
        path.slot[i] = best
        best = path.slot[i - 1] if as_before else slot_before(best, i, path, ladder, wishes)
    gear[0], path.slot[0] = ladder.gear[best], best


@loop
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
