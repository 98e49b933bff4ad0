"""How one athlete stands with every drivetrain of a squad."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.ride.score import Score
from gearsim.ride.states import State
from gearsim.setup.athlete import Athlete
from gearsim.studies.break_even import BreakEven
from gearsim.studies.near_tie import near_tie
from gearsim.studies.search.prospect import Prospect


@dataclass(frozen=True, kw_only=True)
class Cost:
    """What the gears an athlete has cost against the best: more mismatch, and more seconds.

    Negative where the best has more of it.
    """

    mismatch: float
    off_target_s: float
    below_lowest_s: float
    walking_s: float
    finish_s: float


@dataclass(frozen=True, kw_only=True)
class Offer:
    """One of all the drivetrains that an athlete can have, and what the ride on it comes to.

    `prospect` says what it is made of and what this athlete must buy for it; None where it is what
    they have already.
    """

    name: str
    score: Score
    prospect: Prospect | None

    @property
    def to_buy(self) -> tuple[str, ...]:
        """The parts that the athlete has not."""
        return () if self.prospect is None else self.prospect.to_buy


@dataclass(frozen=True, kw_only=True)
class Fitting:
    """What the parts list has for one athlete: of `open_to` drivetrains the best, and less to buy.

    `simplest` takes the fewest new parts of all that are as good as the best.  `one_part` is the
    best of those that take a single new part, where that is better than what there is by more than
    a near tie; None where none is.
    """

    open_to: int
    best: Offer
    simplest: Offer
    one_part: Offer | None


@dataclass(frozen=True, kw_only=True)
class Standing:
    """How one athlete stands with every drivetrain.

    `scores` are in the order of the squad's drivetrains, and `best` and `has` are places in it;
    after a search `best` is the best of the few that serve all.  Those at `closed` places cannot be
    fitted for this athlete as wished, and are ridden only to be seen.  `now` is what the gears the
    athlete has come to, be they among the drivetrains or not; `break_even` is that of these gears,
    once it has been looked for; `fitting` is what a search found.
    """

    athlete: Athlete
    scores: tuple[Score, ...]
    best: int
    has: int | None
    now: Score | None
    closed: frozenset[int] = frozenset()
    fitting: Fitting | None = None
    break_even: BreakEven | None = None

    @property
    def least_mismatch(self) -> float:
        """The least mismatch that is possible for the athlete, on whatever was ridden."""
        best = self.scores[self.best] if self.fitting is None else self.fitting.best.score
        return best.mismatch

    @property
    def cost(self) -> Cost | None:
        """What the gears that the athlete has cost against the best; None where none are told."""
        if self.now is None:
            return None
        has, best = self.now, self.scores[self.best]
        return Cost(
            mismatch=has.mismatch - best.mismatch,
            off_target_s=off_target_s(has) - off_target_s(best),
            below_lowest_s=_more_s(has, best, State.BELOW_LOWEST_GEAR),
            walking_s=_more_s(has, best, State.WALKING),
            finish_s=has.finish_s - best.finish_s,
        )

    @property
    def may_stay(self) -> bool:
        """Whether what the athlete has is in a near tie with the best that is possible."""
        return self.now is not None and self._as_good(self.now)

    def will_do(self, drivetrain: int) -> bool:
        """Whether a drivetrain is the athlete's best or in a near tie with it."""
        return drivetrain not in self.closed and self._as_good(self.scores[drivetrain])

    def _as_good(self, counted: Score) -> bool:
        least = self.least_mismatch
        return counted.mismatch <= least or near_tie(least, counted.mismatch)


def off_target_s(counted: Score) -> float:
    """Time neither on target nor coasting, s."""
    return counted.pedalling_or_walking_s - counted.seconds[State.ON_TARGET]


def _more_s(has: Score, best: Score, state: State) -> float:
    return has.seconds[state] - best.seconds[state]
