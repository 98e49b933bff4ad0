"""What a squad's drivetrains were sought among."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame
from gearsim.setup.wishes import Wishes
from gearsim.studies.search.present_parts import Present
from gearsim.studies.search.prospect import Prospect


@dataclass(frozen=True, kw_only=True)
class Tried:
    """A drivetrain that was ridden by all to whom it is open, and for how many it does.

    `prospect` says what it is made of, None for what is only there already; `mismatch` is that of
    these athletes together; `told` says whether it is among the squad's drivetrains.
    """

    drivetrain: Drivetrain
    prospect: Prospect | None
    open_to: int
    best_for: int
    as_good_for: int
    mismatch: float
    told: bool


@dataclass(frozen=True, kw_only=True)
class Sought:
    """Every drivetrain that was ridden, in the list's order, and what was wished.

    `presents` is what athletes have, as parts of the list; `untold` what those are taken to have
    who told nothing, None where all told.
    """

    tried: tuple[Tried, ...]
    presents: tuple[Present, ...]
    untold: Drivetrain | None
    frame: Frame
    wishes: Wishes
