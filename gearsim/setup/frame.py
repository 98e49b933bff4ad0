"""What the frame, the wheels and the shifters leave room for."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.setup.checked import Bounds, require_bounds, require_one_of
from gearsim.setup.driver_body import DRIVER_BODIES
from gearsim.setup.possible import MOST_CHAINRINGS, MOST_SPROCKETS, RING_TEETH, TYRE_MM

BOUNDS: Bounds = {
    "largest_ring_alone": RING_TEETH,
    "largest_ring_of_two": RING_TEETH,
    "largest_tyre_mm": TYRE_MM,
    "shifter_sprockets": (1, MOST_SPROCKETS),
    "shifter_chainrings": (1, MOST_CHAINRINGS),
}


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
        require_bounds("frame", self, BOUNDS)
        if self.driver_body is not None:
            require_one_of("frame.driver_body", self.driver_body, DRIVER_BODIES)
