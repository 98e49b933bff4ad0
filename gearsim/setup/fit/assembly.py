"""What is bolted together, as far as it is told: the parts whose fit is asked for."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.setup.parts.kinds import FrontMech, RearMech


@dataclass(frozen=True, kw_only=True)
class Assembly:
    """Chainrings, largest first, sprockets, smallest first, and what moves the chain over them.

    None: not told.  `driver_body` is the class that the cassette is made for, `chain_sprockets`
    the fewest and the most sprockets whose chain the chainrings are made for, `chain_links` the
    links of a chain that is there already.
    """

    chainrings: tuple[int, ...]
    sprockets: tuple[int, ...]
    rear_mech: RearMech | None = None
    front_mech: FrontMech | None = None
    driver_body: str | None = None
    chain_sprockets: tuple[int, int] | None = None
    chain_links: int | None = None

    @property
    def needs_mech(self) -> bool:
        """Whether there is more than one gear for a mech to choose from."""
        return len(self.chainrings) > 1 or len(self.sprockets) > 1

    @property
    def ring_gap_teeth(self) -> int:
        """Largest less smallest chainring, teeth."""
        return self.chainrings[0] - self.chainrings[-1]

    @property
    def needed_capacity_teeth(self) -> int:
        """Slack between the tightest and the loosest gear, rings' and sprockets', teeth."""
        return self.ring_gap_teeth + self.sprockets[-1] - self.sprockets[0]
