"""One of a guided tour: who rides, and what had to be filled in."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.setup.rider import Rider


@dataclass(frozen=True, kw_only=True)
class Guest:
    """A rider on a bike of the fleet.

    `ability` is the class that the guest was told to be of, if any; `height_cm` the body height,
    for the size of the bike.  `by_class` and `assumed` name what was not told of the guest and
    taken from the class, or from the plan.
    """

    rider: Rider
    ability: str | None = None
    height_cm: float | None = None
    by_class: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The guest's name."""
        return self.rider.name
