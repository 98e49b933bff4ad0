"""A search as text: the best few, the trade-offs, what each gains and loses, what is left out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from gearsim.output.course_words import course_heading
from gearsim.output.days.text import days_text
from gearsim.output.page import Page
from gearsim.output.search.rows import (
    STATES_SHOWN,
    Row,
    decimals_of,
    is_priced,
    places_told,
    rest_cells,
    rows_of,
    state_cells,
    trade_off_places,
)
from gearsim.output.search.words import (
    ONLY_THE_BEST,
    cautions_told,
    considered_told,
    front_told,
    gained_and_lost,
    noted,
    reason_told,
    ridden_by_told,
    search_verdict,
    to_buy_told,
    to_check_told,
    untold_limits,
    weighed_told,
    weight_told,
    wishes_told,
)
from gearsim.output.words import clean, finish_head
from gearsim.ride.states import State
from gearsim.studies.search.answer import Answer
from gearsim.studies.search.search import Search

if TYPE_CHECKING:
    from rich.table import Table

    from gearsim.studies.days.days import Days

STATE_HEADS = {
    State.UNDER_BAND: "under\nband",
    State.OVER_BAND: "over\nband",
    State.BELOW_LOWEST_GEAR: "below\nlowest",
    State.WALKING: "walk-\ning",
    State.SPUN_OUT: "spun\nout",
}


def search_text(answer: Answer, width: int, colour: bool, days: Days | None = None) -> str:
    """The answer for people: the verdict, two tables, a sentence for each build, what is left out.

    Then what the `days` bring, where there are any.  No line is wider than `width` columns (from
    60 on); without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    search = answer.search
    course = search.course
    page.heading(course_heading(course))
    page.prose(ridden_by_told(answer), style="dim")
    if wishes_told(search.question.wishes):
        page.prose(wishes_told(search.question.wishes), style="dim")
    page.gap()
    page.prose(search_verdict(search), style="bold")
    page.section("The best few, then trade-offs: minutes in each state")
    page.table(_states_table(page, search))
    page.section("What else decides")
    page.table(_rest_table(page, search))
    page.section("Gained and lost against what you have now")
    for place in places_told(search):
        _add_option(page, search, place)
    page.prose(front_told(search), style="dim")
    page.section("What weight is worth here")
    page.prose(weight_told(search))
    _add_left_out(page, search)
    page.section("Taken to be so")
    for words in weighed_told(search):
        page.item("-", words)
    page.section("Cautions")
    for caution in cautions_told(search):
        page.item("-", caution)
    if days is None:
        return page.text()
    page.section("On other days")
    page.prose(ONLY_THE_BEST)
    return f"{page.text()}\n{days_text(days, width, colour)}"


def _states_table(page: Page, search: Search) -> Table:
    decimals = decimals_of(search)
    time = finish_head(search.now.score.stopped_s).replace(" ", "\n")
    heads = ["mis-\nmatch", f"{time}\nh:mm", *(STATE_HEADS[state] for state in STATES_SHOWN)]
    table = page.ranked(heads, named="build")
    for row in rows_of(search, places_told(search)):
        _add_row(table, search, row, state_cells(row, decimals))
    return table


def _rest_table(page: Page, search: Search) -> Table:
    heads = [
        "weight\n± g",
        "rear\nshifts\nan h",
        "sprock-\nets\npassed\nan h",
        "front\nshifts\nan h",
        "parts\nto ad-\njust",
        "parts\nto\nbuy",
        *(["price"] if is_priced(search) else []),
    ]
    table = page.ranked(heads, named="build")
    for row in rows_of(search, places_told(search)):
        _add_row(table, search, row, rest_cells(search, row))
    return table


def _add_row(table: Table, search: Search, row: Row, cells: Sequence[str]) -> None:
    """One row, parted from what is of another kind above it."""
    from rich.text import Text

    first_trade_off = [str(place + 1) for place in trade_off_places(search)[:1]]
    if row.mark in ("1", *first_trade_off):
        table.add_section()
    table.add_row(row.mark, Text(row.name), *cells, style="bold green" if row.mark == "1" else "")


def _add_option(page: Page, search: Search, place: int) -> None:
    option = search.options[place]
    page.prose(f"{place + 1:<2} {clean(option.name)}", style="bold")
    if noted(search, place):
        page.indented(noted(search, place), style="dim")
    page.indented(gained_and_lost(option.change))
    page.indented(f"To buy: {to_buy_told(option.prospect)}.", style="dim")
    if to_check_told(option.prospect):
        page.indented(f"To check: {to_check_told(option.prospect)}.", style="dim")


def _add_left_out(page: Page, search: Search) -> None:
    question = search.question
    page.section("What was left out")
    page.prose(f"{considered_told(search)} Left out, each for the first thing found against it:")
    for reason, count in question.left_out.items():
        page.indented(f"{count:>5}  {reason_told(reason)}")
    for fault in search.faults:
        page.item("-", clean(fault))
    if untold_limits(search):
        page.prose(untold_limits(search))
