"""What a guest can be asked to do on a bike: beyond it the bike is not suitable."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.setup.checked import Bounds, require_bounds

BOUNDS: Bounds = {
    "most_walked_m": (0.0, 100_000.0),
    "most_below_s": (0.0, 86_400.0),
    "longest_ride_s": (360.0, 360_000.0),
}


@dataclass(frozen=True, kw_only=True)
class OutingLimits:
    """The rule by which a bike is not suitable for a guest: more than any of these.

    `most_walked_m` is the road walked in all; `most_below_s` the time below the lowest gear, which
    is hard on knees; `longest_ride_s` the time without stops, None: as long as it takes.  The
    defaults are judgement, no source.

    Raises `PlanError` for a value outside what a day can be.
    """

    most_walked_m: float = 400.0
    most_below_s: float = 900.0
    longest_ride_s: float | None = None

    def __post_init__(self) -> None:
        """Refuse what no day can be."""
        require_bounds("fleet", self, BOUNDS)
