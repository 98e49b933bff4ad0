"""The drivetrain that a rider has now, as parts of the list: what it is of, and what it weighs."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearsim.errors import PlanError
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.build import (
    CHAIN_LINK_G,
    CHAINSTAY_MM,
    SPROCKET_G,
    Build,
    InternalBuild,
)
from gearsim.setup.fit.chain import needed_links
from gearsim.setup.fit.fitment import assembly_of
from gearsim.setup.fit.frame import CLOSE_CHAIN
from gearsim.setup.fit.internal_gears import one_drive
from gearsim.setup.fit.part_choice import internal_gears_that_do
from gearsim.setup.frame import Frame
from gearsim.setup.parts.kinds import Cassette, Chainset, FrontMech, Part, RearMech
from gearsim.setup.parts.parts_list import PartsList
from gearsim.studies.search.likely_mechs import front_mech_taken, rear_mech_taken

DRIVE_RING = 40  # teeth; what the chain of a hub gear is weighed for
AS_NOW = "as now"


@dataclass(frozen=True, kw_only=True)
class Present:
    """What the rider has: parts that need not be bought, and the weight of the whole by the list.

    `chainset` and `cassette` are parts of the list with the same teeth, else stand-ins that weigh
    as much as the nearest; None where there are none.  The mechs are those that the plan names, or
    what is taken for them (`likely_mechs`); None where none in the list can be what there is.
    `guesses` says in words what was taken for what.
    """

    drivetrain: Drivetrain
    mass_kg: float
    chainset: Chainset | None = None
    cassette: Cassette | None = None
    rear_mech: RearMech | None = None
    front_mech: FrontMech | None = None
    guesses: tuple[str, ...] = ()

    @property
    def parts(self) -> tuple[Part, ...]:
        """The parts that are there already."""
        parts = (self.chainset, self.cassette, self.rear_mech, self.front_mech)
        return tuple(part for part in parts if part is not None)

    @property
    def parts_to_adjust(self) -> int:
        """How many are to be kept adjusted, counted as for a build."""
        if self.drivetrain.ratios:
            return 2
        return int(len(self.drivetrain.sprockets) > 1) + int(len(self.drivetrain.chainrings) > 1)


def present_parts(drivetrain: Drivetrain, parts: PartsList, bike: Bike, frame: Frame) -> Present:
    """What a drivetrain of a plan is made of, as far as it is told, and by the list where not.

    Raises `PlanError` for a name that the list does not have, and for a hub gear of which neither
    name nor mass is told.
    """
    if drivetrain.ratios:
        return _internal_gear(drivetrain, parts)
    assembly = assembly_of(drivetrain, parts)
    chainset, ring_guess = _chainset(drivetrain, parts)
    if not assembly.needs_mech:
        return Present(
            drivetrain=drivetrain,
            mass_kg=_single_gear_kg(chainset, assembly),
            chainset=chainset,
            guesses=(ring_guess,),
        )
    cassette, cassette_guess = _cassette(drivetrain, parts, frame)
    rear = rear_mech_taken(assembly, parts, bike, frame)
    front = front_mech_taken(assembly, parts, bike)
    build = Build(
        chainset=chainset,
        cassette=cassette,
        rear_mech=rear.mech,
        front_mech=None if front is None else front.mech,
    )
    guesses = (ring_guess, cassette_guess, rear.guess, "" if front is None else front.guess)
    return Present(
        drivetrain=drivetrain,
        mass_kg=build.mass_kg,
        chainset=chainset,
        cassette=cassette,
        rear_mech=rear.mech if rear.there else None,
        front_mech=front.mech if front is not None and front.there else None,
        guesses=tuple(guess for guess in guesses if guess),
    )


def _chainset(drivetrain: Drivetrain, parts: PartsList) -> tuple[Chainset, str]:
    """The chainset, and what it was taken for where the plan does not name it."""
    if drivetrain.chainset is not None:
        return parts.chainset(drivetrain.chainset), ""
    rings, count = drivetrain.chainrings, len(drivetrain.sprockets)

    def unlike(known: Chainset) -> tuple[float, ...]:
        fewest, most = known.chain_sprockets
        off_chain = max(fewest - count, count - most, 0)
        return (*_teeth_apart(known.chainrings, rings), off_chain, known.mass_g)

    nearest = min(parts.chainsets, key=unlike)
    *apart, off_chain, _ = unlike(nearest)
    label = "-".join(map(str, rings))
    if not any(apart) and off_chain <= CLOSE_CHAIN:
        return nearest, f"its chainset as {nearest.name!r}"
    own = replace(
        nearest,
        name=f"{label}, {AS_NOW}",
        chainrings=rings,
        chain_sprockets=(count, count),
        price=None,
        source="the plan",
    )
    return own, f"its chainset {label}, the nearest in the list, as {nearest.name!r}"


def _cassette(drivetrain: Drivetrain, parts: PartsList, frame: Frame) -> tuple[Cassette, str]:
    """The cassette, and what it was taken for."""
    rears = drivetrain.sprockets
    body = drivetrain.driver_body or frame.driver_body

    def unlike(known: Cassette) -> tuple[float, ...]:
        return (*_teeth_apart(known.sprockets, rears), known.driver_body != body, known.mass_g)

    nearest = min(parts.cassettes, key=unlike)
    same = nearest.sprockets == rears
    if same and nearest.driver_body == (body or nearest.driver_body):
        return nearest, f"its cassette as {nearest.name!r}"
    label = f"{rears[0]}-{rears[-1]}, {len(rears)} sprockets"
    own = replace(
        nearest,
        name=f"{label}, {AS_NOW}",
        sprockets=rears,
        driver_body=body or nearest.driver_body,
        price=None,
        source="the plan",
    )
    guessed = "" if body else f" and for a driver body {nearest.driver_body!r}"
    return own, f"its cassette {label}, the nearest in the list, as {nearest.name!r}{guessed}"


def _teeth_apart(known: tuple[int, ...], wanted: tuple[int, ...]) -> tuple[int, int, int]:
    """How unlike two sets of teeth are: their number, their ends, all that is in one only."""
    ends = abs(known[0] - wanted[0]) + abs(known[-1] - wanted[-1])
    return abs(len(known) - len(wanted)), ends, len(set(known) ^ set(wanted))


def _single_gear_kg(chainset: Chainset, assembly: Assembly) -> float:
    links = needed_links(assembly.chainrings[0], assembly.sprockets[0], CHAINSTAY_MM, 0)
    return (chainset.mass_g + SPROCKET_G + links * CHAIN_LINK_G) / 1000.0


def _internal_gear(drivetrain: Drivetrain, parts: PartsList) -> Present:
    name, ratios = drivetrain.internal_gear, drivetrain.ratios
    alike = [None, *reversed(internal_gears_that_do(ratios, parts))]
    gear = alike[-1] if name is None else parts.internal_gear(name)
    if gear is None:
        if drivetrain.mass_kg == 0.0:
            raise PlanError(
                f"drivetrain {drivetrain.name!r}: what it weighs is not told; give mass_kg (and "
                "the bike's without it), or internal_gear by its name in the parts list"
            )
        return Present(
            drivetrain=drivetrain,
            mass_kg=drivetrain.mass_kg,
            guesses=("what it weighs as the plan tells it",),
        )
    drive = one_drive(gear, ratios) or gear.smallest_drive
    build = InternalBuild(
        internal_gear=gear, chainring=DRIVE_RING, sprocket=round(DRIVE_RING / drive)
    )
    guesses = () if name else (f"it as {gear.name!r}, which has such ratios",)
    return Present(drivetrain=drivetrain, mass_kg=build.mass_kg, guesses=guesses)
