"""Which mechs a drivetrain has: those that it names, else those that are taken for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Generic

from gearsim.setup.bike import Bike
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.frame import Frame
from gearsim.setup.parts.kinds import FrontMech, RearMech
from gearsim.setup.parts.parts_list import PartsList
from gearsim.studies.search.fitting_mechs import Mech, fitting_fronts, fitting_rears


@dataclass(frozen=True, kw_only=True)
class TakenMech(Generic[Mech]):
    """A mech and how far it is taken for the one on the bike.

    `there` says whether it counts as there already, or only its weight is taken; `guess` says in
    words what was taken for what, empty where the mech is named.
    """

    mech: Mech
    there: bool
    guess: str


def rear_mech_taken(
    assembly: Assembly, parts: PartsList, bike: Bike, frame: Frame
) -> TakenMech[RearMech]:
    """The rear mech that is named, else the one that a build of these gears would be given.

    That is the lightest with nothing against it that is made for so many sprockets.  Where none of
    the list fits, the nearest tells the weight.
    """
    if assembly.rear_mech is not None:
        return TakenMech(mech=assembly.rear_mech, there=True, guess="")
    count = len(assembly.sprockets)
    # The chain that is on the bike goes with its own mech, whichever that is.
    bare = replace(assembly, chain_links=None)
    alike = [mech for mech in parts.rear_mechs if mech.sprockets == count]
    found = fitting_rears(bare, alike, bike, frame, ())

    def unlike(mech: RearMech) -> tuple[float, ...]:
        off = abs(mech.sprockets - count)
        return off, abs(mech.capacity_teeth - assembly.needed_capacity_teeth), mech.mass_g

    return _taken("rear mech", found, min(parts.rear_mechs, key=unlike))


def front_mech_taken(
    assembly: Assembly, parts: PartsList, bike: Bike
) -> TakenMech[FrontMech] | None:
    """The front mech, as `rear_mech_taken`; None where there is one chainring."""
    if len(assembly.chainrings) == 1:
        return None
    if assembly.front_mech is not None:
        return TakenMech(mech=assembly.front_mech, there=True, guess="")
    found = fitting_fronts(assembly, parts.front_mechs, bike.tyre_mm, ())

    def unlike(mech: FrontMech) -> tuple[float, ...]:
        off = abs(mech.chainrings - len(assembly.chainrings))
        return off, abs(mech.largest_ring[1] - assembly.chainrings[0]), mech.mass_g

    return _taken("front mech", found, min(parts.front_mechs, key=unlike))


def _taken(what: str, found: Sequence[Mech], nearest: Mech) -> TakenMech[Mech]:
    there = bool(found)
    mech = found[0] if there else nearest
    how = f"as {mech.name!r}" if there else f"in weight only as {mech.name!r}, since none would do"
    guess = f"its {what}, which the plan does not name, {how}"
    return TakenMech(mech=mech, there=there, guess=guess)
