"""A search as text: the best few, the trade-offs, what each gains and loses, what is left out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from gearsim.course.climbs import total_climb_m
from gearsim.output.fit.text import FIT_CAUTIONS
from gearsim.output.page import Page
from gearsim.output.search.words import (
    front_told,
    gained_and_lost,
    least_told,
    now_name,
    reason_told,
    ridden_by_told,
    search_verdict,
    signed_grams,
    to_buy_told,
    to_check_told,
    untold_limits,
    weighed_told,
    weight_told,
    wishes_told,
)
from gearsim.output.words import (
    CAUTIONS,
    at_least_shown,
    clean,
    clock,
    minute_decimals,
    minutes,
)
from gearsim.ride.states import State
from gearsim.studies.search.gains import Outcome
from gearsim.studies.search.options import Option
from gearsim.studies.search.search import Search

if TYPE_CHECKING:
    from rich.table import Table

NOW = "now"
STATES_SHOWN = {
    State.UNDER_BAND: "under\nband",
    State.OVER_BAND: "over\nband",
    State.BELOW_LOWEST_GEAR: "below\nlowest",
    State.WALKING: "walk-\ning",
    State.SPUN_OUT: "spun\nout",
}


def search_text(search: Search, width: int, colour: bool) -> str:
    """The answer for people: the verdict, two tables, a sentence for each build, what is left out.

    No line is wider than `width` columns (from 80 on); without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    course = search.course
    up = total_climb_m(course)
    page.heading(f"{clean(course.name)}: {course.length_m / 1000.0:.1f} km, {up:.0f} m up")
    page.prose(ridden_by_told(search), style="dim")
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
    for caution in (*_unsettled(search), *FIT_CAUTIONS, *CAUTIONS):
        page.item("-", caution)
    return page.text()


def places_told(search: Search) -> list[int]:
    """The options that are told of, by place: the best few, then the trade-offs in rank order."""
    others = [
        each.place for each in search.ranking.trade_offs if each.place not in search.ranking.best
    ]
    return [*search.ranking.best, *others]


def _rows(search: Search) -> list[tuple[str, str, Option | None]]:
    """Mark, name and option of every row of a table; None: what the rider has."""
    rows: list[tuple[str, str, Option | None]] = [(NOW, clean(now_name(search)), None)]
    for place in places_told(search):
        option = search.options[place]
        rows.append((str(place + 1), clean(option.name), option))
    return rows


def _states_table(page: Page, search: Search) -> Table:
    outcomes = [search.now, *(each.outcome for each in search.options)]
    decimals = minute_decimals(max(each.score.finish_s for each in outcomes))
    table = page.ranked(["mis-\nmatch", "finish\nh:mm", *STATES_SHOWN.values()], named="build")
    for mark, name, option in _rows(search):
        outcome = search.now if option is None else option.outcome
        _add_row(table, search, mark, name, _state_cells(outcome, decimals))
    return table


def _state_cells(outcome: Outcome, decimals: int) -> list[str]:
    score = outcome.score
    cells = [at_least_shown(score.mismatch, 1), clock(score.finish_s)]
    return cells + [minutes(score.seconds[state], decimals) for state in STATES_SHOWN]


def _rest_table(page: Page, search: Search) -> Table:
    heads = [
        "weight\n± g",
        "rear\nshifts\nan h",
        "front\nshifts\nan h",
        "parts\nto ad-\njust",
        "parts\nto\nbuy",
        *(["price"] if _priced(search) else []),
    ]
    table = page.ranked(heads, named="build")
    for mark, name, option in _rows(search):
        _add_row(table, search, mark, name, _rest_cells(search, option))
    return table


def _priced(search: Search) -> bool:
    return any(option.prospect.price is not None for option in search.options)


def _rest_cells(search: Search, option: Option | None) -> list[str]:
    score = (search.now if option is None else option.outcome).score
    shifts = [
        at_least_shown(each) for each in (score.rear_shifts_per_hour, score.front_shifts_per_hour)
    ]
    if option is None:
        adjust = str(search.question.present.parts_to_adjust)
        return ["0", *shifts, adjust, "0", *(["0"] if _priced(search) else [])]
    prospect = option.prospect
    price = "?" if prospect.price is None else f"{prospect.price:.0f}"
    return [
        signed_grams(option.change.mass_kg),
        *shifts,
        str(prospect.build.parts_to_adjust),
        str(len(prospect.to_buy)),
        *([price] if _priced(search) else []),
    ]


def _add_row(table: Table, search: Search, mark: str, name: str, cells: Sequence[str]) -> None:
    """One row, parted from what is of another kind above it."""
    from rich.text import Text

    first_trade_off = [str(place + 1) for place in places_told(search)[len(search.ranking.best) :]][
        :1
    ]
    if mark in ("1", *first_trade_off):
        table.add_section()
    table.add_row(mark, Text(name), *cells, style="bold green" if mark == "1" else "")


def _add_option(page: Page, search: Search, place: int) -> None:
    option = search.options[place]
    least = [least_told(each) for each in search.ranking.trade_offs if each.place == place]
    page.prose(f"{place + 1:<2} {clean(option.name)}", style="bold")
    if place and search.as_good(place):
        least.insert(0, "a near tie with the best")
    if least:
        told = "; ".join(least)
        page.indented(f"{told[0].upper()}{told[1:]}.", style="dim")
    page.indented(gained_and_lost(option.change))
    page.indented(f"To buy: {to_buy_told(option.prospect)}.", style="dim")
    if to_check_told(option.prospect):
        page.indented(f"To check: {to_check_told(option.prospect)}.", style="dim")


def _add_left_out(page: Page, search: Search) -> None:
    question = search.question
    page.section("What was left out")
    page.prose(
        f"{question.considered} builds considered, a chainset with a cassette and the lightest "
        f"mechs that fit. {len(question.prospects)} fit and are as wished"
        f"{f', of which {search.ridden} were ridden' if search.stopped else ''}. Left out, each "
        "for the first thing found against it:"
    )
    for reason, count in question.left_out.items():
        page.indented(f"{count:>5}  {reason_told(reason)}")
    for fault in search.faults:
        page.item("-", clean(fault))
    if untold_limits(search):
        page.prose(untold_limits(search))


def _unsettled(search: Search) -> list[str]:
    number = sum(not each.outcome.settled for each in search.options) + (not search.now.settled)
    if not number:
        return []
    return [
        f"The shift plan had not quite settled in {number} ride{'' if number == 1 else 's'}: "
        "times there may be off by a little."
    ]
