"""What of a candidate a mechanic should look at before it is bought, in a sentence or two."""

from __future__ import annotations

from collections.abc import Sequence

from gearsim.output.fit.waiting import FRAME, NO_FRAME, Waiting, answered, waiting_of
from gearsim.output.fit.words import Checked
from gearsim.output.words import clean, listed
from gearsim.setup.fit.finding import Finding, Verdict
from gearsim.setup.fit.fitment import Fit

UNCHECKED = (
    "all of it: the plan tells nothing of the frame and the parts, so whether it fits was not "
    "checked."
)
NOTHING_FOUND = (
    "nothing that is told speaks against it; the makers' limits and a qualified mechanic still "
    "come first."
)


def to_check_told(candidates: Sequence[Checked]) -> str:
    """What to check of the first of them that fits as told, or where none does, of the first."""
    chosen = next((each for each in candidates if not each.misfits), candidates[0])
    told = UNCHECKED if chosen.fit is None else _of(chosen.fit)
    return f"“{clean(chosen.name)}”: {told}"


def reasons_told(findings: Sequence[Finding]) -> str:
    """Findings with their reasons: `chain line (avoid 46×34: noise and wear); tyre (...)`."""
    return "; ".join(f"{clean(each.subject)} ({clean(each.reason)})" for each in findings)


def _of(fit: Fit) -> str:
    """The cautions on a drivetrain with their reasons, then what the plan does not tell."""
    cautions = [each for each in answered(fit) if each.verdict is Verdict.CAUTION]
    untold = [name for each in waiting_of(fit) for name in _names(each)]
    told = [f"{reasons_told(cautions)}."] if cautions else []
    if untold:
        told.append(
            f"The plan does not tell {listed(untold)}: whether that goes with these gears was not "
            "checked."
        )
    return " ".join(told) or NOTHING_FOUND


def _names(waiting: Waiting) -> list[str]:
    """The part that checks wait for; of the frame, the keys that would tell."""
    if waiting.on != FRAME:
        return [waiting.on]
    keys = (NO_FRAME.match(each.reason) for each in waiting.checks)
    return [key[1].replace("_", " ") for key in keys if key]
