"""Several drivetrains on one course: ridden, scored and ranked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from gearsim.course.course import Course
from gearsim.course.heights.doubtful_grades import doubtful_grades
from gearsim.errors import PlanError
from gearsim.ride.outset import outset_of
from gearsim.ride.ride import Ride
from gearsim.ride.score import Score, Weights, WorstPlace, score, worst_places
from gearsim.ride.simulate import simulate_from
from gearsim.ride.states import STATES, State
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.finding import Finding
from gearsim.setup.fit.fitment import Fit
from gearsim.setup.rider import Rider
from gearsim.studies.over_cores import over_cores
from gearsim.units import SECONDS_PER_MINUTE

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """A drivetrain being compared: its ride, its score, its worst places (worst first).

    `fit` is what was found on whether it fits, None where that was not checked; `ends` are the
    scores at the two ends of the model's published error, None where not ridden.
    """

    ride: Ride
    score: Score
    worst: tuple[WorstPlace, ...]
    fit: Fit | None = None
    ends: Ends | None = None

    @property
    def name(self) -> str:
        """The drivetrain's name."""
        return self.ride.drivetrain.name

    @property
    def misfits(self) -> tuple[Finding, ...]:
        """The findings against it: what makes it not fit as told; none where it was not checked."""
        return () if self.fit is None else self.fit.misfits


@dataclass(frozen=True, kw_only=True)
class Ends:
    """Scores of the same ride with less and with more of all the rider's powers."""

    slow: Score
    fast: Score


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Candidates ranked by mismatch, the best first; equal ones by finish time, then as given.

    `cautions` are what to look at again in what was told of rider, bike and day, one line each.
    """

    candidates: tuple[Candidate, ...]
    cautions: tuple[str, ...] = ()


def compare_rides(
    course: Course,
    rider: Rider,
    bike: Bike,
    drivetrains: Sequence[Drivetrain],
    conditions: Conditions,
    *,
    weights: Weights | None = None,
    done: Callable[[], None] | None = None,
) -> Comparison:
    """Ride every drivetrain over the course, on all cores, and rank them.

    `done` is called after each ride.

    Raises `PlanError` when there is no drivetrain, or two have one name.
    """
    names = [drivetrain.name for drivetrain in drivetrains]
    if not names:
        raise PlanError("there is no drivetrain to compare; give at least one")
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise PlanError(f"two drivetrains are named {twice[0]!r}; give each its own name")
    outset = outset_of(course, rider, bike, conditions)

    def candidate(drivetrain: Drivetrain) -> Candidate:
        ride = simulate_from(outset, drivetrain)
        worst = worst_places(ride, weights=weights)
        return Candidate(ride=ride, score=score(ride, weights), worst=worst)

    candidates = over_cores(candidate, drivetrains, done=done)
    candidates.sort(key=lambda found: (found.score.mismatch, found.score.finish_s))
    return Comparison(candidates=tuple(candidates))


DECIDING_SHARE = 0.25
"""Of the time on foot and below the lowest gear: where so much falls on doubtful grades, they drive
the verdict (judgement, no source)."""


def doubtful_heights_decide(comparison: Comparison) -> bool:
    """Whether grades that hardly any road has cause much of what is hard on some candidate."""
    doubtful = doubtful_grades(comparison.candidates[0].ride.course)
    if doubtful is None:
        return False
    hard = [STATES.index(state) for state in (State.WALKING, State.BELOW_LOWEST_GEAR)]
    for candidate in comparison.candidates:
        ride = candidate.ride
        hard_s = np.where(np.isin(ride.state, hard), ride.duration_s, 0.0)
        if hard_s[doubtful.inside].sum() > DECIDING_SHARE * hard_s.sum():
            return True
    return False


def with_fits(comparison: Comparison, fits: Sequence[Fit]) -> Comparison:
    """The comparison with what was found on its drivetrains, told apart by name."""
    by_name = {fit.drivetrain.name: fit for fit in fits}
    candidates = [replace(each, fit=by_name.get(each.name)) for each in comparison.candidates]
    return replace(comparison, candidates=tuple(candidates))


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
    counted, (first_w, last_w) = candidate.score, candidate.ride.flat_power_w
    minutes = {
        f"{state.replace(' ', '_')}_min": counted.seconds[state] / SECONDS_PER_MINUTE
        for state in State
    }
    return {
        "mismatch": counted.mismatch,
        "finish_min": counted.finish_s / SECONDS_PER_MINUTE,
        "stopped_min": counted.stopped_s / SECONDS_PER_MINUTE,
        "first_flat_power_w": first_w,
        "last_flat_power_w": last_w,
        **minutes,
        "between_gears_min": counted.between_gears_s / SECONDS_PER_MINUTE,
        "end_of_range_min": counted.end_of_range_s / SECONDS_PER_MINUTE,
        "rear_shifts_per_hour": counted.rear_shifts_per_hour,
        "rear_clicks_per_hour": counted.rear_clicks_per_hour,
        "front_shifts_per_hour": counted.front_shifts_per_hour,
    }
