"""One ring or two as text: the verdict, the two side by side, what would change it, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import TYPE_CHECKING

from gearsim.output.course_words import length_and_climb
from gearsim.output.fit.text import FIT_CAUTIONS
from gearsim.output.one_or_two.rows import Part, heads, parts
from gearsim.output.one_or_two.words import (
    BETTER,
    HOW_CHANGED,
    HOW_FOUND,
    SIDES,
    bought_and_checked,
    group_told,
    lever_told,
    ridden_by_told,
    unsettled,
    verdict,
    what_turns_it,
    who_contends,
)
from gearsim.output.page import Page
from gearsim.output.words import CAUTIONS, clean
from gearsim.studies.one_or_two.one_or_two import OneOrTwo

if TYPE_CHECKING:
    from rich.table import Table


NAME_LETTERS = 24  # of a column


def one_or_two_text(found: OneOrTwo, width: int, colour: bool) -> str:
    """The answer for people; no line is wider than `width` columns (from 60 on).

    Without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    course = found.setting.course
    page.heading(f"{clean(course.name)}: one ring or two?")
    page.prose(f"{length_and_climb(course)}. {ridden_by_told(found)}", style="dim")
    page.gap()
    page.prose(verdict(found), style="bold")
    page.section("Side by side")
    page.whole(_table(found))
    page.prose("◂ and ▸ point to the better of two.", style="dim")
    page.prose(group_told(found), style="dim")
    page.section("What would change the verdict")
    page.prose(what_turns_it(found))
    for curve in found.curves:
        page.item("-", f"{curve.lever} ({HOW_CHANGED[curve.lever]}). {lever_told(found, curve)}")
    page.prose(HOW_FOUND, style="dim")
    _add_contenders(page, found)
    page.section("Cautions")
    for caution in (*unsettled(found), *FIT_CAUTIONS, *CAUTIONS):
        page.item("-", caution)
    return page.text()


def _table(found: OneOrTwo) -> Table:
    from rich import box
    from rich.table import Table
    from rich.text import Text

    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False, show_edge=False)
    table.add_column("", no_wrap=True)
    one, two = _as_deep([[side, *wrap(name, NAME_LETTERS)] for side, name in _columns(found)])
    table.add_column(Text(one), justify="right")
    table.add_column("", justify="center")
    table.add_column(Text(two), max_width=NAME_LETTERS)
    for part in parts(found):
        _add_part(table, part)
    return table


def _columns(found: OneOrTwo) -> list[tuple[str, str]]:
    return list(zip(SIDES, heads(found), strict=True))


def _as_deep(heads_: Sequence[list[str]]) -> list[str]:
    """Heads of as many lines, filled up below."""
    deepest = max(len(lines) for lines in heads_)
    return ["\n".join(lines + [" "] * (deepest - len(lines))) for lines in heads_]


def _add_part(table: Table, part: Part) -> None:
    from rich.text import Text

    table.add_section()
    table.add_row(Text(part.title, style="bold"), "", "", "")
    for row in part.measures:
        one, two = (
            Text(cell, style="bold" if row.better == rings else "")
            for rings, cell in enumerate((row.one, row.two), start=1)
        )
        table.add_row(f"  {row.title}", one, BETTER[row.better], two)


def _add_contenders(page: Page, found: OneOrTwo) -> None:
    page.section("What was weighed")
    for told in who_contends(found):
        page.prose(told)
    for told in bought_and_checked(found):
        page.item("-", told)
