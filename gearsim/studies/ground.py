"""On what kind of ground a ride's seconds in each state are spent."""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from gearsim.ride.ride import Ride
from gearsim.ride.states import STATES, State

LEVEL_TO = 0.02  # grade up to which the road counts as flat (judgement)


class Ground(StrEnum):
    """Whether the road rises, is level or falls."""

    UPHILL = "uphill"
    FLAT = "on the flats"
    DOWNHILL = "downhill"


GROUNDS = tuple(Ground)

GroundSeconds = dict[State, tuple[float, ...]]  # in the order of `GROUNDS`


def seconds_by_ground(ride: Ride) -> GroundSeconds:
    """Seconds in each state uphill, on the flats and downhill; they add up to the ride's."""
    grade, count = ride.course.grade, len(GROUNDS)
    ground = 1 + (grade < -LEVEL_TO).astype(np.int64) - (grade > LEVEL_TO)
    seconds = np.bincount(
        ride.state * count + ground, weights=ride.duration_s, minlength=len(STATES) * count
    ).reshape(len(STATES), count)
    return {state: tuple(row) for state, row in zip(STATES, seconds.tolist(), strict=True)}
