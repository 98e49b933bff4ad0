"""The kinds of parts: what each one is and what it allows."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.setup.checked import (
    require_between,
    require_increasing,
    require_one_of,
    require_range,
)
from gearsim.setup.driver_body import DRIVER_BODIES
from gearsim.setup.possible import MOST_CHAINRINGS, MOST_SPROCKETS, RING_TEETH, SPROCKET_TEETH


@dataclass(frozen=True, kw_only=True)
class Cassette:
    """Sprockets that are bought and fitted together, smallest first.

    `mass_g` is a typical weight; `price` is the user's to fill; `source` says where the sequence
    comes from.

    Raises `PlanError` for impossible sprockets or an unknown driver body.
    """

    name: str
    sprockets: tuple[int, ...]
    driver_body: str
    mass_g: float
    price: float | None = None
    source: str = ""

    def __post_init__(self) -> None:
        """Refuse what cannot be fitted."""
        name = f"cassette {self.name!r}"
        require_increasing(f"{name}: sprockets", "smallest first, each once", self.sprockets)
        for teeth in self.sprockets:
            require_between(f"{name}: sprockets", teeth, *SPROCKET_TEETH)
        require_between(f"{name}: number of sprockets", len(self.sprockets), 1, MOST_SPROCKETS)
        require_one_of(f"{name}: driver_body", self.driver_body, DRIVER_BODIES)
        _require_weight_and_price(name, self.mass_g, self.price)


@dataclass(frozen=True, kw_only=True)
class Chainset:
    """Chainrings with their cranks, largest ring first.

    `chain_sprockets` are the smallest and the largest number of sprockets whose chain the rings
    are made for.

    Raises `PlanError` for impossible chainrings.
    """

    name: str
    chainrings: tuple[int, ...]
    chain_sprockets: tuple[int, int]
    mass_g: float
    price: float | None = None
    source: str = ""

    def __post_init__(self) -> None:
        """Refuse what cannot be fitted."""
        name = f"chainset {self.name!r}"
        rising = tuple(reversed(self.chainrings))
        require_increasing(f"{name}: chainrings", "largest first, each once", rising)
        require_between(f"{name}: number of chainrings", len(self.chainrings), 1, MOST_CHAINRINGS)
        for teeth in self.chainrings:
            require_between(f"{name}: chainrings", teeth, *RING_TEETH)
        require_range(f"{name}: chain_sprockets", self.chain_sprockets, 1, MOST_SPROCKETS)
        _require_weight_and_price(name, self.mass_g, self.price)


@dataclass(frozen=True, kw_only=True)
class RearMech:
    """A rear mech, by what its maker lets it do.

    `smallest_sprocket` is the fewest teeth allowed on the smallest sprocket.  `low_sprocket` is
    the range allowed for the largest sprocket.  `capacity_teeth` is the slack it can take up:
    difference of the chainrings plus difference of the sprockets.  `sprockets` is the number it
    indexes.

    Raises `PlanError` for limits upside down.
    """

    name: str
    sprockets: int
    smallest_sprocket: int
    low_sprocket: tuple[int, int]
    capacity_teeth: int
    most_chainrings: int
    clutch: bool
    mass_g: float
    price: float | None = None
    source: str = ""

    def __post_init__(self) -> None:
        """Refuse what no mech can be."""
        name = f"rear mech {self.name!r}"
        require_between(f"{name}: sprockets", self.sprockets, 5, MOST_SPROCKETS)
        require_between(f"{name}: smallest_sprocket", self.smallest_sprocket, 8, 20)
        require_range(f"{name}: low_sprocket", self.low_sprocket, *SPROCKET_TEETH)
        require_between(f"{name}: capacity_teeth", self.capacity_teeth, 5, 80)
        require_between(f"{name}: most_chainrings", self.most_chainrings, 1, MOST_CHAINRINGS)
        _require_weight_and_price(name, self.mass_g, self.price)


@dataclass(frozen=True, kw_only=True)
class FrontMech:
    """A front mech, by what its maker lets it do.

    `largest_gap_teeth` is the largest difference between largest and smallest ring;
    `largest_ring` the range allowed for the largest ring; `largest_tyre_mm` the tyre that
    commonly clears it.

    Raises `PlanError` for limits upside down.
    """

    name: str
    chainrings: int
    largest_gap_teeth: int
    largest_ring: tuple[int, int]
    largest_tyre_mm: float
    mass_g: float
    price: float | None = None
    source: str = ""

    def __post_init__(self) -> None:
        """Refuse what no mech can be."""
        name = f"front mech {self.name!r}"
        require_between(f"{name}: chainrings", self.chainrings, 2, MOST_CHAINRINGS)
        require_between(f"{name}: largest_gap_teeth", self.largest_gap_teeth, 4, 40)
        require_range(f"{name}: largest_ring", self.largest_ring, *RING_TEETH)
        require_between(f"{name}: largest_tyre_mm", self.largest_tyre_mm, 18.0, 130.0)
        _require_weight_and_price(name, self.mass_g, self.price)


@dataclass(frozen=True, kw_only=True)
class InternalGear:
    """A hub gear or gearbox: its own ratios, driven from one chainring to one sprocket.

    `ratios` are those of the gear itself, without the chain, lowest first; `smallest_drive` is
    the lowest chainring/sprocket ratio that its maker allows (a lower one means more torque than
    it is built for); `mass_g` is what it weighs beyond the hub or cranks that it replaces;
    `efficiency` is from the cranks to the wheel, chain included, a mean over the gears.

    Raises `PlanError` for impossible ratios.
    """

    name: str
    place: str
    ratios: tuple[float, ...]
    efficiency: float
    smallest_drive: float
    mass_g: float
    price: float | None = None
    source: str = ""

    def __post_init__(self) -> None:
        """Refuse what cannot turn."""
        name = f"internal gear {self.name!r}"
        require_increasing(f"{name}: ratios", "lowest first, each once", self.ratios)
        require_between(f"{name}: number of ratios", len(self.ratios), 1, 40)
        for ratio in self.ratios:
            require_between(f"{name}: ratios", ratio, 0.1, 6.0)
        require_one_of(f"{name}: place", self.place, ("hub", "gearbox"))
        require_between(f"{name}: efficiency", self.efficiency, 0.3, 1.0)
        require_between(f"{name}: smallest_drive", self.smallest_drive, 0.3, 6.0)
        _require_weight_and_price(name, self.mass_g, self.price)


Part = Cassette | Chainset | RearMech | FrontMech | InternalGear


def _require_weight_and_price(name: str, mass_g: float, price: float | None) -> None:
    require_between(f"{name}: mass_g", mass_g, 0.0, 10_000.0)
    if price is not None:
        require_between(f"{name}: price", price, 0.0, 1_000_000.0)
