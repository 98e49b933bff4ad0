"""Fit findings as tables of a report."""

from __future__ import annotations

from collections.abc import Sequence

from gearsim.output.report_parts import Row, Table
from gearsim.output.words import clean
from gearsim.setup.finding import VERDICTS, Finding
from gearsim.setup.fitment import Fit


def fit_tables(fits: Sequence[Fit]) -> tuple[Table, ...]:
    """A table for each drivetrain with findings, the worst findings first."""
    return tuple(_fit_table(fit) for fit in fits if fit.findings)


def _fit_table(fit: Fit) -> Table:
    worst_first = sorted(fit.findings, key=lambda found: -VERDICTS.index(found.verdict))
    return Table(
        caption=f"{clean(fit.drivetrain.name)}: {fit.verdict}",
        corner="checked",
        heads=("verdict", "here", "limit"),
        rows=tuple(
            Row(
                title=clean(found.subject),
                note=clean(found.reason),
                cells=(
                    str(found.verdict),
                    _number(found, found.number),
                    _number(found, found.limit),
                ),
            )
            for found in worst_first
        ),
        titled=True,
    )


def _number(found: Finding, value: float | None) -> str:
    return "-" if value is None else f"{value:g} {found.unit}".strip()
