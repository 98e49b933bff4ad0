"""A squad as text: who is best with what, what each athlete's gears cost, who can share."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import TYPE_CHECKING

from gearsim.lists.athletes import AthleteList
from gearsim.output.course_words import course_heading
from gearsim.output.page import Page
from gearsim.output.ridden_by import day
from gearsim.output.search.words import wishes_told
from gearsim.output.squad.cells import athlete_cells, cost_cells
from gearsim.output.squad.offers import made_of, own_best
from gearsim.output.squad.sentences import (
    gears_told,
    guessed,
    others_told,
    outliers_told,
    ridden_told,
    served_told,
    shared_told,
)
from gearsim.output.squad.verdict import squad_verdict
from gearsim.output.squad.words import definitions, unsettled
from gearsim.output.words import CAUTIONS, at_least_shown, clean, letter, minute_decimals
from gearsim.studies.squad.squad import Squad
from gearsim.studies.squad.standing import Standing

if TYPE_CHECKING:
    from rich.table import Table

TOGETHER = "all together"
MOST_NAME = 22  # letters of a name that columns of the matrix make room for
LEAST_HEAD = 11  # letters that a name over a column needs
HEAD_LINES = 3

MATRIX_KEY = "[ ] {best}   ~ as good   < what the athlete has   letters: see below"


def squad_text(squad: Squad, read: AthleteList, width: int, colour: bool) -> str:
    """The answer for a coach: the verdict, the matrix, each athlete, who shares, who stands out.

    No line is wider than `width` columns (from 60 on); without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    course = squad.course
    page.heading(course_heading(course))
    page.prose(f"{ridden_told(squad)} {day(squad.conditions)}", style="dim")
    if squad.sought is not None and wishes_told(squad.sought.wishes):
        page.prose(wishes_told(squad.sought.wishes), style="dim")
    page.gap()
    page.prose(squad_verdict(squad), style="bold")
    page.section("Mismatch of each athlete with each drivetrain")
    _add_matrix(page, squad, page.width)
    _add_few(page, squad)
    _add_shared(page, squad)
    _add_outliers(page, squad)
    page.section("What the gears that an athlete has cost against the best")
    page.table(_costs_table(page, squad))
    _add_own_bests(page, squad)
    page.section("The athletes, * where assumed")
    page.table(_athletes_table(page, squad))
    _add_reading(page, squad, read)
    page.section("What the words mean")
    for words in definitions(squad):
        page.item("-", words)
    page.section("Cautions")
    for caution in (*unsettled(squad), *CAUTIONS):
        page.item("-", caution)
    return page.text()


def _add_matrix(page: Page, squad: Squad, width: int) -> None:
    """The matrix, in several tables where the page is too narrow for one."""
    values = [score.mismatch for each in squad.standings for score in each.scores]
    digits = max(len(at_least_shown(value, 1)) for value in (*values, *squad.together))
    longest = max(len(clean(each.athlete.name)) for each in squad.standings)
    name = min(max(longest, len(TOGETHER)), MOST_NAME)
    number = len(str(len(squad.standings)))
    apiece = max(1, (width - number - 1 - name) // (digits + 3 + 1 + (width >= 100)))
    count = len(squad.drivetrains)
    apiece = -(-count // -(-count // apiece))  # as even as may be
    room = (width - number - 2 - name) // apiece - 2
    for first in range(0, count, apiece):
        if first:
            page.gap()
        columns = range(first, min(first + apiece, count))
        page.table(_matrix_table(page, squad, columns, digits, room))
    best = "the athlete's best" if squad.sought is None else "best of the few"
    page.prose(MATRIX_KEY.format(best=best), style="dim")


def _matrix_table(
    page: Page, squad: Squad, columns: Sequence[int], digits: int, room: int
) -> Table:
    table = page.ranked(_matrix_heads(squad, columns, digits, room), named="athlete")
    for column in table.columns[2:]:
        column.justify = "left"  # the cells bring their own blanks, so that numbers align
    for number, each in enumerate(squad.standings, start=1):
        cells = [_matrix_cell(each, place, digits) for place in columns]
        _add_row(table, str(number), each.athlete.name, cells)
    together = [f" {at_least_shown(squad.together[place], 1):>{digits}}" for place in columns]
    table.add_section()
    _add_row(table, "", TOGETHER, together)
    return table


def _matrix_heads(squad: Squad, columns: Sequence[int], digits: int, room: int) -> list[str]:
    """Letters, with the names of the drivetrains after them where there is room."""
    if room < LEAST_HEAD:
        return [f" {letter(place):>{digits}}" for place in columns]
    lines = [
        wrap(f"{letter(place)} {clean(squad.drivetrains[place].name)}", min(room, MOST_NAME))
        for place in columns
    ]
    return ["\n".join(found[:HEAD_LINES]) for found in lines]


def _matrix_cell(standing: Standing, place: int, digits: int) -> str:
    shown = at_least_shown(standing.scores[place].mismatch, 1)
    has = "<" if place == standing.has else ""
    if place == standing.best:
        return f"[{shown}]{has}".rjust(digits + 2 + len(has))
    if place in standing.closed:
        return f"({shown})".rjust(digits + 2)
    return f" {shown:>{digits}}{'~' if standing.will_do(place) else ''}{has}"


def _add_row(table: Table, number: str, name: str, cells: Sequence[str]) -> None:
    from rich.text import Text

    table.add_row(number, Text(clean(name)), *cells)


def _costs_table(page: Page, squad: Squad) -> Table:
    longest_s = max(score.finish_s for each in squad.standings for score in each.scores)
    decimals = minute_decimals(longest_s)
    heads = [
        "best",
        "mis-\nmatch",
        "has",
        "mis-\nmatch",
        "off\ntarget\nmin",
        "below\nlowest\nmin",
        "walk-\ning\nmin",
        "finish\nlater\nmin",
        "power\nW",
        "needs\nW",
    ]
    table = page.ranked(heads, named="athlete")
    for number, each in enumerate(squad.standings, start=1):
        _add_row(table, str(number), each.athlete.name, cost_cells(squad, each, decimals))
    return table


def _add_few(page: Page, squad: Squad) -> None:
    page.section("How few will do")
    for number, served in enumerate(squad.served, start=1):
        page.item(str(number), served_told(squad, served))


def _add_shared(page: Page, squad: Squad) -> None:
    page.section("Who shares what")
    for place, drivetrain in enumerate(squad.drivetrains):
        page.item(letter(place), gears_told(drivetrain), style="bold")
        for told in shared_told(squad, place):
            page.indented(told)
        for told in made_of(squad, place):
            page.indented(told, style="dim")
    if squad.others:
        page.gap()
        page.prose("What athletes have beside these:")
    for mark, told in others_told(squad):
        page.item(mark, told)


def _add_outliers(page: Page, squad: Squad) -> None:
    page.section("Who stands out")
    for told in outliers_told(squad):
        page.item("-", told)


def _add_own_bests(page: Page, squad: Squad) -> None:
    if squad.sought is None:
        return
    page.section("Each one's own best, of all that fits")
    for number, each in enumerate(squad.standings, start=1):
        page.item(str(number), f"{clean(each.athlete.name)}: {own_best(squad, each)}")


def _athletes_table(page: Page, squad: Squad) -> Table:
    heads = [
        "mass\nkg",
        "power\nW",
        "criti-\ncal W",
        "reserve\nkJ",
        "target\nrpm",
        "band\nrpm",
        "limits\nrpm",
        "drag\nm²",
        "bike\nkg",
    ]
    table = page.ranked(heads, named="athlete")
    for number, each in enumerate(squad.standings, start=1):
        _add_row(table, str(number), each.athlete.name, athlete_cells(each))
    return table


def _add_reading(page: Page, squad: Squad, read: AthleteList) -> None:
    if read.faults or squad.left_out:
        page.section("Left out")
        for fault in (*read.faults, *squad.left_out):
            page.item("-", clean(fault))
    guesses = guessed(squad, read)
    if guesses:
        page.section("Taken to be so")
        for guess in guesses:
            page.item("-", clean(guess))
