"""What candidates come to over the same days: ranges, chances, regret and rank."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearsim.ride.states import State
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.finding import Finding
from gearsim.setup.fit.fitment import Fit
from gearsim.setup.uncertain import AVERAGE, Uncertain
from gearsim.studies.days.rides import DayRide

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Spread:
    """What one day in ten stays under, every other day, and nine in ten."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, kw_only=True)
class OverDays:
    """One candidate: its ride on the plan's own day, and one ride for each drawn day.

    `fit` is what was found on whether it fits, None where that was not checked.
    """

    drivetrain: Drivetrain
    planned: DayRide
    rides: tuple[DayRide, ...]
    fit: Fit | None = None

    @property
    def name(self) -> str:
        """The drivetrain's name."""
        return self.drivetrain.name

    @property
    def misfits(self) -> tuple[Finding, ...]:
        """The findings against it: what makes it not fit as told; none where it was not checked."""
        return () if self.fit is None else self.fit.misfits

    @property
    def mismatch(self) -> Floats:
        """Mismatch on each day, (days)."""
        return self._each(lambda ride: ride.score.mismatch)

    @property
    def finish_s(self) -> Floats:
        """Finish time on each day, s, (days)."""
        return self._each(lambda ride: ride.score.finish_s)

    @property
    def below_lowest_s(self) -> Floats:
        """Time below the lowest gear on each day, s, (days)."""
        return self._each(lambda ride: ride.score.seconds[State.BELOW_LOWEST_GEAR])

    @property
    def walked_s(self) -> Floats:
        """Time on foot on each day, s, (days)."""
        return self._each(lambda ride: ride.walked_s)

    @property
    def walked_m(self) -> Floats:
        """Road walked on each day, m, (days)."""
        return self._each(lambda ride: ride.walked_m)

    @property
    def average_mismatch(self) -> float:
        """Mean of the days' mismatch: every day is as likely, however long its ride takes."""
        return float(self.mismatch.mean())

    @property
    def chance_of_walking(self) -> float:
        """Share of the days with any walking."""
        return float((self.walked_s > 0.0).mean())

    def chance_of_long_walk(self, uncertain: Uncertain) -> float:
        """Share of the days with more than the plan's long walk."""
        long = [uncertain.is_long_walk(ride.walked_m, ride.walked_s) for ride in self.rides]
        return sum(long) / len(long)

    def _each(self, of: Callable[[DayRide], float]) -> Floats:
        return np.array([of(ride) for ride in self.rides])


def spread_of(values: Floats) -> Spread:
    """The 10 %, 50 % and 90 % points of the days' values (linear between days)."""
    low, middle, high = np.quantile(values, (0.1, 0.5, 0.9))
    return Spread(low=float(low), middle=float(middle), high=float(high))


def mismatches(candidates: Sequence[OverDays]) -> Floats:
    """Mismatch by day and candidate, (days, candidates)."""
    return np.stack([candidate.mismatch for candidate in candidates], axis=1)


def worst_regret(mismatch: Floats) -> Floats:
    """The most that a candidate is behind the best of its day, on any of the days, (candidates)."""
    worst: Floats = (mismatch - mismatch.min(axis=1, keepdims=True)).max(axis=0)
    return worst


def chances_to_beat(mismatch: Floats) -> Floats:
    """Share of the days on which the row's candidate beats the column's, (candidates, candidates).

    A tie counts half for each, so that a pair's two chances add up to 1; the diagonal is ½.
    """
    one, other = mismatch[:, :, None], mismatch[:, None, :]
    won: Floats = ((one < other) + 0.5 * (one == other)).mean(axis=0)
    return won


def days_won(mismatch: Floats) -> Floats:
    """Share of the days on which each candidate is the best, (candidates); a tie is shared."""
    best = mismatch == mismatch.min(axis=1, keepdims=True)
    won: Floats = (best / best.sum(axis=1, keepdims=True)).mean(axis=0)
    return won


def what_counts(mismatch: Floats, choose_by: str) -> Floats:
    """What the choice is by: average mismatch or worst regret, less is better, (candidates)."""
    averages: Floats = mismatch.mean(axis=0)
    return averages if choose_by == AVERAGE else worst_regret(mismatch)


def rank(mismatch: Floats, choose_by: str) -> list[int]:
    """The candidates' places, the best first; equal ones by the other rule, then as given."""
    averages, regrets = mismatch.mean(axis=0), worst_regret(mismatch)
    first, then = (averages, regrets) if choose_by == AVERAGE else (regrets, averages)
    return [int(place) for place in np.lexsort((then, first))]
