"""The checks that every value of rider, bike, drivetrain and conditions passes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from gearsim.errors import PlanError


def require_between(name: str, value: float, low: float, high: float) -> None:
    """Raise `PlanError` unless `low <= value <= high` (so not for NaN either)."""
    if not low <= value <= high:
        raise PlanError(f"{name} is {value:g}; allowed is {low:g} to {high:g}")


def require_increasing(name: str, rule: str, values: Sequence[float]) -> None:
    """Raise `PlanError` unless the values rise strictly; `rule` says their order in words."""
    rising = all(a < b for a, b in pairwise(values))
    if not rising or any(math.isnan(value) for value in values):
        shown = ", ".join(f"{value:g}" for value in values)
        raise PlanError(f"{name} are {shown}; allowed is {rule}")
