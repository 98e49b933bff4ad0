"""Which parts of a list would do where a drivetrain does not say which it has."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeVar

from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.finding import Finding, Verdict, said, verdict_of
from gearsim.setup.fit.internal_gears import one_drive
from gearsim.setup.fit.mechs import front_mech_findings, rear_mech_findings
from gearsim.setup.parts.kinds import FrontMech, InternalGear, RearMech
from gearsim.setup.parts.parts_list import PartsList

MOST_NAMED = 3

Part = TypeVar("Part", bound=RearMech | FrontMech | InternalGear)


def rear_mechs_that_do(assembly: Assembly, parts: PartsList) -> list[RearMech]:
    """Rear mechs that find nothing against these gears, lightest first."""

    def findings(mech: RearMech) -> list[Finding]:
        return rear_mech_findings(replace(assembly, rear_mech=mech))

    return _that_do(parts.rear_mechs, findings)


def front_mechs_that_do(assembly: Assembly, tyre_mm: float, parts: PartsList) -> list[FrontMech]:
    """Front mechs that find nothing against these chainrings and this tyre, lightest first."""

    def findings(mech: FrontMech) -> list[Finding]:
        return front_mech_findings(replace(assembly, front_mech=mech), tyre_mm)

    return _that_do(parts.front_mechs, findings)


def internal_gears_that_do(ratios: tuple[float, ...], parts: PartsList) -> list[InternalGear]:
    """Internal gears whose ratios are these but for the chain's, lightest first."""
    same = [gear for gear in parts.internal_gears if one_drive(gear, ratios) is not None]
    return sorted(same, key=lambda gear: gear.mass_g)


def rear_mechs_told(assembly: Assembly, parts: PartsList) -> Finding:
    """A caution that names some rear mechs that would do."""
    needs = (
        f"{assembly.sprockets[0]}-{assembly.sprockets[-1]} teeth, "
        f"capacity {assembly.needed_capacity_teeth}, {len(assembly.sprockets)} sprockets"
    )
    return _told("rear mech", needs, rear_mechs_that_do(assembly, parts))


def front_mechs_told(assembly: Assembly, tyre_mm: float, parts: PartsList) -> Finding:
    """A caution that names some front mechs that would do."""
    needs = (
        f"ring {assembly.chainrings[0]}, gap {assembly.ring_gap_teeth}, "
        f"{len(assembly.chainrings)} rings, tyre {tyre_mm:g} mm"
    )
    return _told("front mech", needs, front_mechs_that_do(assembly, tyre_mm, parts))


def internal_gears_told(ratios: tuple[float, ...], parts: PartsList) -> Finding:
    """A caution that names some internal gears that these ratios may be of."""
    found = internal_gears_that_do(ratios, parts)
    return _told("internal gear", f"{len(ratios)} ratios", found)


def _that_do(known: Sequence[Part], findings: Callable[[Part], list[Finding]]) -> list[Part]:
    fitting = [part for part in known if verdict_of(findings(part)) is Verdict.OK]
    return sorted(fitting, key=lambda part: part.mass_g)


def _told(subject: str, needs: str, found: Sequence[Part]) -> Finding:
    names = [repr(part.name) for part in found[:MOST_NAMED]]
    if not names:
        reason = f"not told; none in the parts list does all of: {needs}"
    else:
        more = f" and {len(found) - MOST_NAMED} more" if len(found) > MOST_NAMED else ""
        reason = f"not told; from the parts list would do ({needs}): {', '.join(names)}{more}"
    return said(subject, Verdict.CAUTION, reason)
