"""Which uncertainty matters most: variance-based indices of what differs from day to day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gearsim.studies.days.draws import INPUTS, Day, Input

Floats = NDArray[np.float64]

GROUPS = 8
"""Groups of days left out in turn for the error of an index (delete-a-group jackknife)."""

SAMPLES = 1024  # of the fitted surface, for the indices: a power of two
RIDGES = np.logspace(-3.0, 3.0, 25)
CURVED = 0.5
"""How large squares and products are thought to be against straight lines before any day is
ridden (judgement): they are held back more when the days do not tell."""


@dataclass(frozen=True, kw_only=True)
class Share:
    """The part of the days' variance that an input brings.

    `alone` is its first-order index (Sobol'), `together` its total one, with what it does jointly
    with others; both are shares of all variance, and `error` is the standard error of `alone`.
    """

    what: Input
    alone: float
    together: float
    error: float


@dataclass(frozen=True, kw_only=True)
class Influences:
    """The shares of all inputs that vary, the largest first.

    `told` is the part of the variance that the fitted surface predicts of days left out; the rest
    (the detail of the heights, and what a surface of second degree cannot follow) is not told
    apart.  `varies` says that there is any variance.
    """

    shares: tuple[Share, ...]
    told: float
    varies: bool

    @property
    def not_told_apart(self) -> float:
        """The part of the variance that is not told apart; 0 where there is none."""
        return 1.0 - self.told if self.varies else 0.0


@dataclass(frozen=True, kw_only=True)
class _Surface:
    """Weights of the terms fitted to all days and to the days without each group, and `told`."""

    weights: Floats  # (1 + groups, terms)
    told: float
    varies: bool


def influences(
    days: Sequence[Day], inputs: Sequence[Input], values: Sequence[Floats], chance_of_wet: float
) -> list[Influences]:
    """The influences on each of several values, one number a day each.

    Saltelli's sampling (Saltelli et al. 2010, Comput Phys Commun 181:259-270) takes thousands of
    evaluations, so it is done, by SciPy's `sobol_indices`, on a surface of second degree in the
    drawn scores, fitted to the days by ridge regression.  Straight lines alone, with squares, or
    with products too, and held back how much: whichever leaves the least error on days left out
    one by one.
    """
    terms = _terms(inputs)
    known = _of(_drawn(days, chance_of_wet), terms)
    families = _families(known, _sizes(terms))
    surfaces = [_fitted(known, families, value) for value in values]
    if not terms:
        return [Influences(shares=(), told=0.0, varies=each.varies) for each in surfaces]
    alone, together = _indices(terms, surfaces, chance_of_wet)
    return [
        _influences(inputs, surface, alone[place], together[place])
        for place, surface in enumerate(surfaces)
    ]


def _terms(inputs: Sequence[Input]) -> list[tuple[int, ...]]:
    """Columns of the drawn numbers whose product each term is: single, squared, in pairs."""
    columns = [INPUTS.index(what) for what in inputs]
    squares = [(column, column) for column in columns if INPUTS[column] is not Input.WET]
    return [*((column,) for column in columns), *squares, *combinations(columns, 2)]


def _sizes(terms: Sequence[tuple[int, ...]]) -> list[int]:
    """How many terms come first that are straight lines, those or squares, and all."""
    straight = sum(len(term) == 1 for term in terms)
    squares = sum(len(term) == 2 and term[0] == term[1] for term in terms)
    return [straight, straight + squares, len(terms)]


def _drawn(days: Sequence[Day], chance_of_wet: float) -> Floats:
    """The days' scores (days, inputs), wet or dry standing as a number of mean 0 and variance 1."""
    drawn = np.array([day.scores for day in days])
    wet = np.array([day.wet for day in days], dtype=float)
    drawn[:, INPUTS.index(Input.WET)] = _standard(wet, chance_of_wet)
    return drawn


def _standard(wet: Floats, chance_of_wet: float) -> Floats:
    deviation = np.sqrt(chance_of_wet * (1.0 - chance_of_wet))
    standard: Floats = (wet - chance_of_wet) / (deviation if deviation > 0.0 else 1.0)
    return standard


def _of(drawn: Floats, terms: Sequence[tuple[int, ...]]) -> Floats:
    """The terms at the drawn numbers, (days, terms), each of mean 0."""
    if not terms:
        return np.zeros((len(drawn), 0))
    columns = [
        drawn[:, term[0]]
        if len(term) == 1
        else CURVED
        * (
            (drawn[:, term[0]] ** 2 - 1.0) / np.sqrt(2.0)
            if term[0] == term[1]
            else drawn[:, term[0]] * drawn[:, term[1]]
        )
        for term in terms
    ]
    return np.stack(columns, axis=1)


@dataclass(frozen=True, kw_only=True)
class _Family:
    """Surfaces of the first `size` terms: the terms about their mean, U (days, k) and s (k)."""

    size: int
    left: Floats
    strength: Floats


def _families(terms: Floats, sizes: Sequence[int]) -> list[_Family]:
    families = []
    for size in sizes:
        kept = terms[:, :size] - terms[:, :size].mean(axis=0)
        left, strength, _ = np.linalg.svd(kept, full_matrices=False)
        families.append(_Family(size=size, left=left, strength=strength))
    return families


def _fitted(terms: Floats, families: Sequence[_Family], value: Floats) -> _Surface:
    weights = np.zeros((1 + GROUPS, terms.shape[1]))
    scale = float(value.std())
    varies = scale > 1e-12 * max(1.0, float(np.abs(value).max()))
    if terms.shape[1] == 0 or not varies:
        return _Surface(weights=weights, told=0.0, varies=varies)
    target = (value - value.mean()) / scale
    errors = {
        (family.size, ridge): _left_out_error(family, target, ridge)
        for family in families
        for ridge in RIDGES.tolist()
    }
    size, ridge = min(errors, key=errors.__getitem__)
    group = np.arange(len(value)) % GROUPS
    for place, left_out in enumerate([-1, *range(GROUPS)]):
        kept = group != left_out
        weights[place, :size] = _ridge(terms[kept, :size], target[kept], ridge)
    told = 1.0 - errors[size, ridge]
    return _Surface(weights=weights, told=float(np.clip(told, 0.0, 1.0)), varies=True)


def _left_out_error(family: _Family, target: Floats, ridge: float) -> float:
    """Mean squared error on each day of the surface fitted to all others, without fitting it.

    Off the surface by e with leverage h, a day is off the surface without it by e/(1 - h).
    """
    shrunk = family.strength**2 / (family.strength**2 + ridge)
    off = target - family.left @ (shrunk * (family.left.T @ target))
    leverage = (family.left**2) @ shrunk + 1.0 / len(target)
    return float(np.mean((off / (1.0 - leverage)) ** 2))


def _ridge(terms: Floats, target: Floats, ridge: float) -> Floats:
    centred = terms - terms.mean(axis=0)
    normal = centred.T @ centred + ridge * np.eye(terms.shape[1])
    weights: Floats = np.linalg.solve(normal, centred.T @ (target - target.mean()))
    return weights


def _indices(
    terms: Sequence[tuple[int, ...]], surfaces: Sequence[_Surface], chance_of_wet: float
) -> tuple[Floats, Floats]:
    """First-order and total indices, each (values, 1 + groups, inputs), in one run for all."""
    from scipy.stats import norm, sobol_indices

    weights = np.concatenate([surface.weights for surface in surfaces])
    dists: list[Any] = [norm()] * len(INPUTS)
    found = sobol_indices(
        func=partial(_values_of, weights, terms, chance_of_wet),
        n=SAMPLES,
        dists=dists,
        random_state=np.random.default_rng(0),
    )
    shape = (len(surfaces), 1 + GROUPS, len(INPUTS))
    return (
        np.clip(found.first_order.reshape(shape), 0.0, 1.0),
        np.clip(found.total_order.reshape(shape), 0.0, 1.0),
    )


def _values_of(
    weights: Floats, terms: Sequence[tuple[int, ...]], chance_of_wet: float, scores: Floats
) -> Floats:
    """The surfaces (values, samples) at standard normal scores (inputs, samples)."""
    from scipy.special import ndtri

    drawn = scores.T.copy()
    column = INPUTS.index(Input.WET)
    drawn[:, column] = _standard(
        (drawn[:, column] > -ndtri(chance_of_wet)).astype(float), chance_of_wet
    )
    values: Floats = weights @ _of(drawn, terms).T
    return values


def _influences(
    inputs: Sequence[Input], surface: _Surface, alone: Floats, together: Floats
) -> Influences:
    told, groups = surface.told, alone[1:]
    error = np.sqrt((GROUPS - 1) / GROUPS * ((groups - groups.mean(axis=0)) ** 2).sum(axis=0))
    shares = [
        Share(
            what=what,
            alone=told * float(alone[0, INPUTS.index(what)]),
            together=told * float(together[0, INPUTS.index(what)]),
            error=told * float(error[INPUTS.index(what)]),
        )
        for what in inputs
    ]
    shares.sort(key=lambda share: -share.together)
    return Influences(shares=tuple(shares), told=told, varies=surface.varies)
