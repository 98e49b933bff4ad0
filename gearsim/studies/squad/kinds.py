"""The fewest kinds of drivetrain that serve everyone nearly as well as each one's best."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
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
Whole = NDArray[np.int_]

MOST_KINDS = 6
"""More kinds than this are no longer few, and are not told (judgement)."""

CLOSE_ENOUGH = 0.0
"""The solver goes on until it has shown that nothing is better."""

LEFT_STEPS = 10
"""Steps to a point of mismatch in which it is weighed how badly off those are whom no kind serves:
as finely as it is told."""


@dataclass(frozen=True, kw_only=True)
class _Table:
    """Who can take what, (athletes, drivetrains), and what is to be least.

    `excess` is the mismatch above each one's best, inf for what may not be taken.  `goals` are
    whole numbers, summed over what everyone takes; the first is least first, and `excess` last.
    """

    excess: Floats
    serves: Mask
    goals: tuple[Whole, ...]

    def of(self, columns: Places) -> _Table:
        """Some of the columns."""
        return _Table(
            excess=self.excess[:, columns],
            serves=self.serves[:, columns],
            goals=tuple(each[:, columns] for each in self.goals),
        )

    @property
    def ranks(self) -> Whole:
        """The place of each in its row by the goals in turn; equal ones share it.

        Whole rows can be held against each other by it: the sums of goals in turn keep an order
        that holds in each row.
        """
        tables = (np.where(np.isfinite(self.excess), 0, 1), *self.goals, self.excess)
        keys = np.stack(tables, axis=-1)
        return np.array(
            [np.unique(row, axis=0, return_inverse=True)[1].reshape(-1) for row in keys]
        )


def fewest_kinds(
    mismatch: Floats, most: int = MOST_KINDS, trouble: Sequence[Whole] = ()
) -> tuple[int, ...]:
    """The columns of the fewest kinds that serve every row, each in turn the one that adds most.

    `mismatch` is (athletes, drivetrains), inf where a drivetrain is not for an athlete, finite at
    least once for each.  A drivetrain serves an athlete whose best it is, or in a near tie with
    it.  Where `most` kinds are too few to serve all, they are those that serve the most, and then
    those that leave the others the least worse off, to a tenth of a point for each.

    Of choices equal in that, it is the one with the least `trouble`: tables like `mismatch`, of
    which the sum of the first is to be least, then that of the next, everyone counted on that of
    the kinds which serves them with the least of it.  Then it is the one with the least sum of
    mismatch above each one's best.

    Exact: set cover, or maximum coverage, and then the least sums one after the other, each as an
    integer programme (`scipy.optimize.milp`).
    """
    best = mismatch.min(axis=1, keepdims=True)
    excess, serves = mismatch - best, np.vectorize(near_tie)(best, mismatch)
    weighed = [np.where(serves, _in_one(trouble), 0)] if trouble else []
    kinds = _fewest(serves)
    if kinds <= most:
        served = len(serves)
        everyone = np.where(serves, excess, np.inf)
        table = _Table(excess=everyone, serves=serves, goals=tuple(weighed))
    else:
        kinds, served = most, _most_served(serves, most)
        badly_off = [_badly_off(excess, serves)] if trouble else []
        table = _Table(excess=excess, serves=serves, goals=(*badly_off, *weighed))
    kept = _unbeaten(table.ranks)
    chosen = _least(table.of(kept), kinds, served)
    return tuple(int(kept[place]) for place in _in_turn(chosen, serves[:, kept]))


def _in_one(trouble: Sequence[Whole]) -> Whole:
    """One table of which the sum is least where that of the first is least, then of the next."""
    one = trouble[0]
    for each in trouble[1:]:
        one = one * (1 + int(each.max(axis=1).sum())) + each
    return one


def _badly_off(excess: Floats, serves: Mask) -> Whole:
    """How much worse off than by their best those are who are not served, in steps."""
    left = np.where(serves | np.isinf(excess), 0.0, excess)
    steps: Whole = np.rint(LEFT_STEPS * left).astype(np.int_)
    return steps


def _unbeaten(ranks: Whole) -> Places:
    """The columns but for those that another is no worse than for anyone; of equal ones the first.

    The whole programme need not look at the others: there are few left of hundreds.
    """
    order = np.argsort(ranks.sum(axis=0), kind="stable")
    kept: list[int] = []
    for column in order:  # by the sum, so that what beats a column stands before it
        if not (ranks[:, kept] <= ranks[:, [column]]).all(axis=0).any():
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


def _least(table: _Table, kinds: int, served: int) -> list[int]:
    """So many columns that serve so many rows, with the least sums in turn.

    The unknowns are the columns, then for each pair that may be whether the row takes that column,
    then whether a row goes without, which costs more than the dearest pairs of all rows.
    """
    from scipy.optimize import LinearConstraint

    rows, columns = table.excess.shape
    row, column = np.nonzero(np.isfinite(table.excess))
    pairs = np.arange(len(row))
    takes, without = columns + pairs, columns + len(row) + np.arange(rows)
    size = columns + len(row) + rows
    everyone = _ones(row, takes, rows, size) + _ones(np.arange(rows), without, rows, size)
    of_chosen = _ones(pairs, takes, len(row), size) - _ones(pairs, column, len(row), size)
    first = np.zeros(size, np.intp)
    number = _ones(first[:columns], np.arange(columns), 1, size)
    well = takes[table.serves[row, column]]
    constraints = [
        LinearConstraint(everyone, lb=1.0, ub=1.0),
        LinearConstraint(of_chosen, ub=0.0),
        LinearConstraint(number, ub=kinds),
        LinearConstraint(_ones(first[: len(well)], well, 1, size), lb=served),
    ]

    def cost(of: Floats | Whole) -> Floats:
        dear = 1.0 + np.where(np.isfinite(table.excess), of, 0).max(axis=1).sum()
        return np.concatenate([np.zeros(columns), of[row, column], np.full(rows, dear)])

    for goal in table.goals:
        cost_of_goal = cost(goal)
        least = np.rint(cost_of_goal @ _solved(cost_of_goal, constraints, whole=columns))
        constraints.append(LinearConstraint(cost_of_goal[np.newaxis], ub=least))
    found = _solved(cost(table.excess), constraints, whole=columns)
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
