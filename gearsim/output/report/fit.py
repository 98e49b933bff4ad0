"""Fit findings as tables of a report."""

from __future__ import annotations

from collections.abc import Sequence

from gearsim.output.fit.waiting import answered, waiting_of
from gearsim.output.fit.words import with_unit
from gearsim.output.report.parts import Row, Table
from gearsim.output.words import clean
from gearsim.setup.fit.finding import VERDICTS, Finding, Verdict
from gearsim.setup.fit.fitment import Fit


def fit_tables(fits: Sequence[Fit], *, fold_ok: bool = False) -> tuple[Table, ...]:
    """A table for each drivetrain with findings, the worst first; those that wait are folded.

    With `fold_ok` those with nothing against the drivetrain are folded too.
    """
    return tuple(_fit_table(fit, fold_ok=fold_ok) for fit in fits if fit.findings)


def _fit_table(fit: Fit, *, fold_ok: bool) -> Table:
    worst_first = sorted(answered(fit), key=lambda found: -VERDICTS.index(found.verdict))
    folded = [found for found in worst_first if fold_ok and found.verdict is Verdict.OK]
    shown = [found for found in worst_first if found not in folded]
    return Table(
        caption=f"{clean(fit.drivetrain.name)}: {fit.verdict}",
        corner="checked",
        heads=("verdict", "here", "limit"),
        rows=(*map(_row, shown), *_waiting_rows(fit), *_folded_rows(folded)),
        titled=True,
    )


def _row(found: Finding) -> Row:
    return Row(
        title=clean(found.subject),
        note=clean(found.reason),
        cells=(str(found.verdict), _number(found, found.number), _number(found, found.limit)),
    )


def _waiting_rows(fit: Fit) -> list[Row]:
    cells = (str(Verdict.CAUTION), "-", "-")
    return [Row(title=each.head, note=each.words, cells=cells) for each in waiting_of(fit)]


def _folded_rows(found: Sequence[Finding]) -> list[Row]:
    """One row for all checks that found nothing, with their numbers."""
    if not found:
        return []
    told = [
        clean(each.subject)
        if each.number is None
        else f"{clean(each.subject)} {_number(each, each.number)}"
        for each in found
    ]
    head = "1 check is" if len(found) == 1 else f"{len(found)} checks are"
    return [Row(title=f"{head} ok", note=f"{'; '.join(told)}.", cells=(str(Verdict.OK), "-", "-"))]


def _number(found: Finding, value: float | None) -> str:
    return "-" if value is None else with_unit(value, found.unit)
