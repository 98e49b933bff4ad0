"""What makes a candidate not fit as told, short enough for a verdict or a table."""

from __future__ import annotations

from typing import Protocol

from gearsim.output.words import clean
from gearsim.setup.fit.finding import Finding
from gearsim.setup.fit.fitment import Fit

DOES_NOT_FIT = "does not fit as told"
WHERE_MORE = "see gearsim fit"


class Checked(Protocol):
    """A candidate of which it is known what speaks against fitting it."""

    @property
    def name(self) -> str:
        """The drivetrain's name."""

    @property
    def fit(self) -> Fit | None:
        """What was found on whether it fits; None where that was not checked."""

    @property
    def misfits(self) -> tuple[Finding, ...]:
        """The findings against it."""


def misfit_words(candidate: Checked, most: int = 1) -> str:
    """What the first findings against it are and how many more there are; "" where it fits."""
    found = candidate.misfits
    told = "; ".join(finding_words(each) for each in found[:most])
    left = len(found) - most
    return f"{told}; and {left} more" if left > 0 else told


def finding_words(finding: Finding) -> str:
    """A finding without what follows from it: `sprockets: 11, not as many as ... (12)`."""
    what, reason = clean(finding.subject.split(",")[0]), clean(finding.reason.split(":")[0])
    if finding.number is None:
        return f"{what}: {reason}"
    number = with_unit(finding.number, "" if finding.unit == what else finding.unit)
    limit = "" if finding.limit is None else f" ({finding.limit:g})"
    return f"{what}: {number}, {reason}{limit}"


def with_unit(number: float, unit: str) -> str:
    """A number and its unit: `1 ring`, `3 rings`, `42 mm`, `39 teeth`."""
    one = _ONE.get(unit, unit)
    return f"{number:g} {one if number == 1 else unit}".strip()


_ONE = {"rings": "ring", "sprockets": "sprocket", "teeth": "tooth", "links": "link"}
