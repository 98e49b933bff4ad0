"""When enough days are ridden: the order of the candidates would hardly change any more."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from gearsim.setup.uncertain import AVERAGE
from gearsim.studies.days.results import rank
from gearsim.studies.near_tie import NEAR_TIE_POINTS, NEAR_TIE_SHARE

Floats = NDArray[np.float64]

FIRST_LOOK = 32
"""Days before the first look: fewer tell little of a tenth of all days (judgement)."""


class Apart(StrEnum):
    """What is known of two neighbours in the ranking."""

    ORDERED = "ordered"
    NEAR_TIE = "near tie"
    OPEN = "open"


@dataclass(frozen=True, kw_only=True)
class Gap:
    """How much more mismatch the next in the ranking has on average, with its interval."""

    mean: float
    low: float
    high: float
    apart: Apart


@dataclass(frozen=True, kw_only=True)
class Settled:
    """What is known of the ranking after some of the days allowed: a gap for each neighbour.

    `stopped_early` says that not all days asked for were ridden.
    """

    days: int
    most_days: int
    gaps: tuple[Gap, ...]

    @property
    def is_settled(self) -> bool:
        """Whether every pair of neighbours is ordered, or a near tie for certain."""
        return all(gap.apart is not Apart.OPEN for gap in self.gaps)

    @property
    def stopped_early(self) -> bool:
        """Whether days were left unridden."""
        return self.days < self.most_days


def looks_at(most_days: int) -> tuple[int, ...]:
    """The numbers of days after which the ranking is looked at: powers of two, and the last."""
    looks = []
    days = FIRST_LOOK
    while days < most_days:
        looks.append(days)
        days *= 2
    return (*looks, most_days)


def settled_by(mismatch: Floats, *, most_days: int, wrong_chance: float) -> Settled:
    """What the days ridden so far tell of the order by average mismatch.

    Two neighbours are ordered when Student's interval for the mean of their paired differences
    leaves out 0, and a near tie when it lies within that.  `wrong_chance` is shared evenly among
    all looks and all pairs of candidates (Bonferroni), because neighbours are found by looking: so
    the chance that anything is told wrongly at any look is `wrong_chance` at most, as far as
    differences are about normal.  Quasi-random days scatter less than independent ones, which
    errs on the side of more days.  Where one kind of day decides the average, it must not be rarer
    than one in ten: of made cases with one in ten, 1 % were told wrongly, with one in twenty up to
    19 %.
    """
    order = rank(mismatch, AVERAGE)
    count = len(order)
    sides = 2 * len(looks_at(most_days)) * max(1, count * (count - 1) // 2)
    gaps = [
        _gap(mismatch[:, better], mismatch[:, other], wrong_chance / sides)
        for better, other in pairwise(order)
    ]
    return Settled(days=len(mismatch), most_days=most_days, gaps=tuple(gaps))


def _gap(better: Floats, other: Floats, one_sided: float) -> Gap:
    from scipy.special import stdtrit

    behind = other - better
    mean = float(behind.mean())
    days = len(behind)
    half = float(stdtrit(days - 1, 1.0 - one_sided) * behind.std(ddof=1) / np.sqrt(days))
    low, high = mean - half, mean + half
    tie = max(NEAR_TIE_POINTS, NEAR_TIE_SHARE * float(other.mean()))
    return Gap(mean=mean, low=low, high=high, apart=_apart(low, high, tie))


def _apart(low: float, high: float, tie: float) -> Apart:
    if low > 0.0:
        return Apart.ORDERED
    return Apart.NEAR_TIE if max(-low, high) < tie else Apart.OPEN
