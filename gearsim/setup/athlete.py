"""One of a squad: who rides, on what, with which gears so far."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearsim.setup.bike import Bike
from gearsim.setup.rider import Rider

POSSIBLE_W = (20.0, 2000.0)
LARGEST_POSSIBLE_W = 3000.0
"""What `Rider` allows."""


@dataclass(frozen=True, kw_only=True)
class Athlete:
    """A rider on a bike of their own.

    `has` is the name of the drivetrain the athlete has now, if known; `assumed` names what was
    not told of the athlete and filled in.
    """

    rider: Rider
    bike: Bike
    has: str | None = None
    assumed: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The athlete's name."""
        return self.rider.name


def at_power(rider: Rider, power_w: float) -> Rider:
    """The rider fitter or weaker: critical and largest power change in proportion to the power.

    The reserve stays.  Powers that would leave what a rider can be stop at its edge.
    """
    power_w = min(max(power_w, POSSIBLE_W[0]), POSSIBLE_W[1])
    times = power_w / rider.power_w
    critical_w, largest_w = rider.critical_power_w, rider.largest_power_w
    if critical_w is not None:
        critical_w = min(max(critical_w * times, POSSIBLE_W[0]), POSSIBLE_W[1])
    if largest_w is not None:
        largest_w = min(max(largest_w * times, power_w), LARGEST_POSSIBLE_W)
    return replace(rider, power_w=power_w, critical_power_w=critical_w, largest_power_w=largest_w)
