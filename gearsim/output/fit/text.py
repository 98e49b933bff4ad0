"""What fits, as text: the drivetrains side by side, then each with every finding."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from gearsim.output.fit.waiting import answered, waiting_of
from gearsim.output.fit.words import finding_words
from gearsim.output.page import Page
from gearsim.output.words import clean, listed
from gearsim.setup.bike import Bike
from gearsim.setup.fit.finding import VERDICTS, Finding, Verdict
from gearsim.setup.fit.fitment import Fit

if TYPE_CHECKING:
    import pandas as pd
    from rich.table import Table

FIT_CAUTIONS = (
    "A warning from numbers, never a permission: the makers of your parts and a qualified "
    "mechanic come first. Limits in the parts list are typical ones; look yours up.",
    "Chain lengths hold for a frame without rear suspension. Lay a new chain around the largest "
    "ring and the largest sprocket before cutting it.",
)
"""What stands under every table of findings."""

FILL_IN = (
    "fill in [frame], and under [[drivetrain]] chainset, rear_mech, front_mech and driver_body, or "
    "internal_gear."
)

STYLES = {Verdict.OK: "green", Verdict.CAUTION: "yellow", Verdict.DOES_NOT_FIT: "bold red"}
WORST_FIRST = tuple(reversed(VERDICTS))
COLUMNS = ("drivetrain", "checked", "verdict", "number", "limit", "unit", "reason")
NO_NUMBER = "-"
CHECKED_COLUMNS = 17
TABLE_FROM = 80  # columns; on a narrower page the findings are a list


def fitment_text(fits: Sequence[Fit], bike: Bike, width: int, colour: bool) -> str:
    """The findings for people, the worst first.

    No line is wider than `width` columns (from 60 on); without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    page.heading(f"What fits on {clean(bike.name)}")
    page.prose(f"Tyres {bike.tyre_mm:g} mm, chainstay {bike.chainstay_mm:g} mm.", style="dim")
    page.gap()
    page.prose(_answer(fits), style="bold")
    waiting = sum(map(_waiting, fits))
    if waiting:
        page.prose(f"{_checks_wait(waiting)} for what the plan does not tell: {FILL_IN}")
    _add_misfits(page, fits)
    page.section("Findings in all")
    page.table(_counts_table(page, fits))
    for number, fit in enumerate(fits, start=1):
        _add_drivetrain(page, number, fit)
    page.section("Cautions")
    for caution in FIT_CAUTIONS:
        page.item("-", caution)
    return page.text()


def fitment_table(fits: Sequence[Fit]) -> pd.DataFrame:
    """One row a finding, drivetrain by drivetrain; number and limit are in the row's unit."""
    import pandas as pd

    rows = [[fit.drivetrain.name, *_values(finding)] for fit in fits for finding in fit.findings]
    return pd.DataFrame(rows, columns=list(COLUMNS))


def fitment_records(fits: Sequence[Fit]) -> dict[str, Any]:
    """Every finding in plain types ready for JSON; None: not told, or no number."""
    return {
        "drivetrains": [
            {
                "name": fit.drivetrain.name,
                "gears_label": fit.drivetrain.label,
                "verdict": str(fit.verdict),
                "findings": [
                    dict(zip(COLUMNS[1:], _values(each), strict=True)) for each in fit.findings
                ],
            }
            for fit in fits
        ],
        "cautions": list(FIT_CAUTIONS),
    }


def _values(finding: Finding) -> tuple[Any, ...]:
    return (
        finding.subject,
        str(finding.verdict),
        finding.number,
        finding.limit,
        finding.unit,
        finding.reason,
    )


def _answer(fits: Sequence[Fit]) -> str:
    bad = [f"“{clean(fit.drivetrain.name)}”" for fit in fits if fit.verdict is Verdict.DOES_NOT_FIT]
    if bad:
        verb = "does" if len(bad) == 1 else "do"
        return f"{listed(bad)} {verb} not fit as told; the reasons are below."
    if any(fit.verdict is Verdict.CAUTION for fit in fits):
        return "Nothing told speaks against fitting, but see the cautions."
    return "Nothing told speaks against fitting."


def _waiting(fit: Fit) -> int:
    return sum(len(missed.checks) for missed in waiting_of(fit))


def _checks_wait(count: int) -> str:
    return "1 check waits" if count == 1 else f"{count} checks wait"


def _add_misfits(page: Page, fits: Sequence[Fit]) -> None:
    if all(fit.verdict is not Verdict.DOES_NOT_FIT for fit in fits):
        return
    page.section("What does not fit")
    for number, fit in enumerate(fits, start=1):
        for each in fit.findings:
            if each.verdict is Verdict.DOES_NOT_FIT:
                told = f"“{clean(fit.drivetrain.name)}”: {finding_words(each)}"
                page.item(str(number), told, style=STYLES[each.verdict])


def _counts_table(page: Page, fits: Sequence[Fit]) -> Table:
    heads = [verdict.replace(" not ", "\nnot ") for verdict in WORST_FIRST]
    table = page.ranked([*heads, "wait"], "drivetrain")
    for number, fit in enumerate(fits, start=1):
        found = [each.verdict for each in answered(fit)]
        counts = [*(found.count(verdict) for verdict in WORST_FIRST), _waiting(fit)]
        name = clean(fit.drivetrain.name)
        table.add_row(str(number), name, *map(str, counts), style=STYLES[fit.verdict])
    return table


def _add_drivetrain(page: Page, number: int, fit: Fit) -> None:
    page.section(f"{number}  {clean(fit.drivetrain.name)}")
    if fit.drivetrain.label != fit.drivetrain.name:
        page.prose(fit.drivetrain.label, style="dim")
    if answered(fit) and page.width >= TABLE_FROM:
        page.whole(_findings_table(fit))
    elif answered(fit):
        _add_findings(page, fit)
    for missed in waiting_of(fit):
        page.item("-", f"{missed.head}: {missed.words}", style=STYLES[Verdict.CAUTION])


def _findings_table(fit: Fit) -> Table:
    from rich import box
    from rich.table import Table
    from rich.text import Text

    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False, show_edge=False)
    table.add_column("verdict", no_wrap=True)
    table.add_column("checked", width=CHECKED_COLUMNS)
    table.add_column("here", justify="right", no_wrap=True)
    table.add_column("limit", justify="right", no_wrap=True)
    table.add_column("unit")
    table.add_column("why", ratio=1)
    found = _worst_first(fit)
    for each, after in zip(found, [*found[1:], None], strict=True):
        table.add_row(
            Text(each.verdict, style=STYLES[each.verdict]),
            each.subject,
            _number(each.number),
            _number(each.limit),
            _unit(each),
            clean(each.reason),
            end_section=after is None or after.verdict is not each.verdict,
        )
    return table


def _add_findings(page: Page, fit: Fit) -> None:
    for each in _worst_first(fit):
        told = (f"{each.verdict}, {each.subject}", _numbers(each), clean(each.reason))
        style = "" if each.verdict is Verdict.OK else STYLES[each.verdict]
        page.item("-", f"{': '.join(part for part in told if part)}.", style=style)


def _numbers(finding: Finding) -> str:
    """What is here and the limit with their unit: `10, limit 11 teeth`; "" for no number."""
    if finding.number is None:
        return ""
    limit = "" if finding.limit is None else f", limit {finding.limit:g}"
    return f"{finding.number:g}{limit} {_unit(finding)}".rstrip()


def _worst_first(fit: Fit) -> list[Finding]:
    return sorted(answered(fit), key=lambda each: WORST_FIRST.index(each.verdict))


def _unit(finding: Finding) -> str:
    """The unit, where what was checked does not say it already."""
    return "" if finding.unit in finding.subject else finding.unit


def _number(value: float | None) -> str:
    return NO_NUMBER if value is None else f"{value:g}"
