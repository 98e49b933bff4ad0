"""How one chainring and two stand as one thing changes, and where the other begins to win."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from gearsim.studies.near_tie import NEAR_TIE_POINTS, NEAR_TIE_SHARE, near_tie
from gearsim.studies.one_or_two.contender import Contender

HARDLY_CLOSER = 0.75  # of how far the loser is behind as it is; judgement


class Lever(StrEnum):
    """What is changed: one thing at a time, all else as in the plan."""

    POWER = "rider power"
    CADENCE = "target cadence"
    LOAD = "load"
    TYRE = "tyre width"


@dataclass(frozen=True, kw_only=True)
class Standing:
    """The least mismatch of either side at a value, and whose it is.

    Infinite, and None, where no drivetrain of the shortlist fits or can be ridden.
    """

    value: float
    one: float
    two: float
    one_best: Contender | None
    two_best: Contender | None

    @property
    def two_wins(self) -> bool:
        """Whether two rings have the lower mismatch."""
        return self.two < self.one

    @property
    def is_near_tie(self) -> bool:
        """Whether the two are closer than what goes into them is known."""
        ends = sorted((self.one, self.two))
        return math.isfinite(ends[1]) and near_tie(*ends)

    @property
    def behind(self) -> float:
        """How far one ring is behind two, in widths of a near tie; negative where it is ahead.

        0 where neither can be ridden.
        """
        if math.isinf(self.one) or math.isinf(self.two):
            return 0.0 if self.one == self.two else math.copysign(math.inf, self.one - self.two)
        higher = max(self.one, self.two)
        return (self.one - self.two) / max(NEAR_TIE_POINTS, NEAR_TIE_SHARE * higher)


@dataclass(frozen=True, kw_only=True)
class Turn:
    """The value nearest to the plan's own, on one side of it, at which the other wins.

    `by_room` says that beyond it no drivetrain of the winner so far has room for the tyre.
    """

    standing: Standing
    by_room: bool

    @property
    def value(self) -> float:
        """Where it turns, in the lever's unit."""
        return self.standing.value


@dataclass(frozen=True, kw_only=True)
class LeverCurve:
    """How the two sides stand as one thing changes.

    `own` is the plan's value, `standings` those of all values looked at, rising, the plan's among
    them.  `down` and `up` are the turns below and above it, None where none was found; one that
    comes and goes between two values looked at is not seen.
    """

    lever: Lever
    own: float
    standings: tuple[Standing, ...]
    down: Turn | None
    up: Turn | None

    @property
    def searched(self) -> tuple[float, float]:
        """The least and the largest value looked at."""
        return self.standings[0].value, self.standings[-1].value

    @property
    def nearest(self) -> Turn | None:
        """The turn that takes the least change, in proportion for power."""
        turns = [turn for turn in (self.down, self.up) if turn is not None]
        return min(turns, key=lambda turn: self._change(turn.value), default=None)

    @property
    def closest(self) -> Standing:
        """Where the loser of today comes closest (or wins by most), told by `behind`."""
        sign = 1.0 if self.own_standing.two_wins else -1.0
        return min(self.standings, key=lambda each: sign * each.behind)

    @property
    def hardly_matters(self) -> bool:
        """Whether the loser of today is nowhere much closer than at the plan's own value."""
        return abs(self.closest.behind) > HARDLY_CLOSER * abs(self.own_standing.behind)

    @property
    def first_tie(self) -> Standing | None:
        """The value looked at nearest to the plan's own where the two are a near tie."""
        tied = [each for each in self.standings if each.is_near_tie]
        return min(tied, key=lambda each: self._change(each.value), default=None)

    @property
    def own_standing(self) -> Standing:
        """How the two stand at the plan's own value."""
        return next(each for each in self.standings if each.value == self.own)

    def _change(self, value: float) -> float:
        return abs(math.log(value / self.own) if self.lever is Lever.POWER else value - self.own)
