"""Which mechs of a list move the chain over given chainrings and sprockets, best first."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import product
from typing import TypeVar

from gearsim.setup.bike import Bike
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.chain import chain_findings
from gearsim.setup.fit.finding import VERDICTS, Finding, Verdict, verdict_of
from gearsim.setup.fit.mechs import front_mech_findings, rear_mech_findings
from gearsim.setup.frame import Frame
from gearsim.setup.parts.kinds import FrontMech, Part, RearMech

Mech = TypeVar("Mech", RearMech, FrontMech)
Mechs = tuple[RearMech, FrontMech | None]


def fitting_rears(
    assembly: Assembly,
    known: Sequence[RearMech],
    bike: Bike,
    frame: Frame,
    there: Collection[Part],
) -> list[RearMech]:
    """The rear mechs that fit, in the order of `preferred`."""

    def findings(mech: RearMech) -> list[Finding]:
        told = replace(assembly, rear_mech=mech)
        found = rear_mech_findings(told)
        if verdict_of(found) is Verdict.DOES_NOT_FIT:
            return found
        return [*found, *chain_findings(told, bike.chainstay_mm, frame)]

    return preferred(known, [verdict_of(findings(mech)) for mech in known], there)


def fitting_fronts(
    assembly: Assembly, known: Sequence[FrontMech], tyre_mm: float, there: Collection[Part]
) -> list[FrontMech]:
    """The front mechs that fit, in the order of `preferred`."""
    verdicts = [
        verdict_of(front_mech_findings(replace(assembly, front_mech=mech), tyre_mm))
        for mech in known
    ]
    return preferred(known, verdicts, there)


def preferred(
    known: Sequence[Mech], verdicts: Sequence[Verdict], there: Collection[Part]
) -> list[Mech]:
    """The mechs that fit: those without a caution first, then what is there already, then light."""
    ranks = {mech.name: VERDICTS.index(found) for mech, found in zip(known, verdicts, strict=True)}
    fitting = [mech for mech in known if ranks[mech.name] < VERDICTS.index(Verdict.DOES_NOT_FIT)]
    return sorted(fitting, key=lambda m: (ranks[m.name], m not in there, m.mass_g, m.name))


def pairs(rears: Sequence[RearMech], fronts: Sequence[FrontMech] | None) -> list[Mechs]:
    """Each rear mech with each front mech, or alone where no front mech is needed (None)."""
    return [*product(rears, [None] if fronts is None else fronts)]
