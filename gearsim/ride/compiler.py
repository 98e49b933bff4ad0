"""How the loops of a ride are compiled, said once.

Other threads run on (nogil); x/0 is inf or NaN (error_model), which `simulate` finds; a product and
the sum that it goes into are rounded once where the processor can (contract).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from numba import njit

Function = TypeVar("Function", bound=Callable[..., Any])

OPTIONS: dict[str, Any] = {"nogil": True, "error_model": "numpy", "fastmath": {"contract"}}
WITHOUT_NAN = {"contract", "nnan", "nsz"}


def loop(function: Function) -> Function:
    """Compile a function that Python calls; it is kept on disk."""
    compiled: Function = njit(cache=True, **OPTIONS)(function)
    return compiled


def loop_without_nan(function: Function) -> Function:
    """Compile a loop that meets no NaN, so that least values are found several at once."""
    compiled: Function = njit(cache=True, **{**OPTIONS, "fastmath": WITHOUT_NAN})(function)
    return compiled


def part(function: Function) -> Function:
    """Compile a function that loops call."""
    compiled: Function = njit(**OPTIONS)(function)
    return compiled


def inlined(function: Function) -> Function:
    """Compile a function as if its text stood in the loop: one that is called every time."""
    compiled: Function = njit(inline="always", **OPTIONS)(function)
    return compiled
