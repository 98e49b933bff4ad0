"""What a ride was like, compiled: the cadence, state and cause of each interval, and the shifts."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gearsim.ride.compiler import inlined, loop
from gearsim.ride.kernel import GearTable, Trace
from gearsim.ride.road import Road
from gearsim.ride.states import CAUSES, STATES, Cause, State
from gearsim.ride.stretch import (
    BELOW_LOWEST_GEAR,
    COASTING,
    PEDALLING,
    SPUN_OUT,
    WALKING,
    Body,
)
from gearsim.units import SECONDS_PER_MINUTE

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

ON_TARGET = STATES.index(State.ON_TARGET)
UNDER_BAND = STATES.index(State.UNDER_BAND)
OVER_BAND = STATES.index(State.OVER_BAND)
NO_CAUSE = CAUSES.index(Cause.NONE)
BETWEEN_GEARS = CAUSES.index(Cause.BETWEEN_GEARS)
END_OF_RANGE = CAUSES.index(Cause.END_OF_RANGE)

_STATES_BY_MODE = {
    PEDALLING: State.ON_TARGET,
    BELOW_LOWEST_GEAR: State.BELOW_LOWEST_GEAR,
    WALKING: State.WALKING,
    SPUN_OUT: State.SPUN_OUT,
    COASTING: State.COASTING,
}
STATE_OF_MODE = tuple(STATES.index(_STATES_BY_MODE[mode]) for mode in sorted(_STATES_BY_MODE))
"""The code of the state for each mode; while pedalling the cadence tells it."""


class Telling(NamedTuple):
    """What is told of each interval, (n)."""

    cadence_rpm: Floats  # 0 where no power reaches the cranks
    state: Integers
    cause: Integers


def empty_telling(intervals: int) -> Telling:
    """Room for the telling of n intervals."""
    return Telling(
        cadence_rpm=np.empty(intervals),
        state=np.empty(intervals, dtype=np.int64),
        cause=np.empty(intervals, dtype=np.int64),
    )


@inlined
def pedalling_state(
    cadence_rpm: float, power_w: float, highest: bool, lowest: bool, body: Body
) -> tuple[int, int]:
    """State and cause of an interval where neither gears nor road limit the rider."""
    # Pedalling without power: freewheeling in a gear that is too low for a moment.
    if cadence_rpm > body.high_edge_rpm or power_w == 0.0:
        return OVER_BAND, END_OF_RANGE if highest else BETWEEN_GEARS
    if cadence_rpm < body.low_edge_rpm:
        return UNDER_BAND, END_OF_RANGE if lowest else BETWEEN_GEARS
    return ON_TARGET, NO_CAUSE


@loop
def tell(
    gear: Integers,
    trace: Trace,
    road: Road,
    gears: GearTable,
    body: Body,
    telling: Telling,
) -> tuple[int, int]:
    """Write what the ride in the trace was like; give its rear and front shifts.

    Changing ring and sprocket at once counts as one shift of each.
    """
    rear = front = 0
    for i in range(len(gear)):
        g, last, power = gear[i], gear[max(i - 1, 0)], trace.power_w[i]
        rear += gears.place[g] != gears.place[last]
        front += gears.ring[g] != gears.ring[last]
        speed = road.length_m[i] / trace.duration_s[i]
        cadence = speed / gears.development_m[g] * SECONDS_PER_MINUTE if power > 0.0 else 0.0
        state, cause = STATE_OF_MODE[trace.mode[i]], NO_CAUSE
        if trace.mode[i] == PEDALLING:
            highest, lowest = g == gears.highest, g == gears.lowest
            state, cause = pedalling_state(cadence, power, highest, lowest, body)
        telling.cadence_rpm[i] = cadence
        telling.state[i] = state
        telling.cause[i] = cause
    return rear, front
