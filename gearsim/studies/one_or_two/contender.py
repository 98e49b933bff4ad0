"""Drivetrains that contend, one ring against two: how each rides, what tyre it leaves room for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from gearsim.course.course import Course
from gearsim.ride.score import Weights, score
from gearsim.ride.simulate import simulate
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.build import Build
from gearsim.setup.fit.finding import Finding, Verdict, verdict_of
from gearsim.setup.fit.fitment import assembly_of, drivetrain_findings
from gearsim.setup.fit.mechs import FRONT_MECH_TYRE_MM, front_mech_findings
from gearsim.setup.frame import Frame
from gearsim.setup.parts.kinds import FrontMech
from gearsim.setup.parts.parts_list import PartsList
from gearsim.setup.rider import Rider
from gearsim.studies.ground import seconds_by_ground
from gearsim.studies.near_tie import near_tie
from gearsim.studies.search.gains import Outcome
from gearsim.studies.search.options import Option
from gearsim.studies.search.search import Search

RINGS = (1, 2)
"""How many chainrings the contenders have."""

NARROWEST_MM = 10.0  # a tyre that every front mech clears

FRAME, FRONT_MECH, USUAL_FRONT_MECH = "frame", "front mech", "front mechs in common use"


@dataclass(frozen=True, kw_only=True)
class Setting:
    """Who rides where, on what bike without its drivetrain, on what day, and how it is scored."""

    course: Course
    rider: Rider
    bike: Bike
    conditions: Conditions
    weights: Weights

    def outcome(self, drivetrain: Drivetrain) -> Outcome:
        """What a ride with these gears comes to; raises as `simulate`."""
        ride = simulate(self.course, self.rider, self.bike, drivetrain, self.conditions)
        return Outcome(
            score=score(ride, self.weights),
            ground_s=seconds_by_ground(ride),
            settled=ride.settled,
        )


@dataclass(frozen=True, kw_only=True)
class TyreRoom:
    """The widest tyre that a drivetrain leaves room for, mm, and what limits it.

    `widest_mm` is so with that front mech of the parts list that leaves the most.  None: not told.
    """

    largest_mm: float | None
    limit: str
    widest_mm: float | None


@dataclass(frozen=True, kw_only=True)
class Contender:
    """A drivetrain that fits, as it is ridden, with what its ride came to.

    `mass_kg` is what the drivetrain weighs, `price` what the parts to be bought cost together;
    None where it is not known.  `has` says that the rider has it already.
    """

    drivetrain: Drivetrain
    outcome: Outcome
    room: TyreRoom
    mass_kg: float | None
    price: float | None
    to_buy: tuple[str, ...]
    cautions: tuple[Finding, ...]
    has: bool

    @property
    def rings(self) -> int:
        """How many chainrings it has."""
        return len(self.drivetrain.chainrings)

    @property
    def mismatch(self) -> float:
        """The score of its ride."""
        return self.outcome.score.mismatch

    @property
    def parts_to_adjust(self) -> int:
        """How many mechs are to be kept adjusted."""
        return int(len(self.drivetrain.sprockets) > 1) + int(self.rings > 1)


def best_first(contenders: Sequence[Contender], rings: int) -> tuple[Contender, ...]:
    """Those with so many chainrings by mismatch; equal ones by finish time, then weight."""
    of_these = [each for each in contenders if each.rings == rings]
    return tuple(
        sorted(
            of_these,
            key=lambda each: (each.mismatch, each.outcome.score.finish_s, each.drivetrain.mass_kg),
        )
    )


def as_good(ranked: Sequence[Contender]) -> tuple[Contender, ...]:
    """Those in a near tie with the first."""
    return tuple(each for each in ranked[1:] if near_tie(ranked[0].mismatch, each.mismatch))


def setting_of(search: Search) -> Setting:
    """Where a search rode its builds."""
    return Setting(
        course=search.course,
        rider=search.rider,
        bike=search.bike,
        conditions=search.conditions,
        weights=search.weights,
    )


def contenders_of_search(search: Search, parts: PartsList) -> tuple[Contender, ...]:
    """The builds of a search with one or two chainrings, and what the rider has where it may stay.

    It may where nothing in the plan's wishes, or on the bike with the widest tyre wished, is
    against it.
    """
    frame = search.question.frame
    built = [
        _of_option(option, option.prospect.build, parts, frame)
        for option in search.options
        if isinstance(option.prospect.build, Build)
        and len(option.prospect.build.chainset.chainrings) in RINGS
    ]
    return (*built, *_present(search, parts))


def _of_option(option: Option, build: Build, parts: PartsList, frame: Frame) -> Contender:
    prospect = option.prospect
    return Contender(
        drivetrain=prospect.drivetrain,
        outcome=option.outcome,
        room=tyre_room(build.assembly, parts, frame),
        mass_kg=build.mass_kg,
        price=prospect.price,
        to_buy=prospect.to_buy,
        cautions=prospect.cautions,
        has=False,
    )


def _present(search: Search, parts: PartsList) -> Iterator[Contender]:
    present, wishes = search.question.present, search.question.wishes
    if len(present.drivetrain.chainrings) not in RINGS or against_present(search, parts):
        return
    if wishes.largest_mass_kg is not None and present.mass_kg > wishes.largest_mass_kg:
        return
    yield Contender(
        drivetrain=replace(present.drivetrain, mass_kg=present.mass_kg),
        outcome=search.now,
        room=tyre_room(assembly_of(present.drivetrain, parts), parts, search.question.frame),
        mass_kg=present.mass_kg,
        price=0.0,
        to_buy=(),
        cautions=(),
        has=True,
    )


def against_present(search: Search, parts: PartsList) -> tuple[Finding, ...]:
    """What keeps the rider's own drivetrain from being as wished: findings that do not fit."""
    wished_mm = search.question.wishes.smallest_tyre_mm or 0.0
    bike = replace(search.bike, tyre_mm=max(search.bike.tyre_mm, wished_mm))
    present, frame = search.question.present.drivetrain, search.question.frame
    found = drivetrain_findings(present, parts, bike, frame)
    return tuple(each for each in found if each.verdict is Verdict.DOES_NOT_FIT)


def contender_of_plan(
    drivetrain: Drivetrain, setting: Setting, parts: PartsList, frame: Frame, *, has: bool
) -> Contender:
    """A drivetrain of a plan, ridden; it fits, or the maker of the plan knows better.

    Raises as `simulate`, and `PlanError` for a name that the parts list does not have.
    """
    found = drivetrain_findings(drivetrain, parts, setting.bike, frame)
    return Contender(
        drivetrain=drivetrain,
        outcome=setting.outcome(drivetrain),
        room=tyre_room(assembly_of(drivetrain, parts), parts, frame),
        mass_kg=drivetrain.mass_kg or None,
        price=None,
        to_buy=(),
        cautions=tuple(each for each in found if each.verdict is Verdict.DOES_NOT_FIT),
        has=has,
    )


def tyre_room(assembly: Assembly, parts: PartsList, frame: Frame) -> TyreRoom:
    """The room that frame and front mech leave; a front mech that is not named is taken as usual.

    What a front mech clears is common practice, no source: the frame has a say.
    """
    if len(assembly.chainrings) == 1:
        told_mm = frame.largest_tyre_mm
        limit = "" if told_mm is None else FRAME
        return TyreRoom(largest_mm=told_mm, limit=limit, widest_mm=told_mm)
    mech = assembly.front_mech
    mech_mm = FRONT_MECH_TYRE_MM if mech is None else mech.largest_tyre_mm
    by_mech = USUAL_FRONT_MECH if mech is None else FRONT_MECH
    frame_mm = float("inf") if frame.largest_tyre_mm is None else frame.largest_tyre_mm
    others_mm = (each.largest_tyre_mm for each in _front_mechs_for(assembly, parts))
    return TyreRoom(
        largest_mm=min(mech_mm, frame_mm),
        limit=FRAME if frame_mm <= mech_mm else by_mech,
        widest_mm=min(max(others_mm, default=mech_mm), frame_mm),
    )


def _front_mechs_for(assembly: Assembly, parts: PartsList) -> list[FrontMech]:
    """The front mechs of the list that do these chainrings, whatever the tyre."""

    def fits(mech: FrontMech) -> bool:
        found = front_mech_findings(replace(assembly, front_mech=mech), NARROWEST_MM)
        return verdict_of(found) is not Verdict.DOES_NOT_FIT

    return [mech for mech in parts.front_mechs if fits(mech)]
