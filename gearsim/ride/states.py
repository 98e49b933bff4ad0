"""What the rider is doing on an interval."""

from __future__ import annotations

from enum import StrEnum


class State(StrEnum):
    """The states of a ride: exactly one an interval, decided by what limits the rider there."""

    ON_TARGET = "on target"
    UNDER_BAND = "under band"
    OVER_BAND = "over band"
    BELOW_LOWEST_GEAR = "below lowest gear"
    WALKING = "walking"
    SPUN_OUT = "spun out"
    COASTING = "coasting"


STATES = tuple(State)
"""All states in the order of their codes: `STATES[code]`."""


class Cause(StrEnum):
    """Why the cadence is outside the band although it is inside the limits."""

    NONE = ""
    BETWEEN_GEARS = "between gears"
    END_OF_RANGE = "end of range"


CAUSES = tuple(Cause)
"""All causes in the order of their codes: `CAUSES[code]`."""
