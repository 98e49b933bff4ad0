"""A drivetrain put together from parts of a list: what is ridden, weighed, paid and kept adjusted.

Weights beyond those of the parts are judgement, no source: set beside them as constants.
"""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.errors import PlanError
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.chain import links_needed_by, needed_links
from gearsim.setup.parts.kinds import Cassette, Chainset, FrontMech, InternalGear, RearMech

CHAIN_LINK_G = 2.3
"""A chain of 114 links weighs about 260 g: judgement, from memory."""

FRONT_SHIFTING_G = 80.0
"""Cable, its housing and the inside of the shifter that a front mech needs: judgement."""

CHAINSTAY_MM = Bike.chainstay_mm
"""The chainstay that the chain is weighed for: 20 mm more or less are about 7 g of chain."""

RING_AND_CRANKS_G = 750.0
SPROCKET_G = 50.0
"""What drives a hub gear or gearbox: one chainring with cranks, one sprocket (judgement)."""

MOST_PLACES_KG = 3  # a gram


@dataclass(frozen=True, kw_only=True)
class Build:
    """A chainset, a cassette and the mechs that move the chain.

    A front mech is there with several chainrings and not with one.

    Raises `PlanError` where it is not so.
    """

    chainset: Chainset
    cassette: Cassette
    rear_mech: RearMech
    front_mech: FrontMech | None = None

    def __post_init__(self) -> None:
        """Refuse what cannot be shifted."""
        rings = len(self.chainset.chainrings)
        if (rings > 1) != (self.front_mech is not None):
            need = "needs a front mech" if rings > 1 else "needs no front mech"
            raise PlanError(f"chainset {self.chainset.name!r} has {rings} chainrings: it {need}")

    @property
    def parts(self) -> tuple[Chainset | Cassette | RearMech | FrontMech, ...]:
        """The parts from the list, without the chain."""
        parts = (self.chainset, self.cassette, self.rear_mech)
        return parts if self.front_mech is None else (*parts, self.front_mech)

    @property
    def name(self) -> str:
        """The names of the parts in a row: each build has its own."""
        return " + ".join(part.name for part in self.parts)

    @property
    def assembly(self) -> Assembly:
        """What the fit is judged by."""
        return Assembly(
            chainrings=self.chainset.chainrings,
            sprockets=self.cassette.sprockets,
            rear_mech=self.rear_mech,
            front_mech=self.front_mech,
            driver_body=self.cassette.driver_body,
            chain_sprockets=self.chainset.chain_sprockets,
        )

    @property
    def mass_kg(self) -> float:
        """The parts, a chain, and what shifts a front mech; not the shifters themselves, kg."""
        mass_g = sum(part.mass_g for part in self.parts)
        mass_g += links_needed_by(self.assembly, CHAINSTAY_MM) * CHAIN_LINK_G
        if self.front_mech is not None:
            mass_g += FRONT_SHIFTING_G
        return round(mass_g / 1000.0, MOST_PLACES_KG)

    @property
    def price(self) -> float | None:
        """All parts together without the chain; None unless every one has a price."""
        return _sum_of([part.price for part in self.parts])

    @property
    def parts_to_adjust(self) -> int:
        """How many mechs are to be kept adjusted."""
        return 1 if self.front_mech is None else 2

    @property
    def drivetrain(self) -> Drivetrain:
        """What is ridden: the teeth, with the mass to be added to a bike that has no drivetrain."""
        return Drivetrain(
            name=self.name,
            chainrings=self.chainset.chainrings,
            sprockets=self.cassette.sprockets,
            mass_kg=self.mass_kg,
            chainset=self.chainset.name,
            rear_mech=self.rear_mech.name,
            front_mech=None if self.front_mech is None else self.front_mech.name,
            driver_body=self.cassette.driver_body,
        )


@dataclass(frozen=True, kw_only=True)
class InternalBuild:
    """A hub gear or gearbox driven from a chainring to a sprocket, of so many teeth."""

    internal_gear: InternalGear
    chainring: int
    sprocket: int

    @property
    def drive(self) -> float:
        """Chainring over sprocket."""
        return self.chainring / self.sprocket

    @property
    def name(self) -> str:
        """The gear's name and its chainring and sprocket: each build has its own."""
        return f"{self.internal_gear.name} + {self.chainring}×{self.sprocket}"

    @property
    def mass_kg(self) -> float:
        """The gear, chain, chainring with cranks, and sprocket, kg."""
        links = needed_links(self.chainring, self.sprocket, CHAINSTAY_MM, 0)
        mass_g = self.internal_gear.mass_g + RING_AND_CRANKS_G + SPROCKET_G + links * CHAIN_LINK_G
        return round(mass_g / 1000.0, MOST_PLACES_KG)

    @property
    def price(self) -> float | None:
        """The gear's price, without chain, chainring and sprocket; None where it has none."""
        return self.internal_gear.price

    @property
    def parts_to_adjust(self) -> int:
        """How many are to be kept adjusted: the gear's own shifting and the chain's tension."""
        return 2

    @property
    def drivetrain(self) -> Drivetrain:
        """What is ridden: the ratios with the chain's, and the mass to be added to the bike's."""
        return Drivetrain(
            name=self.name,
            ratios=tuple(ratio * self.drive for ratio in self.internal_gear.ratios),
            efficiency=self.internal_gear.efficiency,
            mass_kg=self.mass_kg,
            internal_gear=self.internal_gear.name,
        )


AnyBuild = Build | InternalBuild


def _sum_of(prices: list[float | None]) -> float | None:
    told = [price for price in prices if price is not None]
    return sum(told) if len(told) == len(prices) else None
