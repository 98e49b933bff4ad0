"""What a rider wishes of the drivetrain that is sought."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.errors import PlanError
from gearsim.setup.checked import Bounds, require_bounds
from gearsim.setup.possible import MOST_CHAINRINGS, TYRE_MM

KEEPS = ("keep_cassette", "keep_chainset", "keep_rear_mech")
BOUNDS: Bounds = {
    "chainrings": (1, MOST_CHAINRINGS),
    "smallest_tyre_mm": TYRE_MM,
    "largest_mass_kg": (0.1, 30.0),
    "largest_price": (0.0, 1_000_000.0),
}


@dataclass(frozen=True, kw_only=True)
class Wishes:
    """What is to be kept of the drivetrain that the rider has now, and what is asked of a new one.

    None: no wish.  `now` is the name of the drivetrain that the rider has, the plan's first where
    it is left out.  The three `keep_*` leave only what goes with that part.  `chainrings` is the
    number wanted, `smallest_tyre_mm` a tyre that must fit (at least so wide), `largest_mass_kg`
    the most that the whole drivetrain may weigh by the parts list, `largest_price` the most that
    the parts to be bought may cost together.  With `internal_gears` hub gears and gearboxes are
    among the builds.  `parts` are the user's own parts files, from the plan's folder on.

    Raises `PlanError` for a value outside what can be wished, and for wishes that rule each other
    out.
    """

    now: str | None = None
    keep_cassette: bool = False
    keep_chainset: bool = False
    keep_rear_mech: bool = False
    chainrings: int | None = None
    smallest_tyre_mm: float | None = None
    largest_mass_kg: float | None = None
    largest_price: float | None = None
    internal_gears: bool = False
    parts: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what no drivetrain can be."""
        require_bounds("search", self, BOUNDS)
        if self.internal_gears:
            self._refuse_kept_with_internal_gears()

    def _refuse_kept_with_internal_gears(self) -> None:
        kept = [name for name in KEEPS if getattr(self, name)]
        if kept:
            raise PlanError(
                f"search.internal_gears and {kept[0]} are both true, but a hub gear or gearbox "
                "takes the place of that part; allowed is one of them"
            )
        if self.chainrings is not None and self.chainrings > 1:
            raise PlanError(
                f"search.internal_gears is true with chainrings = {self.chainrings}, but a hub "
                "gear or gearbox has one chainring; remove one of them"
            )
