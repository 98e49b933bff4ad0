"""The body of the rear hub that carries the sprockets, and what goes on it."""

from __future__ import annotations

from difflib import get_close_matches

from gearsim.errors import PlanError
from gearsim.setup.parts.kinds import DRIVER_BODIES

SMALLEST_ON_BODY = {
    "screw-on": 13,
    "splined, 8 to 10": 11,
    "splined, long": 11,
    "splined, short": 10,
    "splined, fine": 10,
    "splined, small": 9,
}
"""The smallest sprocket that each class has room for: common practice, from memory."""

WITH_A_SPACER = {("splined, 8 to 10", "splined, long")}
"""Cassettes and the other bodies that take them with a spacer: common practice, from memory."""


def require_driver_body(name: str, body: str) -> None:
    """Raise `PlanError` unless the body is one of `DRIVER_BODIES`."""
    if body in DRIVER_BODIES:
        return
    near = get_close_matches(body, DRIVER_BODIES, n=1)
    meant = f"did you mean {near[0]!r}? " if near else ""
    known = ", ".join(repr(known) for known in DRIVER_BODIES)
    raise PlanError(f"{name} is {body!r}; {meant}allowed are {known}")
