"""Several drivetrains on one course: ridden, scored and ranked."""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.ride.ride import Ride
from gearsim.ride.score import Score, Weights, WorstPlace, score, worst_places
from gearsim.ride.simulate import simulate
from gearsim.ride.states import State
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider
from gearsim.units import SECONDS_PER_MINUTE

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """A drivetrain being compared: its ride, its score, its worst places (worst first)."""

    ride: Ride
    score: Score
    worst: tuple[WorstPlace, ...]

    @property
    def name(self) -> str:
        """The drivetrain's name."""
        return self.ride.drivetrain.name


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Candidates ranked by mismatch, the best first; equal ones by finish time, then as given."""

    candidates: tuple[Candidate, ...]


def compare_rides(
    course: Course,
    rider: Rider,
    bike: Bike,
    drivetrains: Sequence[Drivetrain],
    conditions: Conditions,
    *,
    weights: Weights | None = None,
) -> Comparison:
    """Ride every drivetrain over the course, on all cores, and rank them.

    Raises `PlanError` when there is no drivetrain, or two have one name.
    """
    names = [drivetrain.name for drivetrain in drivetrains]
    if not names:
        raise PlanError("there is no drivetrain to compare; give at least one")
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise PlanError(f"two drivetrains are named {twice[0]!r}; give each its own name")

    def candidate(drivetrain: Drivetrain) -> Candidate:
        ride = simulate(course, rider, bike, drivetrain, conditions)
        worst = worst_places(ride, weights=weights)
        return Candidate(ride=ride, score=score(ride, weights), worst=worst)

    # The compiled loops release the interpreter lock: threads share the cores.
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        candidates = list(pool.map(candidate, drivetrains))
    candidates.sort(key=lambda found: (found.score.mismatch, found.score.finish_s))
    return Comparison(candidates=tuple(candidates))


def compare(
    course: Course,
    rider: Rider,
    bike: Bike,
    drivetrains: Sequence[Drivetrain],
    conditions: Conditions,
    *,
    weights: Weights | None = None,
) -> pd.DataFrame:
    """Rank drivetrains on a course: a table with one row each, the best first.

    Raises `PlanError` when there is no drivetrain, or two have one name.
    """
    import pandas as pd

    found = compare_rides(course, rider, bike, drivetrains, conditions, weights=weights)
    rows = [{"name": each.name, **ride_columns(each)} for each in found.candidates]
    return pd.DataFrame(rows)


def ride_columns(candidate: Candidate) -> dict[str, float]:
    """What a candidate's ride and score come to, with the unit in every column's name."""
    counted = candidate.score
    minutes = {
        f"{state.replace(' ', '_')}_min": counted.seconds[state] / SECONDS_PER_MINUTE
        for state in State
    }
    return {
        "mismatch": counted.mismatch,
        "finish_min": counted.finish_s / SECONDS_PER_MINUTE,
        **minutes,
        "between_gears_min": counted.between_gears_s / SECONDS_PER_MINUTE,
        "end_of_range_min": counted.end_of_range_s / SECONDS_PER_MINUTE,
        "rear_shifts_per_hour": counted.rear_shifts_per_hour,
        "front_shifts_per_hour": counted.front_shifts_per_hour,
    }
