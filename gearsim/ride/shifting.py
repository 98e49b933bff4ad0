"""The shift plan, compiled: the least-cost path through the gears along the course.

The cost is seconds × cadence penalty on every interval, and so much for each shift.  The path is
exact (dynamic programming over gears, Bellman 1957): a rider who sees the hill coming.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from gearsim.ride.kernel import BELOW_LOWEST_GEAR, COASTING, WALKING, Road, Trace

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Bytes = NDArray[np.uint8]

INSIDE_THE_BAND = 0.05  # penalty at the band's edge: in the band, nearer to the target is better
BEYOND_LIMIT = 8.0  # further penalty for each width of (limit - edge) beyond a limit
WRONG_GEAR = 50.0  # penalty for any but the lowest gear where the rider is below the lowest gear
SETTLED_COST_S = 1e-7
TOO_MUCH = 1e12

STAYED, STEPPED, JUMPED, CHANGED_RING = range(4)
"""How the path comes into a gear: from the same, the next sprocket, a further one, another ring."""


class Wishes(NamedTuple):
    """What the rider likes, and what a shift is worth, in seconds at the limit of cadence."""

    target_rpm: float
    low_edge_rpm: float
    high_edge_rpm: float
    low_limit_rpm: float
    high_limit_rpm: float
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


def empty_path(intervals: int, ladder: Ladder) -> Path:
    """A path for n intervals, before the first planning."""
    shape = (intervals, len(ladder.empty))
    return Path(np.full(shape, TOO_MUCH), np.zeros(shape, dtype=np.uint8))


@njit(cache=True, nogil=True)
def cadence_penalty(cadence_rpm: float, wishes: Wishes) -> float:
    """Penalty of a second at a cadence.

    Small inside the band; from its edge rising linearly to 1 at the limit; steeply beyond.
    """
    high = cadence_rpm >= wishes.target_rpm
    edge = wishes.high_edge_rpm if high else wishes.low_edge_rpm
    limit = wishes.high_limit_rpm if high else wishes.low_limit_rpm
    inside = (cadence_rpm - wishes.target_rpm) / (edge - wishes.target_rpm)
    off = max((cadence_rpm - edge) / (limit - edge), 0.0)
    near = INSIDE_THE_BAND * min(inside * inside, 1.0)
    return near + off * (1.0 - INSIDE_THE_BAND) + BEYOND_LIMIT * max(off - 1.0, 0.0)


@njit(cache=True, nogil=True, inline="always")
def price(i: int, road: Road, trace: Trace, ladder: Ladder, wishes: Wishes, own_s: Floats) -> None:
    """Write into `own_s` what interval i costs in each slot, shifts aside."""
    lasting, mode = trace.duration_s[i], trace.mode[i]
    speed = road.length_m[i] / lasting
    if mode in (WALKING, COASTING):
        for g in range(len(own_s)):
            own_s[g] = ladder.empty[g]
    elif mode == BELOW_LOWEST_GEAR:
        for g in range(len(own_s)):
            own_s[g] = ladder.empty[g] + WRONG_GEAR * lasting
        own_s[ladder.lowest] = 0.0
    else:
        for g in range(len(own_s)):
            penalty = cadence_penalty(speed * ladder.rpm_per_mps[g], wishes) + ladder.upkeep[g]
            own_s[g] = lasting * penalty + ladder.empty[g]


@njit(cache=True, nogil=True, inline="always")
def ring_leasts(row: Floats, ladder: Ladder, least: Floats) -> float:
    """Write each ring's least cost; give the least of all."""
    overall = TOO_MUCH
    for r in range(len(least)):
        least[r] = TOO_MUCH
        for g in range(ladder.ring_start[r], ladder.ring_start[r + 1] - 1):
            least[r] = min(least[r], row[g])
        overall = min(overall, least[r])
    return overall


@njit(cache=True, nogil=True, inline="always")
def least_elsewhere(r: int, least: Floats) -> float:
    """The least cost on any other ring than r."""
    elsewhere = TOO_MUCH
    for other in range(len(least)):
        if other != r:
            elsewhere = min(elsewhere, least[other])
    return elsewhere


@njit(cache=True, nogil=True, fastmath={"nnan", "nsz"})
def least_cost_rows(path: Path, road: Road, trace: Trace, ladder: Ladder, wishes: Wishes) -> None:
    """Bring the rows of the path up to date with the ride in the trace.

    A shift's cost depends on its kind alone, so the least cost of each ring is all that has to be
    looked up, instead of every pair of gears.  Each row counts from the least of the row before:
    rows that the last planning left, and that nothing before them has changed, then stand.
    """
    intervals, slots = path.cost_s.shape
    own_s, row, least = np.empty(slots), ladder.empty.copy(), np.empty(len(ladder.ring_start) - 1)
    differs, stood = True, True
    for i in range(intervals):
        if not (differs or trace.changed[i]):
            stood = True
            continue
        if stood and i > 0:
            for g in range(slots):
                row[g] = path.cost_s[i - 1, g]
        stood = False
        price(i, road, trace, ladder, wishes, own_s)
        base = ring_leasts(row, ladder, least)
        moved = 0
        for r in range(len(least)):
            jump, front = least[r] + wishes.rear_jump_s, least_elsewhere(r, least) + wishes.front_s
            for g in range(ladder.ring_start[r], ladder.ring_start[r + 1] - 1):
                step = min(row[g - 1], row[g + 1]) + wishes.rear_step_s
                shift = min(step, min(jump, front))
                cost = own_s[g] + min(row[g], shift) - base
                origin = JUMPED if jump <= front else CHANGED_RING
                origin = origin if shift < step else STEPPED
                path.origin[i, g] = origin if shift < row[g] else STAYED
                moved |= abs(cost - path.cost_s[i, g]) > SETTLED_COST_S
                path.cost_s[i, g] = cost
            row[ladder.ring_start[r + 1] - 1] = TOO_MUCH
        for r in range(len(least)):
            for g in range(ladder.ring_start[r], ladder.ring_start[r + 1] - 1):
                row[g] = path.cost_s[i, g]
        differs = moved != 0


@njit(cache=True, nogil=True)
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


@njit(cache=True, nogil=True)
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


@njit(cache=True, nogil=True)
def shift_cost_s(before: int, after: int, ladder: Ladder, wishes: Wishes) -> float:
    """Cost of going from one slot to another, in seconds at the limit of cadence."""
    if before == after:
        return 0.0
    for r in range(1, len(ladder.ring_start) - 1):
        if (before < ladder.ring_start[r]) != (after < ladder.ring_start[r]):
            return wishes.front_s
    step = wishes.rear_step_s if abs(before - after) == 1 else wishes.rear_jump_s
    return min(step, wishes.rear_jump_s)


@njit(cache=True, nogil=True)
def cost_of_s(
    gear: Integers, first: int, end: int, road: Road, trace: Trace, ladder: Ladder, wishes: Wishes
) -> float:
    """Cost of the gears on intervals first up to end, with the shifts into and out of them."""
    own_s = np.empty(len(ladder.empty))
    total = 0.0
    for i in range(first, min(end + 1, len(gear))):
        slot = ladder.slot[gear[i]]
        if i > 0:
            total += shift_cost_s(ladder.slot[gear[i - 1]], slot, ladder, wishes)
        if i < end:
            price(i, road, trace, ladder, wishes, own_s)
            total += own_s[slot]
    return total


@njit(cache=True, nogil=True)
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
