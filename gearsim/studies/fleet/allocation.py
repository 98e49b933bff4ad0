"""Who gets which bike: the worst walk as short as can be, then the least mismatch in all."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]


def allocate(
    walked_m: Floats, mismatch: Floats, suits: Mask, counts: Sequence[int]
) -> tuple[int | None, ...]:
    """The bike of each guest, by its number; None for a guest who is left without.

    `walked_m`, `mismatch` and `suits` are (guests, bikes), finite; only bikes that suit are given,
    each at most as often as `counts` says.  In this order: as many guests as can be have a bike;
    the longest walk among these is as short as can be; the sum of their mismatches is the least.

    Exact: the number by maximum matching; the walk by bisection over the walks that there are;
    the sum by linear assignment (`scipy.optimize.linear_sum_assignment`) with a stand-in for each
    guest who must go without.
    """
    guests = len(walked_m)
    bikes = np.repeat(np.arange(len(counts)), np.minimum(counts, guests))
    suits, walked_m = suits[:, bikes], walked_m[:, bikes]
    served = _most_served(suits)
    if served == 0:
        return (None,) * guests
    allowed = suits & (walked_m <= _shortest_worst_walk_m(walked_m, suits, served))
    taken = _least_sum(mismatch[:, bikes], allowed, served)
    return tuple(None if place is None else int(bikes[place]) for place in taken)


def _most_served(suits: Mask) -> int:
    """How many guests can have a bike that suits at once."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import maximum_bipartite_matching

    if suits.size == 0:
        return 0
    matched = maximum_bipartite_matching(csr_array(suits), perm_type="column")
    return int((matched >= 0).sum())


def _shortest_worst_walk_m(walked_m: Floats, suits: Mask, served: int) -> float:
    """The least walk to which all can be held while as many guests have a bike."""
    walks_m = np.unique(walked_m[suits])
    low, high = 0, len(walks_m) - 1
    while low < high:
        middle = (low + high) // 2
        if _most_served(suits & (walked_m <= walks_m[middle])) == served:
            high = middle
        else:
            low = middle + 1
    return float(walks_m[low])


def _least_sum(cost: Floats, allowed: Mask, served: int) -> list[int | None]:
    """The column of each row: the least sum over `served` rows, which is all that can be had."""
    from scipy.optimize import linear_sum_assignment

    rows, columns = cost.shape
    without = np.zeros((rows, rows - served))
    _, taken = linear_sum_assignment(np.hstack([np.where(allowed, cost, np.inf), without]))
    return [int(place) if place < columns else None for place in taken]
