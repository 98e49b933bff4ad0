"""The fewest kinds of drivetrain that serve everyone nearly as well as each one's best."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gearsim.studies.near_tie import near_tie

if TYPE_CHECKING:
    from scipy.optimize import LinearConstraint
    from scipy.sparse import csr_array

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
Places = NDArray[np.intp]

MOST_KINDS = 6
"""More kinds than this are no longer few, and are not told (judgement)."""

CLOSE_ENOUGH = 0.0
"""The solver goes on until it has shown that nothing is better."""


def fewest_kinds(mismatch: Floats, most: int = MOST_KINDS) -> tuple[int, ...]:
    """The columns of the fewest kinds that serve every row, each in turn the one that adds most.

    `mismatch` is (athletes, drivetrains), inf where a drivetrain is not for an athlete, finite at
    least once for each.  A drivetrain serves an athlete whose best it is, or in a near tie with
    it.  Where `most` kinds are too few to serve all, they are those that serve the most.  Of
    choices equal in that, it is the one with the least sum of mismatch above each one's best,
    everyone on what is best for them.

    Exact: set cover, or maximum coverage, and then the least sum, each as an integer programme
    (`scipy.optimize.milp`).
    """
    best = mismatch.min(axis=1, keepdims=True)
    excess, serves = mismatch - best, np.vectorize(near_tie)(best, mismatch)
    kept = _unbeaten(excess)
    excess, serves = excess[:, kept], serves[:, kept]
    kinds = _fewest(serves)
    if kinds <= most:
        chosen = _least_excess(np.where(serves, excess, np.inf), serves, kinds, len(serves))
    else:
        chosen = _least_excess(excess, serves, most, _most_served(serves, most))
    return tuple(int(kept[place]) for place in _in_turn(chosen, serves))


def _unbeaten(excess: Floats) -> Places:
    """The columns but for those that another is no worse than for anyone; of equal ones the first.

    The whole programme need not look at the others: there are few left of hundreds.
    """
    order = np.argsort(excess.sum(axis=0), kind="stable")
    kept: list[int] = []
    for column in order:  # by the sum, so that what beats a column stands before it
        if not (excess[:, kept] <= excess[:, [column]]).all(axis=0).any():
            kept.append(int(column))
    return np.array(sorted(kept), dtype=np.intp)


def _fewest(serves: Mask) -> int:
    """How few columns serve every row."""
    from scipy.optimize import LinearConstraint

    columns = serves.shape[1]
    everyone = LinearConstraint(serves.astype(float), lb=1.0)
    return round(float(_solved(np.ones(columns), [everyone], whole=columns).sum()))


def _most_served(serves: Mask, kinds: int) -> int:
    """How many rows so many columns can serve; the unknowns are columns, then rows served."""
    from scipy.optimize import LinearConstraint

    rows, columns = serves.shape
    cost = np.concatenate([np.zeros(columns), -np.ones(rows)])
    by_one_chosen = np.hstack([serves.astype(float), -np.eye(rows)])
    chosen = np.concatenate([np.ones(columns), np.zeros(rows)])
    constraints = [
        LinearConstraint(by_one_chosen, lb=0.0),
        LinearConstraint(chosen[np.newaxis], ub=kinds),
    ]
    return round(float(_solved(cost, constraints, whole=len(cost))[columns:].sum()))


def _least_excess(excess: Floats, serves: Mask, kinds: int, served: int) -> list[int]:
    """So many columns that serve so many rows, with the least sum of excess.

    The unknowns are the columns, then for each pair that may be whether the row takes that column,
    then whether a row goes without, which costs more than any pair.
    """
    from scipy.optimize import LinearConstraint

    rows, columns = excess.shape
    row, column = np.nonzero(np.isfinite(excess))
    pairs = np.arange(len(row))
    takes, without = columns + pairs, columns + len(row) + np.arange(rows)
    size = columns + len(row) + rows
    dear = 1.0 + excess[row, column].max(initial=0.0)
    cost = np.concatenate([np.zeros(columns), excess[row, column], np.full(rows, dear)])
    everyone = _ones(row, takes, rows, size) + _ones(np.arange(rows), without, rows, size)
    of_chosen = _ones(pairs, takes, len(row), size) - _ones(pairs, column, len(row), size)
    first = np.zeros(size, np.intp)
    number = _ones(first[:columns], np.arange(columns), 1, size)
    well = takes[serves[row, column]]
    constraints = [
        LinearConstraint(everyone, lb=1.0, ub=1.0),
        LinearConstraint(of_chosen, ub=0.0),
        LinearConstraint(number, ub=kinds),
        LinearConstraint(_ones(first[: len(well)], well, 1, size), lb=served),
    ]
    found = _solved(cost, constraints, whole=columns)
    return [int(place) for place in np.flatnonzero(found[:columns] > 0.5)]


def _ones(at_rows: Places, at_columns: Places, rows: int, columns: int) -> csr_array:
    """A sparse matrix with ones at the places given."""
    from scipy.sparse import csr_array

    shape = (rows, columns)
    return csr_array((np.ones(len(at_rows)), (at_rows, at_columns)), shape=shape)


def _solved(cost: Floats, constraints: list[LinearConstraint], whole: int) -> Floats:
    """The values from 0 to 1 with the least cost, the first so many of them whole."""
    from scipy.optimize import Bounds, milp

    found = milp(
        cost,
        constraints=constraints,
        integrality=(np.arange(len(cost)) < whole).astype(int),
        bounds=Bounds(0.0, 1.0),
        options={"mip_rel_gap": CLOSE_ENOUGH},
    )
    return np.asarray(found.x, dtype=np.float64)


def _in_turn(chosen: list[int], serves: Mask) -> list[int]:
    """The columns, each in turn the one that serves the most rows not yet served."""
    left, served = list(chosen), np.zeros(len(serves), np.bool_)
    order: list[int] = []
    while left:
        add = max(left, key=lambda place: int((serves[:, place] & ~served).sum()))
        order.append(add)
        left.remove(add)
        served = served | serves[:, add]
    return order
