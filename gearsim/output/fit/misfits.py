"""The marks in a table on what does not fit as told, and what they mean under it."""

from __future__ import annotations

from collections.abc import Sequence

from gearsim.output.fit.words import DOES_NOT_FIT, WHERE_MORE, Checked, misfit_words
from gearsim.output.page import Page
from gearsim.output.words import clean

MARK = "*"
MOST_TOLD = 2  # of the findings against each


def marked_name(candidate: Checked) -> str:
    """A candidate's name, with a mark where it does not fit."""
    return f"{MARK} {clean(candidate.name)}" if candidate.misfits else clean(candidate.name)


def add_misfits(page: Page, candidates: Sequence[Checked]) -> None:
    """What the marked ones do not fit on, under the table that marks them, by their rank in it."""
    marked = [each for each in enumerate(candidates, start=1) if each[1].misfits]
    if not marked:
        return
    page.gap()
    page.prose(f"{MARK} {DOES_NOT_FIT}; {WHERE_MORE}")
    for rank, candidate in marked:
        page.item(str(rank), misfit_words(candidate, MOST_TOLD))


def fit_columns(candidate: Checked) -> dict[str, str | None]:
    """The columns of a table on whether it fits; the verdict is None where that was not checked."""
    verdict = None if candidate.fit is None else str(candidate.fit.verdict)
    return {"fit_as_told": verdict, "does_not_fit_because": misfit_words(candidate, most=99)}
