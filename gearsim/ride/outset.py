"""What is settled before the gears are chosen, worked out once for many rides."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.course.course import Course
from gearsim.ride.arrays import road_for_1_kg
from gearsim.ride.road import Road
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.rider import Rider


@dataclass(frozen=True, kw_only=True)
class Outset:
    """One rider on one bike on one course and day, whatever the gears.

    `road` is the course as they meet it, for each kg that moves along it.
    """

    course: Course
    rider: Rider
    bike: Bike
    conditions: Conditions
    road: Road


def outset_of(course: Course, rider: Rider, bike: Bike, conditions: Conditions) -> Outset:
    """What all drivetrains have in common on this ride."""
    return Outset(
        course=course,
        rider=rider,
        bike=bike,
        conditions=conditions,
        road=road_for_1_kg(course, rider, bike, conditions),
    )
