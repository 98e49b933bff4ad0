"""What fits with what: every finding on a drivetrain, for this bike and this frame.

A finding is a warning from numbers, never a permission: the makers of the parts and a qualified
mechanic come first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gearsim.errors import PlanError
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.build import AnyBuild, InternalBuild
from gearsim.setup.fit.chain import chain_findings
from gearsim.setup.fit.finding import Finding, Verdict, verdict_of
from gearsim.setup.fit.frame import frame_findings, tyre_finding
from gearsim.setup.fit.internal_gears import internal_findings, ratio_findings
from gearsim.setup.fit.mechs import front_mech_findings, rear_mech_findings
from gearsim.setup.fit.part_choice import (
    front_mechs_told,
    internal_gears_told,
    rear_mechs_told,
)
from gearsim.setup.frame import Frame
from gearsim.setup.parts.parts_list import PartsList

Findings = tuple[Finding, ...]


@dataclass(frozen=True, kw_only=True)
class Fit:
    """A drivetrain with every finding on it."""

    drivetrain: Drivetrain
    findings: Findings

    @property
    def verdict(self) -> Verdict:
        """The worst of the findings."""
        return verdict_of(self.findings)

    @property
    def misfits(self) -> Findings:
        """The findings against it: what makes it not fit as told."""
        return tuple(each for each in self.findings if each.verdict is Verdict.DOES_NOT_FIT)

    def count(self, verdict: Verdict) -> int:
        """How many findings come to this verdict."""
        return sum(finding.verdict is verdict for finding in self.findings)


def fits_of(
    drivetrains: Sequence[Drivetrain], parts: PartsList, bike: Bike, frame: Frame
) -> tuple[Fit, ...]:
    """Drivetrains of a plan with their findings, in the order given.

    Raises `PlanError` for a name that the parts list does not have.
    """
    return tuple(
        Fit(drivetrain=each, findings=drivetrain_findings(each, parts, bike, frame))
        for each in drivetrains
    )


def findings_of(build: AnyBuild, bike: Bike, frame: Frame) -> Findings:
    """Every finding on parts put together, in the order of a check on the stand.

    `verdict_of` (in `fit/finding.py`) gives the worst of them.  Costs tens of microseconds.
    """
    if isinstance(build, InternalBuild):
        gear, ring, rear = build.internal_gear, build.chainring, build.sprocket
        found = internal_findings(gear, ring, rear, bike.chainstay_mm, frame)
        return (*found, tyre_finding(bike.tyre_mm, frame))
    return assembly_findings(build.assembly, bike, frame)


def drivetrain_findings(
    drivetrain: Drivetrain, parts: PartsList, bike: Bike, frame: Frame
) -> Findings:
    """Every finding on a drivetrain of a plan, whose mechs are looked up by name.

    Where no mech or internal gear is named, a caution tells which of the parts list would do.

    Raises `PlanError` for a name that the parts list does not have.
    """
    if drivetrain.ratios:
        name = drivetrain.internal_gear
        gear = None if name is None else parts.internal_gear(name)
        found = ratio_findings(gear, drivetrain.ratios, frame)
        told = [] if gear else [internal_gears_told(drivetrain.ratios, parts)]
        return (*found, *told, tyre_finding(bike.tyre_mm, frame))
    assembly = assembly_of(drivetrain, parts)
    found = [*assembly_findings(assembly, bike, frame)]
    if assembly.needs_mech and assembly.rear_mech is None:
        found.append(rear_mechs_told(assembly, parts))
    if len(assembly.chainrings) > 1 and assembly.front_mech is None:
        found.append(front_mechs_told(assembly, bike.tyre_mm, parts))
    return tuple(found)


def assembly_of(drivetrain: Drivetrain, parts: PartsList) -> Assembly:
    """What is told of a drivetrain of teeth, with its parts from the parts list.

    Raises `PlanError` for a name that the parts list does not have, and for a chainset of other
    chainrings than the drivetrain's.
    """
    rear, front = drivetrain.rear_mech, drivetrain.front_mech
    return Assembly(
        chainrings=drivetrain.chainrings,
        sprockets=drivetrain.sprockets,
        rear_mech=None if rear is None else parts.rear_mech(rear),
        front_mech=None if front is None else parts.front_mech(front),
        driver_body=drivetrain.driver_body,
        chain_sprockets=_chain_sprockets(drivetrain, parts),
        chain_links=drivetrain.chain_links,
    )


def _chain_sprockets(drivetrain: Drivetrain, parts: PartsList) -> tuple[int, int] | None:
    if drivetrain.chainset is None:
        return None
    chainset = parts.chainset(drivetrain.chainset)
    if chainset.chainrings != drivetrain.chainrings:
        has, given = (
            "-".join(map(str, teeth)) for teeth in (chainset.chainrings, drivetrain.chainrings)
        )
        raise PlanError(
            f"chainset {chainset.name!r} has chainrings {has}, not {given}; "
            "give its chainrings, or another chainset"
        )
    return chainset.chain_sprockets


def assembly_findings(assembly: Assembly, bike: Bike, frame: Frame) -> Findings:
    """Every finding on chainrings, sprockets and mechs, as far as they are told."""
    return (
        *rear_mech_findings(assembly),
        *front_mech_findings(assembly, bike.tyre_mm),
        *frame_findings(assembly, bike.tyre_mm, frame),
        *chain_findings(assembly, bike.chainstay_mm, frame),
    )
