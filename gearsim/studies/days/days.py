"""A verdict over uncertain days: the candidates of a comparison, ridden on the same drawn days."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.ride.score import Weights
from gearsim.setup.conditions import Conditions
from gearsim.setup.uncertain import AVERAGE, Uncertain
from gearsim.studies.compare import Comparison
from gearsim.studies.days.draws import Day, draw_days, varying
from gearsim.studies.days.flip import Flip, Ranges, plainest_flip, starts_of
from gearsim.studies.days.heights import height_errors
from gearsim.studies.days.influence import Influences, influences
from gearsim.studies.days.results import Floats, OverDays, mismatches, rank
from gearsim.studies.days.rides import DayRide, PlannedDay, kept_of, ride_on
from gearsim.studies.days.settled import Settled, looks_at, settled_by
from gearsim.studies.over_cores import over_cores

USUAL_DAYS = 64
FEWEST_DAYS, MOST_DAYS = 16, 4096

Done = Callable[[], None]


@dataclass(frozen=True, kw_only=True)
class Days:
    """Candidates over the same days, ranked by average mismatch or worst regret.

    `flip` is the nearest day found on which another than the first wins; None where it wins on
    every day.  `influences` are those on each candidate's mismatch, in the order of candidates,
    and `influences_on_lead` those on the lead of the first over the second (None for one alone).
    `steep_grade_sd` is the standard deviation of the error of the steepest part's mean grade.
    """

    course: Course
    conditions: Conditions
    uncertain: Uncertain
    days: tuple[Day, ...]
    candidates: tuple[OverDays, ...]
    settled: Settled
    flip: Flip | None
    influences: tuple[Influences, ...]
    influences_on_lead: Influences | None
    steep_grade_sd: float

    @property
    def mismatch(self) -> Floats:
        """Mismatch by day and candidate, (days, candidates)."""
        return mismatches(self.candidates)


def ride_days(
    comparison: Comparison,
    uncertain: Uncertain | None = None,
    *,
    most_days: int = USUAL_DAYS,
    weights: Weights | None = None,
    workers: int | None = None,
    done: Done | None = None,
) -> Days:
    """Ride the candidates of a comparison on days drawn about the one that it was ridden on.

    The days are the same for all candidates and depend on nothing but the plan's values, so the
    result is the same for any number of workers.  Riding stops before `most_days`, a power of two,
    once the order by average is settled (`settled_by`); by worst regret all are ridden, since one
    more day can always be the worst.  `weights` are those of the comparison; `done` is called after
    each day.

    Raises `PlanError` for a number of days that is not allowed, or a ride that cannot be computed.
    """
    uncertain = uncertain or Uncertain()
    require_days(most_days)
    planned = _planned(comparison, uncertain, weights)
    drivetrains = [candidate.ride.drivetrain for candidate in comparison.candidates]
    drawn = draw_days(uncertain, planned.conditions, most_days)
    rides: list[tuple[DayRide, ...]] = []
    for look in _looks(uncertain, most_days):
        unridden = drawn[len(rides) : look]
        rides += over_cores(
            lambda day: ride_on(planned, day, drivetrains), unridden, workers=workers, done=done
        )
        mismatch = mismatches(_over_days(comparison, rides, weights))
        settled = settled_by(
            mismatch, most_days=most_days, wrong_chance=uncertain.wrong_stop_chance
        )
        if settled.is_settled:
            break
    candidates = _over_days(comparison, rides, weights)
    order = rank(mismatches(candidates), uncertain.choose_by)
    ranked = [candidates[place] for place in order]
    return _days(planned, drawn[: len(rides)], ranked, settled, workers)


def require_days(days: int) -> None:
    """Raise `PlanError` unless so many days can be drawn evenly: 16, 32, 64 ... 4096."""
    if not (FEWEST_DAYS <= days <= MOST_DAYS and days & (days - 1) == 0):
        raise PlanError(
            f"days is {days}; allowed are {FEWEST_DAYS}, 32, 64 and so on, doubling up to "
            f"{MOST_DAYS}, because only those are spread evenly"
        )


def _planned(comparison: Comparison, uncertain: Uncertain, weights: Weights | None) -> PlannedDay:
    ride = comparison.candidates[0].ride
    return PlannedDay(
        rider=ride.rider,
        bike=ride.bike,
        conditions=ride.conditions,
        uncertain=uncertain,
        heights=height_errors(
            ride.course,
            seed=uncertain.seed,
            sd_m=uncertain.height_error_m,
            over_m=uncertain.height_error_over_m,
        ),
        weights=weights,
    )


def _looks(uncertain: Uncertain, most_days: int) -> tuple[int, ...]:
    if uncertain.stop_early and uncertain.choose_by == AVERAGE:
        return looks_at(most_days)
    return (most_days,)


def _over_days(
    comparison: Comparison, rides: Sequence[tuple[DayRide, ...]], weights: Weights | None
) -> list[OverDays]:
    return [
        OverDays(
            drivetrain=candidate.ride.drivetrain,
            planned=kept_of(candidate.ride, weights),
            rides=tuple(day[place] for day in rides),
            fit=candidate.fit,
        )
        for place, candidate in enumerate(comparison.candidates)
    ]


def _days(
    planned: PlannedDay,
    days: Sequence[Day],
    ranked: Sequence[OverDays],
    settled: Settled,
    workers: int | None,
) -> Days:
    uncertain, conditions = planned.uncertain, planned.conditions
    mismatch = mismatches(ranked)
    values = [*mismatch.T, *([mismatch[:, 1] - mismatch[:, 0]] if len(ranked) > 1 else [])]
    inputs = varying(uncertain, conditions)
    found = influences(days, inputs, values, uncertain.chance_of_wet(conditions))
    return Days(
        course=planned.heights.course,
        conditions=conditions,
        uncertain=uncertain,
        days=tuple(days),
        candidates=tuple(ranked),
        settled=settled,
        flip=_flip(planned, days, ranked, workers),
        influences=tuple(found[: len(ranked)]),
        influences_on_lead=found[-1] if len(ranked) > 1 else None,
        steep_grade_sd=planned.heights.steep_grade_sd,
    )


def _flip(
    planned: PlannedDay,
    days: Sequence[Day],
    ranked: Sequence[OverDays],
    workers: int | None,
) -> Flip | None:
    """The nearest of the days found from a few drawn ones on which the first does not win."""
    ranges = Ranges(uncertain=planned.uncertain, conditions=planned.conditions)
    mismatch = mismatches(ranked)
    winners = mismatch.argmin(axis=1).tolist()
    contenders = [winner if winner != 0 else None for winner in winners]

    def behind(day: Day, contender: int) -> float:
        pair = [ranked[0].drivetrain, ranked[contender].drivetrain]
        first, other = ride_on(planned, day, pair)
        return first.score.mismatch - other.score.mismatch

    flips = over_cores(
        lambda start: plainest_flip(*start, ranges, behind),
        starts_of(days, contenders, ranges),
        workers=workers,
    )
    return min(flips, key=lambda flip: flip.spreads, default=None)
