"""What to beware of when reading a result."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from gearsim.course.course import Course
from gearsim.course.heights.doubtful_grades import doubtful_grades
from gearsim.output.page import Page
from gearsim.output.words import CAUTIONS, clean, percent
from gearsim.studies.compare import Candidate, Comparison, doubtful_heights_decide

KNEES = (
    "Grinding at a low cadence is hard on knees (common practice, no source), and tires sooner: at "
    "50 rpm riders lasted 27 min where they lasted 35 min at 80 rpm (Nickleberry and Brooks 1996)."
)


def plan_cautions_text(cautions: Sequence[str], width: int, colour: bool) -> str:
    """What in a plan is more often a slip than meant, as a part that ends a text; "" for nothing.

    No line is wider than `width` columns (from 60 on); without `colour` there are no escape codes.
    """
    if not cautions:
        return ""
    page = Page(width=width, colour=colour)
    page.section("Look again at the plan")
    for caution in cautions:
        page.item("!", clean(caution), style="bold")
    return page.text()


def with_plan_cautions(records: dict[str, Any], cautions: Sequence[str]) -> dict[str, Any]:
    """Records for programs with a plan's cautions before their own."""
    if not cautions:
        return records
    return {**records, "cautions": [*cautions, *records.get("cautions", ())]}


def comparison_cautions(comparison: Comparison) -> tuple[str, ...]:
    """Everything to beware of in any comparison, what concerns this one alone first."""
    candidates = comparison.candidates
    heights = heights_caution(candidates[0].ride.course, decide=doubtful_heights_decide(comparison))
    return (*heights, *_unsettled(candidates), *CAUTIONS)


def heights_caution(course: Course, *, decide: bool = False) -> tuple[str, ...]:
    """A sentence on grades that hardly any road has; none where there are no such grades.

    `decide` says that a verdict rests on them.
    """
    found = doubtful_grades(course)
    if found is None:
        return ()
    return (
        f"At km {found.start_m / 1000.0:.1f} the heights make {percent(found.grade)} over "
        f"{found.length_m:.0f} m, steeper than almost any road: check the heights there"
        f"{'; they drive the verdict' if decide else ''}.",
    )


def _unsettled(candidates: Sequence[Candidate]) -> tuple[str, ...]:
    names = [clean(candidate.name) for candidate in candidates if not candidate.ride.settled]
    if not names:
        return ()
    return (
        f"The shift plan had not quite settled for {', '.join(names)}: "
        "their times may be off by a little.",
    )
