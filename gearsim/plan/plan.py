"""What a plan file says."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from gearsim.course.stops import Stop
from gearsim.course.surface import SurfaceStretch
from gearsim.errors import PlanError
from gearsim.plan.keys import NEEDED
from gearsim.ride.score import Weights
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame
from gearsim.setup.outing_limits import OutingLimits
from gearsim.setup.rider import Rider
from gearsim.setup.uncertain import Uncertain
from gearsim.setup.wishes import Wishes

if TYPE_CHECKING:
    from gearsim.course.course import Course


@dataclass(frozen=True, kw_only=True)
class Plan:
    """What a plan file says: the course to load, and who rides it with which candidates.

    `step_m`, `surfaces` and `default_surface` are those of `gearsim.load_course`; `athletes` is
    the CSV list for `gearsim.load_athletes`, `bikes` and `guests` those for `gearsim.load_bikes`
    and `gearsim.load_guests`, which need not be there for anything else.  `cautions` are what to
    look at again before its results are believed, one line each.
    """

    path: Path
    route: Path
    step_m: float = 10.0
    default_surface: str = "tarmac"
    athletes: Path | None = None
    bikes: Path | None = None
    guests: Path | None = None
    stops: tuple[Stop, ...] = ()
    surfaces: tuple[SurfaceStretch, ...]
    rider: Rider
    bike: Bike
    frame: Frame
    conditions: Conditions
    drivetrains: tuple[Drivetrain, ...]
    weights: Weights
    uncertain: Uncertain
    wishes: Wishes
    limits: OutingLimits
    cautions: tuple[str, ...] = ()

    def require_drivetrains(self) -> None:
        """Raise `PlanError` where there is no drivetrain to ride."""
        if not self.drivetrains:
            raise PlanError(
                f"{self.path}: has no [[drivetrain]] to compare; give at least one, or ride the "
                f"bikes of its list with: gearsim fleet {shlex.quote(str(self.path))}"
            )

    @property
    def drivetrain_now(self) -> Drivetrain:
        """The drivetrain that the rider has: the one that the wishes name, else the first.

        Raises `PlanError` where the plan has none.
        """
        if not self.drivetrains:
            raise PlanError(f"there is no drivetrain; {NEEDED['drivetrain']}")
        named = [each for each in self.drivetrains if each.name == self.wishes.now]
        return (*named, *self.drivetrains)[0]

    @property
    def parts_files(self) -> tuple[Path, ...]:
        """The user's own parts files."""
        return tuple(self.path.parent / name for name in self.wishes.parts)

    def load_course(self) -> Course:
        """The plan's course with its stops.

        Raises as `gearsim.load_course` and `with_stops`, naming the plan where at fault.
        """
        from gearsim.course.loading import load_course
        from gearsim.course.stops import with_stops

        try:
            course = load_course(self.route, self.step_m, self.surfaces, self.default_surface)
            return with_stops(course, self.stops)
        except PlanError as error:
            raise PlanError(f"{self.path}: {error}") from error
