"""What a weight saving is worth on a course, found by riding it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearsim.course.course import Course
from gearsim.ride.simulate import simulate
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider

LIGHTER_KG = 0.25


@dataclass(frozen=True, kw_only=True)
class WeightWorth:
    """How much sooner the same rider finishes on a bike that is lighter by `lighter_kg`."""

    lighter_kg: float
    saved_s: float

    @property
    def seconds_per_100_g(self) -> float:
        """Seconds for each 100 g."""
        return 0.1 * self.saved_s / self.lighter_kg


def weight_worth(
    course: Course,
    rider: Rider,
    bike: Bike,
    drivetrain: Drivetrain,
    conditions: Conditions,
    *,
    as_is_s: float,
    lighter_kg: float = LIGHTER_KG,
) -> WeightWorth:
    """Ride the course on a lighter bike, where it takes `as_is_s` on this one.

    Raises `PlanError` where the lighter bike is none, or a ride cannot be computed.
    """
    lighter = replace(bike, mass_kg=bike.mass_kg - lighter_kg)
    light_s = simulate(course, rider, lighter, drivetrain, conditions).finish_s
    return WeightWorth(lighter_kg=lighter_kg, saved_s=as_is_s - light_s)
