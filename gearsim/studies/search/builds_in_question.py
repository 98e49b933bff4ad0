"""Which builds of a parts list come into question for a bike, a frame and a rider's wishes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import TypeVar

from gearsim.errors import PlanError
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.build import AnyBuild, Build, InternalBuild
from gearsim.setup.fit.finding import Finding, Verdict
from gearsim.setup.fit.fitment import assembly_findings, findings_of
from gearsim.setup.fit.frame import frame_findings
from gearsim.setup.frame import Frame
from gearsim.setup.parts.kinds import Cassette, Chainset, Part, RearMech
from gearsim.setup.parts.parts_list import PartsList
from gearsim.setup.wishes import Wishes
from gearsim.studies.search.fitting_mechs import Mechs, fitting_fronts, fitting_rears, pairs
from gearsim.studies.search.internal_drives import drives_of
from gearsim.studies.search.present_parts import Present, present_parts
from gearsim.studies.search.prospect import (
    Prospect,
    price_of,
    prospect,
    with_short_names,
    without_twins,
)

AnyPart = TypeVar("AnyPart", bound=Part)

SAME_GEARS, TWIN = "same gears as now", "same gears as another, and no better"
NO_REAR_MECH, NO_FRONT_MECH = "no rear mech", "no front mech"
TOO_HEAVY, TOO_DEAR, NO_PRICE = "too heavy", "too dear", "no price"
"""Why a build is left out, beside the subjects of the findings that say so."""


@dataclass(frozen=True, kw_only=True)
class LeftOut:
    """A pair of parts that makes no build, and why: a finding's subject or a reason from above."""

    reason: str


@dataclass(frozen=True, kw_only=True)
class InQuestion:
    """The builds to be ridden, in the list's order, and how many were left out for what.

    `considered` counts the pairs of chainset and cassette (and the drives of internal gears) that
    the wishes leave.  A pair is left out by the first thing found against it; `left_out` has the
    commonest reason first.
    """

    present: Present
    frame: Frame
    wishes: Wishes
    prospects: tuple[Prospect, ...]
    considered: int
    left_out: dict[str, int]


def builds_in_question(
    now: Drivetrain, parts: PartsList, bike: Bike, frame: Frame, wishes: Wishes
) -> InQuestion:
    """Every chainset with every cassette that fits, with the lightest mechs that fit.

    Mechs with nothing against them come before lighter ones with a caution, and what the rider
    has already stays where it fits as well as any.

    Raises `PlanError` where wishes and what the rider has rule each other out, and where no build
    is left.
    """
    present = present_parts(now, parts, bike, frame)
    _require_possible(present, frame, wishes)
    tyre_mm = max(bike.tyre_mm, wishes.smallest_tyre_mm or 0.0)
    wider = replace(bike, tyre_mm=tyre_mm)
    choice = _Choice(parts=parts, bike=wider, frame=frame, wishes=wishes, present=present)
    found = [*choice.chain_drives(), *choice.internal_drives()]
    fitting = choice.prospects([each for each in found if not isinstance(each, LeftOut)])
    prospects = without_twins(fitting)
    reasons = Counter(each.reason for each in found if isinstance(each, LeftOut))
    reasons[TWIN] = len(fitting) - len(prospects)
    left_out = {reason: count for reason, count in sorted(reasons.items(), key=_commonest) if count}
    if not prospects:
        raise PlanError(_nothing_left(len(found), left_out))
    return InQuestion(
        present=present,
        frame=frame,
        wishes=wishes,
        prospects=with_short_names(prospects),
        considered=len(found),
        left_out=left_out,
    )


def _commonest(item: tuple[str, int]) -> tuple[int, str]:
    return -item[1], item[0]


def _require_possible(present: Present, frame: Frame, wishes: Wishes) -> None:
    name, rings = present.drivetrain.name, len(present.drivetrain.chainrings)
    for key, part in (("keep_cassette", present.cassette), ("keep_chainset", present.chainset)):
        if getattr(wishes, key) and part is None:
            raise PlanError(f"search.{key} is true, but {name!r} has none; leave {key} out")
    if wishes.keep_rear_mech and present.drivetrain.rear_mech is None:
        raise PlanError(
            f"search.keep_rear_mech is true, but drivetrain {name!r} does not say which it has; "
            "give its rear_mech by its name in the parts list"
        )
    if wishes.keep_chainset and wishes.chainrings not in (None, rings):
        raise PlanError(
            f"search.chainrings is {wishes.chainrings}, but the chainset to be kept has {rings}; "
            "leave out chainrings or keep_chainset"
        )
    widest, wanted = frame.largest_tyre_mm, wishes.smallest_tyre_mm
    if widest is not None and wanted is not None and wanted > widest:
        raise PlanError(
            f"search.smallest_tyre_mm is {wanted:g}, but frame.largest_tyre_mm is {widest:g}: "
            "nothing can fit; change one of them"
        )


def _nothing_left(considered: int, left_out: dict[str, int]) -> str:
    told = ", ".join(f"{reason}: {count}" for reason, count in list(left_out.items())[:3])
    return (
        f"search: of {considered} builds none fits and is as wished"
        f"{f' (the most by {told})' if told else ''}; "
        "look at [frame] and [search], or add parts in a file of your own"
    )


@dataclass(frozen=True, kw_only=True)
class _Choice:
    """What is chosen from, and for what; the bike has the widest tyre that must fit."""

    parts: PartsList
    bike: Bike
    frame: Frame
    wishes: Wishes
    present: Present

    def chain_drives(self) -> Iterator[Build | LeftOut]:
        """For each chainset and cassette the build, or why there is none."""
        for chainset, cassette in product(self._chainsets(), self._cassettes()):
            yield self._chain_drive(chainset, cassette)

    def internal_drives(self) -> Iterator[InternalBuild | LeftOut]:
        """For each internal gear and drive the build, or why there is none."""
        if not self.wishes.internal_gears:
            return
        for gear in self.parts.internal_gears:
            for build in drives_of(gear):
                reason = _first_fault(findings_of(build, self.bike, self.frame))
                reason = reason or self._against_wishes(build)
                yield LeftOut(reason=reason) if reason else build

    def prospects(self, builds: Sequence[AnyBuild]) -> list[Prospect]:
        """Builds with all that is found on them, on the widest tyre that must fit."""
        now, there = self.present.drivetrain, self.present.parts
        return [
            prospect(build, findings_of(build, self.bike, self.frame), now, there)
            for build in builds
        ]

    def _chainsets(self) -> Sequence[Chainset]:
        own = [self.present.chainset] if self.present.chainset else []
        known = own if self.wishes.keep_chainset else _united(self.parts.chainsets, own)
        wanted = self.wishes.chainrings
        return [each for each in known if wanted in (None, len(each.chainrings))]

    def _cassettes(self) -> Sequence[Cassette]:
        own = [self.present.cassette] if self.present.cassette else []
        return own if self.wishes.keep_cassette else _united(self.parts.cassettes, own)

    def _chain_drive(self, chainset: Chainset, cassette: Cassette) -> Build | LeftOut:
        now = self.present.drivetrain
        if (chainset.chainrings, cassette.sprockets) == (now.chainrings, now.sprockets):
            return LeftOut(reason=SAME_GEARS)
        assembly = Assembly(
            chainrings=chainset.chainrings,
            sprockets=cassette.sprockets,
            driver_body=cassette.driver_body,
            chain_sprockets=chainset.chain_sprockets,
        )
        fault = _first_fault(frame_findings(assembly, self.bike.tyre_mm, self.frame))
        mechs = LeftOut(reason=fault) if fault else self._mechs(assembly)
        if isinstance(mechs, LeftOut):
            return mechs
        return self._as_wished(chainset, cassette, mechs)

    def _mechs(self, assembly: Assembly) -> Sequence[Mechs] | LeftOut:
        """Mechs that fit, those to be preferred first, or why there are none."""
        there, kept = self.present.parts, self._kept_rear_mechs()
        known = kept or self.parts.rear_mechs
        rears = fitting_rears(assembly, known, self.bike, self.frame, there)
        if not rears:
            return LeftOut(reason=self._against_kept(assembly) if kept else NO_REAR_MECH)
        if len(assembly.chainrings) == 1:
            return pairs(rears, None)
        fronts = fitting_fronts(assembly, self.parts.front_mechs, self.bike.tyre_mm, there)
        return pairs(rears, fronts) if fronts else LeftOut(reason=NO_FRONT_MECH)

    def _kept_rear_mechs(self) -> list[RearMech]:
        kept = self.present.rear_mech if self.wishes.keep_rear_mech else None
        return [] if kept is None else [kept]

    def _against_kept(self, assembly: Assembly) -> str:
        told = replace(assembly, rear_mech=self.present.rear_mech)
        return _first_fault(assembly_findings(told, self.bike, self.frame)) or NO_REAR_MECH

    def _as_wished(
        self, chainset: Chainset, cassette: Cassette, mechs: Sequence[Mechs]
    ) -> Build | LeftOut:
        """The build with the first mechs that make it as wished, else what is against the first."""
        against: list[str] = []
        for rear, front in mechs:
            build = Build(chainset=chainset, cassette=cassette, rear_mech=rear, front_mech=front)
            reason = self._against_wishes(build)
            if reason is None:
                return build
            against.append(reason)
        return LeftOut(reason=against[0])

    def _against_wishes(self, build: AnyBuild) -> str | None:
        most_kg, most_price = self.wishes.largest_mass_kg, self.wishes.largest_price
        if most_kg is not None and build.mass_kg > most_kg:
            return TOO_HEAVY
        if most_price is None:
            return None
        price = price_of(build, self.present.parts)
        if price is None:
            return NO_PRICE
        return TOO_DEAR if price > most_price else None


def _first_fault(findings: Iterable[Finding]) -> str | None:
    faults = (each.subject for each in findings if each.verdict is Verdict.DOES_NOT_FIT)
    return next(faults, None)


def _united(known: Sequence[AnyPart], own: Sequence[AnyPart]) -> list[AnyPart]:
    return [*known, *(part for part in own if part not in known)]
