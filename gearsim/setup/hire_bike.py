"""A kind of bike in a fleet, and how many of it there are."""

from __future__ import annotations

from dataclasses import dataclass, field

from gearsim.errors import PlanError, as_given
from gearsim.setup.bike import Bike
from gearsim.setup.checked import require_between
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame
from gearsim.setup.guest import Guest
from gearsim.setup.possible import BIKES_OF_A_KIND, BODY_HEIGHT_CM


@dataclass(frozen=True, kw_only=True)
class HireBike:
    """Bikes of one kind: the bike with its gears, the limits of its frame, and their number.

    The bike's mass has the drivetrain's in it.  `rider_from_cm` and `rider_to_cm` are the body
    heights that the frame's size is for; None: not told, and no guest is too short or too tall.
    `assumed` names what was not told and taken from the plan.

    Raises `PlanError` for a count below 0 and for heights that nobody has.
    """

    bike: Bike
    drivetrain: Drivetrain
    frame: Frame = field(default_factory=Frame)
    count: int = 1
    rider_from_cm: float | None = None
    rider_to_cm: float | None = None
    assumed: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what no fleet can be."""
        require_between("count", self.count, *BIKES_OF_A_KIND)
        for name in ("rider_from_cm", "rider_to_cm"):
            value = getattr(self, name)
            if value is not None:
                require_between(name, value, *BODY_HEIGHT_CM)
        low, high = self._heights_cm
        if low > high:
            raise PlanError(
                f"rider_from_cm is {as_given(low)} with rider_to_cm {as_given(high)}; "
                "allowed is the lower one first"
            )

    @property
    def name(self) -> str:
        """What the kind is called."""
        return self.bike.name

    def is_of_size_for(self, guest: Guest) -> bool:
        """Whether the guest is neither too short nor too tall, as far as it is told."""
        low, high = self._heights_cm
        return guest.height_cm is None or low <= guest.height_cm <= high

    @property
    def _heights_cm(self) -> tuple[float, float]:
        low, high = BODY_HEIGHT_CM
        return (
            low if self.rider_from_cm is None else self.rider_from_cm,
            high if self.rider_to_cm is None else self.rider_to_cm,
        )
