"""What a second in a gear and a shift are worth to the rider, compiled.

In single precision: the costs of an interval are seconds, told to a millionth of one, in half the
memory that the plan goes through.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gearsim.ride.compiler import inlined, part
from gearsim.ride.kernel import Trace
from gearsim.ride.road import Road
from gearsim.ride.stretch import BELOW_LOWEST_GEAR, COASTING, PEDALLING, SPUN_OUT, WALKING

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Singles = NDArray[np.float32]

Single = np.float32
Real = float | Single
NONE, ONE = Single(0.0), Single(1.0)
INSIDE_THE_BAND = Single(0.05)
"""Penalty at the band's edge: in the band, nearer to the target is better."""
BEYOND_LIMIT = Single(8.0)
"""Further penalty for each width of (limit - edge) beyond a limit."""
WRONG_GEAR = Single(50.0)
"""Penalty for any but the lowest gear where the rider is below the lowest gear."""
TOO_MUCH = Single(1e12)

SLOTS_AT_ONCE = 16
"""Slots of a ring come in multiples of this, so that compiled loops over them are whole vectors."""


class Wishes(NamedTuple):
    """What the rider likes, and what a shift is worth, in seconds at the limit of cadence."""

    target_rpm: Single
    low_edge_rpm: Single
    high_edge_rpm: Single
    low_inside_per_rpm2: Single  # penalty in the band, on the low side of the target
    high_inside_per_rpm2: Single
    low_off_per_rpm: Single  # share of the way from the band's edge to the limit; negative
    high_off_per_rpm: Single
    rear_step_s: Single
    rear_jump_s: Single
    front_s: Single


class Ladder(NamedTuple):
    """The gears as slots: as many for each ring, the first and the last ones of a ring empty.

    The empty slots cost too much to enter, so that the neighbours of a slot need no telling apart.
    """

    rpm_per_mps: Singles  # (slots)
    upkeep: Singles  # (slots): penalty of each gear itself: its losses, a crossed chain
    empty: Singles  # (slots): 0 for a gear, `TOO_MUCH` for none
    slot: Integers  # (gears): the slot of each gear
    gear: Integers  # (slots): the gear in each slot
    ring: Integers  # (slots): the ring that each slot is of
    lowest: int  # slot
    rings: int


@part
def cadence_penalty(cadence_rpm: Real, wishes: Wishes) -> Real:
    """Penalty of a second at a cadence.

    Small inside the band; from its edge rising linearly to 1 at the limit; steeply beyond.
    """
    from_target = cadence_rpm - wishes.target_rpm
    high = from_target >= NONE
    from_edge = cadence_rpm - (wishes.high_edge_rpm if high else wishes.low_edge_rpm)
    off = max(from_edge * (wishes.high_off_per_rpm if high else wishes.low_off_per_rpm), NONE)
    curve = wishes.high_inside_per_rpm2 if high else wishes.low_inside_per_rpm2
    inside = min(curve * from_target * from_target, INSIDE_THE_BAND)
    return inside + off * (ONE - INSIDE_THE_BAND) + BEYOND_LIMIT * max(off - ONE, NONE)


@part
def own_cost_s(
    mode: int, duration_s: Real, cadence_rpm: Real, upkeep: Real, lowest: bool, wishes: Wishes
) -> Real:
    """Cost of an interval in a gear, shifts aside, in seconds at the limit of cadence."""
    if mode in (WALKING, COASTING):
        return NONE
    if mode == BELOW_LOWEST_GEAR:
        return NONE if lowest else WRONG_GEAR * duration_s
    return duration_s * (cadence_penalty(cadence_rpm, wishes) + upkeep)


@inlined
def price(
    mode: int, duration_s: float, length_m: float, ladder: Ladder, wishes: Wishes, own_s: Singles
) -> None:
    """Write into `own_s` what an interval costs in each slot, shifts aside."""
    if mode in (PEDALLING, SPUN_OUT):
        speed, lasting = Single(length_m / duration_s), Single(duration_s)
        for g in range(len(own_s)):
            penalty = cadence_penalty(speed * ladder.rpm_per_mps[g], wishes) + ladder.upkeep[g]
            own_s[g] = lasting * penalty + ladder.empty[g]
    else:
        for g in range(len(own_s)):
            own = own_cost_s(mode, duration_s, 0.0, 0.0, g == ladder.lowest, wishes)
            own_s[g] = own + ladder.empty[g]


@part
def shift_cost_s(before: int, after: int, ring: Integers, wishes: Wishes) -> Single:
    """Cost of going from one slot to another, in seconds at the limit of cadence."""
    if before == after:
        return NONE
    if ring[before] != ring[after]:
        return wishes.front_s
    step = wishes.rear_step_s if abs(before - after) == 1 else wishes.rear_jump_s
    return min(step, wishes.rear_jump_s)


@part
def cost_of_s(
    gear: Integers, first: int, end: int, road: Road, trace: Trace, ladder: Ladder, wishes: Wishes
) -> float:
    """Cost of the gears on intervals first up to end, with the shifts into and out of them."""
    total = 0.0
    for i in range(first, min(end + 1, len(gear))):
        slot = ladder.slot[gear[i]]
        if i > 0:
            total += float(shift_cost_s(ladder.slot[gear[i - 1]], slot, ladder.ring, wishes))
        if i < end:
            lasting, lowest = trace.duration_s[i], slot == ladder.lowest
            cadence = road.length_m[i] / lasting * ladder.rpm_per_mps[slot]
            upkeep = ladder.upkeep[slot]
            total += float(own_cost_s(trace.mode[i], lasting, cadence, upkeep, lowest, wishes))
    return total
