"""The recorded power ridden along the course: what the forces and the gears alone make of it.

Here nothing of the rider's pace is guessed, so what is left is the error of the forces (drag area,
rolling, wind, heights and brakes), and cadence and gears come from the ride that the time is from.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course, Place
from gearsim.course.recorded.recording import RecordedStop
from gearsim.ride.ride import Ride
from gearsim.ride.simulate import simulate
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import gears_of
from gearsim.setup.rider import Rider
from gearsim.units import SECONDS_PER_MINUTE

Floats = NDArray[np.float64]

PEDALS_UNDER_MPS = 2.0
"""Twice the pace at which a rider balances (Cain et al. 2016): judgement.  Where the recorded rider
let the bike roll, one who comes along a little slower would roll to a standstill; nobody does."""

MOST_W, MOST_J, MOST_MPS, LEAST_RPM = 2000.0, 100_000.0, 60.0, 10.0
"""The most that a rider's critical power, reserve and last pedalling speed may be, and the least
low limit of cadence."""


def ride_power(
    course: Course,
    rider: Rider,
    bike: Bike,
    drivetrain: Drivetrain,
    conditions: Conditions,
    *,
    power_w: Floats,
    stops: Sequence[RecordedStop] = (),
) -> Ride:
    """The ride at a recorded power (at the cranks, W) in each interval, 0 where it was let roll.

    The recording tells how hard the rider pushed: neither reserve nor a last pedalling speed limits
    the power, only what the rider dares and the high limit of cadence do.  The rider pedals on, in
    the lowest gear, where so little power would let the bike come under 2 m/s, or under the low
    limit of cadence where that is slower.  Each of the `stops` is a new start from rest.
    """
    lowest_m = float(gears_of(drivetrain, bike).development_m.min())
    slow_rpm = max(PEDALS_UNDER_MPS / lowest_m * SECONDS_PER_MINUTE, LEAST_RPM)
    low_rpm, high_rpm = rider.limits_rpm
    tireless = replace(
        rider,
        critical_power_w=MOST_W,
        reserve_j=MOST_J,
        largest_power_w=None,
        stop_pedalling_mps=MOST_MPS,
        limits_rpm=(min(low_rpm, slow_rpm), high_rpm),
    )
    places = tuple(
        Place(name="stop", distance_m=stop.distance_m, stop_s=stop.duration_s) for stop in stops
    )
    stopping = replace(course, places=places)
    return simulate(stopping, tireless, bike, drivetrain, conditions, wanted_w=power_w)
