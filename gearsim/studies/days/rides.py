"""Rides on a drawn day: who, on what and in what that day makes, and what is kept of the ride."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from gearsim.errors import PlanError
from gearsim.ride.outset import outset_of
from gearsim.ride.ride import Ride
from gearsim.ride.score import Score, Weights, score
from gearsim.ride.simulate import simulate_from
from gearsim.ride.states import STATES, State
from gearsim.setup.athlete import at_power
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider
from gearsim.setup.uncertain import Uncertain
from gearsim.studies.days.draws import Day
from gearsim.studies.days.heights import HeightErrors, course_on

MASSES_KG, DRAG_AREAS_M2, ROLLING_FACTORS = (3.0, 150.0), (0.05, 2.0), (0.2, 5.0)
"""What `Bike` allows."""


@dataclass(frozen=True, kw_only=True)
class DayRide:
    """What is kept of a ride on a drawn day; the intervals are not."""

    score: Score
    walked_m: float
    settled: bool

    @property
    def walked_s(self) -> float:
        """Time on foot, s."""
        return self.score.seconds[State.WALKING]


@dataclass(frozen=True, kw_only=True)
class PlannedDay:
    """The plan that days are drawn about: rider, bike, conditions, heights, and the weights."""

    rider: Rider
    bike: Bike
    conditions: Conditions
    uncertain: Uncertain
    heights: HeightErrors
    weights: Weights | None = None


def kept_of(ride: Ride, weights: Weights | None) -> DayRide:
    """The score of a ride, and the road walked."""
    walking = ride.state == STATES.index(State.WALKING)
    return DayRide(
        score=score(ride, weights),
        walked_m=float(ride.course.road_length_m[walking].sum()),
        settled=ride.settled,
    )


def ride_on(
    planned: PlannedDay, day: Day, drivetrains: Sequence[Drivetrain]
) -> tuple[DayRide, ...]:
    """Every drivetrain on one day, which is the same for all of them.

    Raises `PlanError` with the day where a ride cannot be computed.
    """
    course = course_on(planned.heights, day)
    rider = at_power(planned.rider, day.power_factor * planned.rider.power_w)
    bike, conditions = bike_on(planned, day), conditions_on(planned, day)
    try:
        outset = outset_of(course, rider, bike, conditions)
        return tuple(
            kept_of(simulate_from(outset, drivetrain), planned.weights)
            for drivetrain in drivetrains
        )
    except PlanError as error:
        raise PlanError(f"day {day.number}: {error}; narrow the ranges under [days]") from error


def bike_on(planned: PlannedDay, day: Day) -> Bike:
    """The plan's bike as it is on that day, within what a bike can be."""
    bike = planned.bike
    return replace(
        bike,
        mass_kg=_within(bike.mass_kg + day.load_change_kg, MASSES_KG),
        drag_area_m2=_within(bike.drag_area_m2 * day.drag_area_factor, DRAG_AREAS_M2),
        tyre_rolling_factor=_within(bike.tyre_rolling_factor * day.rolling_factor, ROLLING_FACTORS),
    )


def conditions_on(planned: PlannedDay, day: Day) -> Conditions:
    """The plan's conditions as they are on that day."""
    return replace(
        planned.conditions,
        wet=day.wet,
        wind_mps=day.wind_mps,
        wind_from_rad=day.wind_from_rad,
        temperature_c=day.temperature_c,
    )


def _within(value: float, ends: tuple[float, float]) -> float:
    return float(np.clip(value, *ends))
