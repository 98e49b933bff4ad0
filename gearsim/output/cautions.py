"""What to beware of when reading a result."""

from __future__ import annotations

from collections.abc import Sequence

from gearsim.output.words import CAUTIONS, clean
from gearsim.studies.compare import Candidate

KNEES = (
    "Grinding at a low cadence is hard on knees (common practice, no source), and tires sooner: at "
    "50 rpm riders lasted 27 min where they lasted 35 min at 80 rpm (Nickleberry and Brooks 1996)."
)


def report_cautions(candidates: Sequence[Candidate]) -> tuple[str, ...]:
    """Everything to beware of, the shift plans that had not settled first."""
    names = [clean(candidate.name) for candidate in candidates if not candidate.ride.settled]
    unsettled = (
        f"The shift plan had not quite settled for {', '.join(names)}: "
        "their times may be off by a little."
    )
    return (*([unsettled] if names else []), *CAUTIONS, KNEES)
