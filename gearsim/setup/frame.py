"""What the frame, the wheels and the shifters leave room for."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.setup.checked import require_between
from gearsim.setup.fit.driver_body import require_driver_body


@dataclass(frozen=True, kw_only=True)
class Frame:
    """Limits of the bike that parts are to fit, as told by its makers or measured.

    None: not told, and what depends on it comes out as a caution.  `largest_ring_alone` is the
    largest single chainring that clears the frame, `largest_ring_of_two` the largest with a
    smaller one beside it, `largest_tyre_mm` the widest tyre.  `front_mech_mount` is whether a
    front mech can be fitted, `driver_body` the class of the rear hub's.  `shifter_sprockets` and
    `shifter_chainrings` are how many of them the shifters index.  `chain_tensioning` is whether
    a chain can be tightened without a rear mech, by moving the hub or the bottom bracket or by a
    tensioner.  Frames made for a gearbox are few, so `gearbox_mount` is False unless told.

    Raises `PlanError` when a value is outside what a bike can be.
    """

    largest_ring_alone: int | None = None
    largest_ring_of_two: int | None = None
    largest_tyre_mm: float | None = None
    front_mech_mount: bool | None = None
    driver_body: str | None = None
    shifter_sprockets: int | None = None
    shifter_chainrings: int | None = None
    chain_tensioning: bool | None = None
    gearbox_mount: bool = False

    def __post_init__(self) -> None:
        """Refuse what no bike can be."""
        for name, low, high in (
            ("largest_ring_alone", 16, 80),
            ("largest_ring_of_two", 16, 80),
            ("largest_tyre_mm", 10.0, 130.0),
            ("shifter_sprockets", 1, 14),
            ("shifter_chainrings", 1, 3),
        ):
            value = getattr(self, name)
            if value is not None:
                require_between(f"frame.{name}", value, low, high)
        if self.driver_body is not None:
            require_driver_body("frame.driver_body", self.driver_body)
