"""Ride and shift plan in turn, compiled: until the gears no longer change.

One call rides a whole leg without the interpreter, so that rides in several threads do not queue
for its lock between the passes.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gearsim.ride.compiler import inlined, loop
from gearsim.ride.kernel import NO_GEAR, GearTable, Trace, ride_pass
from gearsim.ride.pricing import Ladder, Wishes
from gearsim.ride.road import Road
from gearsim.ride.shifting import Path, least_cost_rows, take_gains, trace_back
from gearsim.ride.stretch import Body

Integers = NDArray[np.int64]

MOST_PASSES = 20
FIRST_WORTH_S = 0.1
"""Gain, in seconds at the limit of cadence, for which a shift plan is first changed again."""


class Rig(NamedTuple):
    """One rider on one bike on one course."""

    road: Road
    body: Body
    table: GearTable
    ladder: Ladder
    wishes: Wishes


@inlined
def copy_over(source: Integers, target: Integers) -> None:
    """Write one array over another of the same length."""
    for i in range(len(source)):
        target[i] = source[i]


@loop
def settle(gear: Integers, trace: Trace, path: Path, rig: Rig) -> tuple[int, bool]:
    """Repeat ride and shift plan in the trace until the gears no longer change.

    Writes the gears; gives how many passes it took, and whether they settled.

    A shift costs speed, and speed decides where to shift, so two plans can each call for the
    other.  From the second repeat on a stretch keeps its gears unless others gain more than a
    worth that doubles each time: a rider who does not change their mind for next to nothing.
    """
    road, body, table, ladder, wishes = rig
    for i in range(len(gear)):
        gear[i] = NO_GEAR
    before, planned, worth_s = gear.copy(), np.empty_like(gear), 0.0
    for passes in range(1, MOST_PASSES + 1):
        ride_pass(gear, before, trace, road, body, table)
        least_cost_rows(path, road, trace, ladder, wishes)
        trace_back(path, ladder, wishes, planned)
        copy_over(gear, before)
        if passes == 1:
            copy_over(planned, gear)
        elif take_gains(gear, planned, worth_s, road, trace, ladder, wishes) == 0:
            return passes, True
        else:
            worth_s = max(2.0 * worth_s, FIRST_WORTH_S)
    ride_pass(gear, before, trace, road, body, table)
    return MOST_PASSES + 1, False
