"""Every athlete rides every drivetrain that is given."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.ride.score import Weights
from gearsim.setup.athlete import Athlete
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.studies.over_cores import over_cores
from gearsim.studies.squad.kinds import MOST_KINDS, fewest_kinds
from gearsim.studies.squad.rides import Event, Ridden, all_computed, mismatch_together
from gearsim.studies.squad.squad import Squad, best_first
from gearsim.studies.squad.standing import Standing

Done = Callable[[], None]


def ride_count(athletes: Sequence[Athlete], drivetrains: Sequence[Drivetrain]) -> int:
    """How many rides `ride_squad` computes."""
    return sum(len(_wanted(each, drivetrains)) for each in athletes)


def ride_squad(
    course: Course,
    athletes: Sequence[Athlete],
    drivetrains: Sequence[Drivetrain],
    conditions: Conditions,
    *,
    weights: Weights | None = None,
    most_kinds: int = MOST_KINDS,
    workers: int | None = None,
    done: Done | None = None,
) -> Squad:
    """Every athlete rides every drivetrain over the course, and what they have; scores are kept.

    The few drivetrains that serve all are at most `most_kinds`.  `done` is called after each of
    the `ride_count` rides.  An athlete with whom a ride cannot be computed is left out.

    Raises `PlanError` when there is no athlete or drivetrain, names are there twice, or everyone
    is left out.
    """
    require_names("drivetrain", [drivetrain.name for drivetrain in drivetrains])
    require_names("athlete", [athlete.name for athlete in athletes])
    event = Event(course=course, conditions=conditions, weights=weights)
    pairs = [(each, wanted) for each in athletes for wanted in _wanted(each, drivetrains)]

    def ridden(pair: tuple[Athlete, Drivetrain]) -> Ridden | PlanError:
        athlete, drivetrain = pair
        return event.ridden(athlete.rider, athlete.bike, drivetrain)

    found = iter(over_cores(ridden, pairs, workers=workers, done=done))
    standings: list[Standing] = []
    left_out: list[str] = []
    unsettled = 0
    for athlete in athletes:
        row = {wanted: next(found) for wanted in _wanted(athlete, drivetrains)}
        try:
            rides = all_computed(row)
        except PlanError as error:
            left_out.append(f"{athlete.name}: {error}")
            continue
        standings.append(_standing(athlete, drivetrains, rides))
        unsettled += sum(not each.settled for each in rides.values())
    if not standings:
        raise PlanError(left_out[0])
    by_drivetrain = zip(*(each.scores for each in standings), strict=True)
    return best_first(
        Squad(
            course=course,
            conditions=conditions,
            drivetrains=tuple(drivetrains),
            together=tuple(mismatch_together(scores) for scores in by_drivetrain),
            few=_few(standings, most_kinds),
            standings=tuple(standings),
            left_out=tuple(left_out),
            unsettled=unsettled,
        )
    )


def require_names(what: str, names: Sequence[str]) -> None:
    """Raise `PlanError` where there are none, or one is there twice."""
    if not names:
        raise PlanError(f"there is no {what}; give at least one")
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise PlanError(f"two {what}s are named {twice[0]!r}; give each its own name")


def _wanted(athlete: Athlete, drivetrains: Sequence[Drivetrain]) -> list[Drivetrain]:
    """The drivetrains that an athlete is to ride: all, and what they have where it is none."""
    has = athlete.drivetrain
    return [*drivetrains] if has is None or has in drivetrains else [*drivetrains, has]


def _standing(
    athlete: Athlete, drivetrains: Sequence[Drivetrain], rides: Mapping[Drivetrain, Ridden]
) -> Standing:
    scores = tuple(rides[drivetrain].score for drivetrain in drivetrains)
    has = athlete.drivetrain
    return Standing(
        athlete=athlete,
        scores=scores,
        best=min(range(len(scores)), key=lambda n: (scores[n].mismatch, scores[n].finish_s)),
        has=drivetrains.index(has) if has in drivetrains else None,
        now=None if has is None else rides[has].score,
    )


def _few(standings: Sequence[Standing], most: int) -> tuple[int, ...]:
    return fewest_kinds(
        np.array([[counted.mismatch for counted in each.scores] for each in standings]), most
    )
