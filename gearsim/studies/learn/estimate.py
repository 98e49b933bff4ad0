"""A number learnt from data: never a point without its interval and its evidence."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

BELIEF = 0.90
"""Every interval is meant to hold the truth so often."""


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A value, the interval that holds the truth nine times in ten, and what it rests on.

    `evidence` is a sentence without its full stop.
    """

    value: float
    low: float
    high: float
    evidence: str

    @property
    def half_width(self) -> float:
        """Half the interval."""
        return 0.5 * (self.high - self.low)

    def holds(self, truth: float) -> bool:
        """Whether the interval holds a value."""
        return self.low <= truth <= self.high


@dataclass(frozen=True, kw_only=True)
class Refusal:
    """Something that the data cannot say: why, and what recording would."""

    what: str
    why: str
    remedy: str


def student_t(freedom: int) -> float:
    """How many standard deviations the interval reaches to either side."""
    from scipy.stats import t

    return float(t.ppf(0.5 + 0.5 * BELIEF, max(freedom, 1)))


def from_spread(value: float, deviation: float, freedom: int, evidence: str) -> Estimate:
    """A value with the interval that its standard deviation and degrees of freedom make."""
    reach = student_t(freedom) * deviation
    return Estimate(value=value, low=value - reach, high=value + reach, evidence=evidence)


def left_out_spread(
    of_kept: Callable[[NDArray[np.bool_]], Floats], block: NDArray[np.int64]
) -> Floats:
    """Standard deviation of statistics by leaving out one block of the data at a time.

    `of_kept` gives the statistics of the kept data; `block` numbers each datum's block from 0.
    The jackknife over blocks of time: neighbours are alike, blocks are nearly independent
    (Efron B, Stein C 1981, Annals of Statistics 9:586-596; from memory).
    """
    blocks = int(block.max()) + 1
    without = np.array([of_kept(block != number) for number in range(blocks)])
    spread = ((without - without.mean(axis=0)) ** 2).sum(axis=0)
    deviation: Floats = np.sqrt((blocks - 1.0) / blocks * spread)
    return deviation


def blocks_of_time(time_s: Floats, most: int, least_s: float) -> NDArray[np.int64]:
    """Number of the block of each datum: equally many data, up to `most` blocks of `least_s`.

    `time_s` is the time that the data stand for up to each of them, rising.
    """
    whole_s = max(float(time_s[-1]), 1e-9)
    blocks = int(np.clip(whole_s // least_s, 2, most))
    return np.minimum((time_s / whole_s * blocks).astype(np.int64), blocks - 1)
