"""Checks that wait for something the plan does not tell, folded by what they wait for."""

from __future__ import annotations

import re
from dataclasses import dataclass

from gearsim.output.fit.words import with_unit
from gearsim.output.words import clean
from gearsim.setup.fit.finding import Finding, Verdict
from gearsim.setup.fit.fitment import Fit

FRAME = "[frame]"
PARTS = {
    "rear mech": "rear_mech",
    "front mech": "front_mech",
    "chainset": "chainset",
    "internal gear": "internal_gear",
}
"""The parts that checks may wait for, and the keys of a drivetrain that tell them."""

NO_PART = re.compile(rf"no ({'|'.join(PARTS)}|{'|'.join(PARTS.values())}) told")
NO_FRAME = re.compile(r"frame\.(\w+) not told")
NOT_TOLD = "not told; "


@dataclass(frozen=True, kw_only=True)
class Waiting:
    """What is not told, the checks that wait for it, and what of the parts list would do."""

    on: str
    checks: tuple[Finding, ...]
    would_do: str = ""

    @property
    def head(self) -> str:
        """What is not told: `No rear mech told`."""
        return f"Not told under {FRAME}" if self.on == FRAME else f"No {self.on} told"

    @property
    def words(self) -> str:
        """The checks and their numbers in a row, then what would do."""
        count = len(self.checks)
        verb = "1 check waits" if count == 1 else f"{count} checks wait"
        told = [f"{verb} for it: {', '.join(map(_told, self.checks))}"] if count else []
        if self.would_do:
            told.append(clean(f"{self.would_do[:1].upper()}{self.would_do[1:]}"))
        return f"{'. '.join(told)}."


def waiting_of(fit: Fit) -> tuple[Waiting, ...]:
    """What the drivetrain's checks wait for, in the order in which it is missed."""
    checks: dict[str, list[Finding]] = {}
    would_do: dict[str, str] = {}
    for finding in fit.findings:
        on = _waits_for(fit, finding)
        if on is None:
            continue
        checks.setdefault(on, [])
        if finding.reason.startswith(NOT_TOLD):
            would_do[on] = finding.reason.removeprefix(NOT_TOLD)
        else:
            checks[on].append(finding)
    return tuple(
        Waiting(on=on, checks=tuple(found), would_do=would_do.get(on, ""))
        for on, found in checks.items()
    )


def answered(fit: Fit) -> tuple[Finding, ...]:
    """The findings that wait for nothing."""
    return tuple(each for each in fit.findings if _waits_for(fit, each) is None)


def _waits_for(fit: Fit, finding: Finding) -> str | None:
    """What a finding waits for; None where it says something of what is told."""
    if finding.verdict is not Verdict.CAUTION or finding.limit is not None:
        return None
    if NO_FRAME.match(finding.reason):
        return FRAME
    missed = NO_PART.search(finding.reason)
    part = missed[1].replace("_", " ") if missed else finding.subject
    if part not in PARTS or getattr(fit.drivetrain, PARTS[part]) is not None:
        return None
    return part if missed or finding.reason.startswith(NOT_TOLD) else None


def _told(finding: Finding) -> str:
    """A check in short, `largest sprocket 44 teeth`; of the frame with the key that tells it."""
    what = clean(finding.subject.split(",")[0])
    if finding.number is not None:
        unit = "" if finding.unit == what else finding.unit
        what = f"{what} {with_unit(finding.number, '' if finding.unit == 'rings' else unit)}"
    key = NO_FRAME.match(finding.reason)
    return f"{what} ({key[1]})" if key else what
