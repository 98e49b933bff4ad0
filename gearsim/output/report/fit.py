"""Fit findings as tables of a report."""

from __future__ import annotations

from collections.abc import Sequence

from gearsim.output.fit.waiting import answered, waiting_of
from gearsim.output.fit.words import with_unit
from gearsim.output.report.parts import Row, Table
from gearsim.output.words import clean
from gearsim.setup.fit.finding import VERDICTS, Finding, Verdict
from gearsim.setup.fit.fitment import Fit


def fit_tables(fits: Sequence[Fit]) -> tuple[Table, ...]:
    """A table for each drivetrain with findings, the worst first; those that wait are folded."""
    return tuple(_fit_table(fit) for fit in fits if fit.findings)


def _fit_table(fit: Fit) -> Table:
    worst_first = sorted(answered(fit), key=lambda found: -VERDICTS.index(found.verdict))
    return Table(
        caption=f"{clean(fit.drivetrain.name)}: {fit.verdict}",
        corner="checked",
        heads=("verdict", "here", "limit"),
        rows=(*map(_row, worst_first), *_waiting_rows(fit)),
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


def _number(found: Finding, value: float | None) -> str:
    return "-" if value is None else with_unit(value, found.unit)
