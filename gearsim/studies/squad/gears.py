"""What tells drivetrains apart for a squad: their gears, whatever their name, parts and mass."""

from __future__ import annotations

from gearsim.setup.drivetrain import Drivetrain
from gearsim.studies.search.options import Ridden as Gears
from gearsim.studies.search.options import ridden_as

__all__ = ["Gears", "gears_of"]


def gears_of(drivetrain: Drivetrain) -> Gears:
    """What decides a ride beside the mass: gears and efficiency."""
    return ridden_as(drivetrain)[:-1]
