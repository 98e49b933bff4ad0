"""One of a squad: who rides, on what, with which gears so far."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.possible import LARGEST_W, RIDING_W
from gearsim.setup.rider import Rider


@dataclass(frozen=True, kw_only=True)
class Athlete:
    """A rider on a bike of their own.

    `drivetrain` is what the athlete has now, if known; `assumed` names what was not told of the
    athlete and filled in.
    """

    rider: Rider
    bike: Bike
    drivetrain: Drivetrain | None = None
    assumed: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The athlete's name."""
        return self.rider.name

    @property
    def has(self) -> str | None:
        """The name of the drivetrain that the athlete has now, if known."""
        return None if self.drivetrain is None else self.drivetrain.name


def at_power(rider: Rider, power_w: float) -> Rider:
    """The rider fitter or weaker: critical and largest power change in proportion to the power.

    The reserve stays.  Powers that would leave what a rider can be stop at its edge.
    """
    power_w = min(max(power_w, RIDING_W[0]), RIDING_W[1])
    times = power_w / rider.power_w
    critical_w, largest_w = rider.critical_power_w, rider.largest_power_w
    if critical_w is not None:
        critical_w = min(max(critical_w * times, RIDING_W[0]), RIDING_W[1])
    if largest_w is not None:
        largest_w = min(max(largest_w * times, power_w), LARGEST_W)
    return replace(rider, power_w=power_w, critical_power_w=critical_w, largest_power_w=largest_w)
