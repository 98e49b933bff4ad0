"""The rides of a squad: what each comes to, and all athletes' counted as one."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.ride.score import Score, Weights, score
from gearsim.ride.simulate import simulate
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider

Key = TypeVar("Key", bound=Hashable)


@dataclass(frozen=True, kw_only=True)
class Ridden:
    """What a ride comes to, and whether its shift plan had settled."""

    score: Score
    settled: bool


@dataclass(frozen=True, kw_only=True)
class Event:
    """Where and on what day all ride, and how it is scored."""

    course: Course
    conditions: Conditions
    weights: Weights | None

    def ridden(self, rider: Rider, bike: Bike, drivetrain: Drivetrain) -> Ridden | PlanError:
        """What a ride comes to, or why it cannot be computed."""
        try:
            ride = simulate(self.course, rider, bike, drivetrain, self.conditions)
        except PlanError as error:
            return error
        return Ridden(score=score(ride, self.weights), settled=ride.settled)


def all_computed(rides: Mapping[Key, Ridden | PlanError]) -> dict[Key, Ridden]:
    """The rides; raises the first of them that is an error."""
    computed: dict[Key, Ridden] = {}
    for key, ridden in rides.items():
        if isinstance(ridden, PlanError):
            raise ridden
        computed[key] = ridden
    return computed


def mismatch_together(scores: Sequence[Score]) -> float:
    """Mismatch of several rides with their seconds counted as one ride."""
    pedalling_or_walking_s = sum(each.pedalling_or_walking_s for each in scores)
    if pedalling_or_walking_s == 0.0:
        return 0.0
    return 100.0 * sum(each.weighted_s for each in scores) / pedalling_or_walking_s
