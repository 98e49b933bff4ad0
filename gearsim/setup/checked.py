"""The checks that every value of rider, bike, drivetrain and conditions passes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from difflib import get_close_matches
from itertools import pairwise

from gearsim.errors import PlanError, as_given

Bounds = Mapping[str, tuple[float, float]]
"""The lowest and the highest that each field of a value may be."""


def require_between(name: str, value: float, low: float, high: float) -> None:
    """Raise `PlanError` unless `low <= value <= high` (so not for NaN either)."""
    if not low <= value <= high:
        raise PlanError(
            f"{name} is {as_given(value)}; allowed is {as_given(low)} to {as_given(high)}"
        )


def require_bounds(section: str, value: object, bounds: Bounds) -> None:
    """Raise `PlanError` for the first field of a value outside its bounds; None is not told."""
    for name, (low, high) in bounds.items():
        number = getattr(value, name)
        if number is not None:
            require_between(f"{section}.{name}", number, low, high)


def require_increasing(name: str, rule: str, values: Sequence[float]) -> None:
    """Raise `PlanError` unless the values rise strictly; `rule` says their order in words."""
    rising = all(a < b for a, b in pairwise(values))
    if not rising or any(math.isnan(value) for value in values):
        raise PlanError(f"{name} are {', '.join(map(as_given, values))}; allowed is {rule}")


def require_range(name: str, ends: tuple[float, float], least: float, most: float) -> None:
    """Raise `PlanError` unless the lower end comes first and both are within the bounds."""
    if not least <= ends[0] <= ends[1] <= most:
        raise PlanError(
            f"{name} is {as_given(ends[0])}, {as_given(ends[1])}; allowed is the lower first, "
            f"both from {as_given(least)} to {as_given(most)}"
        )


def require_one_of(name: str, value: str, allowed: Iterable[str]) -> None:
    """Raise `PlanError` unless the value is one of those allowed, with the nearest of them."""
    names = tuple(allowed)
    if value not in names:
        near = get_close_matches(value, names, n=1)
        meant = f"did you mean {near[0]!r}? " if near else ""
        raise PlanError(f"{name} is {value!r}; {meant}allowed are {', '.join(map(repr, names))}")
