"""The trade-off front: builds that no other beats in one respect without losing in another."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gearsim.studies.near_tie import near_tie

FEW_POINTS = 5.0  # of mismatch: what a rider might still trade (judgement)


class Criterion(StrEnum):
    """What is weighed against each other; less is better."""

    MISMATCH = "mismatch"
    MASS = "weight"
    PRICE = "price"
    SHIFTS = "shifts an hour"
    PARTS = "parts to adjust"


CRITERIA = tuple(Criterion)
"""The columns of a table of values, in this order."""


class Allowance(StrEnum):
    """How much mismatch is allowed where the least of something else is looked for."""

    AS_GOOD = "as good as the best"
    NO_WORSE = "no worse than now"
    LITTLE_WORSE = "a little worse"


Values = NDArray[np.float64]


def front(values: ArrayLike) -> NDArray[np.bool_]:
    """Which rows (n, criteria) are on the front, (n).

    A row is off it where another is no worse in any column and better in one; less is better.
    Equal rows are both on it.
    """
    table = np.asarray(values, dtype=np.float64)
    on_front = np.zeros(len(table), dtype=np.bool_)
    # Sorted by all columns, whatever beats a row stands before it, and the best of that is on.
    for row in np.lexsort(table.T[::-1]):
        so_far = table[on_front]
        no_worse = (so_far <= table[row]).all(axis=1)
        on_front[row] = not (so_far[no_worse] < table[row]).any()
    return on_front


def least_of_each(
    values: Values, now_mismatch: float, criteria: Sequence[Criterion] = CRITERIA
) -> dict[int, list[tuple[Criterion, Allowance]]]:
    """Rows that have the least of something at an allowed mismatch, and what of.

    `values` is (n, criteria) in the order of `CRITERIA`.  Ties go to the least mismatch and then
    to the least of the others, so that such a row is on the front.  It must have less of it than
    the row with the least mismatch, and is not told again at a wider allowance.
    """
    found: dict[int, list[tuple[Criterion, Allowance]]] = {}
    mismatch = values[:, CRITERIA.index(Criterion.MISMATCH)]
    first = int(mismatch.argmin())
    for criterion in criteria:
        if criterion is Criterion.MISMATCH:
            continue
        column = values[:, CRITERIA.index(criterion)]
        keys = (*values.T[::-1], mismatch, column)  # the last key counts most
        order = np.lexsort(keys)
        told: set[int] = set()
        for allowance in Allowance:
            inside = _allowed(mismatch, now_mismatch, allowance)
            best = next((int(row) for row in order if inside[row]), None)
            if best is not None and best not in told and column[best] < column[first]:
                told.add(best)
                found.setdefault(best, []).append((criterion, allowance))
    return found


def _allowed(mismatch: Values, now: float, allowance: Allowance) -> NDArray[np.bool_]:
    least = float(mismatch.min())
    if allowance is Allowance.AS_GOOD:
        return np.array([near_tie(least, float(each)) for each in mismatch], dtype=np.bool_)
    if allowance is Allowance.NO_WORSE:
        return mismatch <= now
    return mismatch <= max(least, now) + FEW_POINTS
