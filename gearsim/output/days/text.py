"""Uncertain days as text: the verdict over them, ranges, chances, the flip, what matters most."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from gearsim.output.days.words import (
    cautions,
    days_verdict,
    drawn_words,
    flip_words,
    influence_words,
    long_walk_words,
    settled_words,
)
from gearsim.output.fit.misfits import add_misfits, marked_name
from gearsim.output.page import Page
from gearsim.output.words import (
    at_least_shown,
    clean,
    clock,
    finish_head,
    minute_decimals,
    minutes,
    share,
)
from gearsim.studies.days.days import Days
from gearsim.studies.days.influence import Share
from gearsim.studies.days.results import Floats, chances_to_beat, days_won, spread_of, worst_regret

if TYPE_CHECKING:
    from rich.table import Table

CHANCE_LETTERS = 4  # of a column of chances
MATRIX_HEAD = "Chance that a row beats a column, % of days"


def days_text(days: Days, width: int, colour: bool) -> str:
    """The answer over the days: verdict, two tables, chances, flip, influences, what was drawn.

    No line is wider than `width` columns (from 60 on); without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    page.heading(f"The same on {len(days.days)} other days")
    page.prose(days_verdict(days), style="bold")
    page.prose(settled_words(days), style="dim")
    page.section("Mismatch over the days")
    page.table(_mismatch_table(page, days))
    add_misfits(page, days.candidates)
    page.section("What the days bring (10, 50 and 90 of 100 days stay under)")
    page.table(_ranges_table(page, days))
    _add_chances(page, days)
    page.section("When the verdict flips")
    page.prose(flip_words(days))
    page.prose("A spread reaches from the middle of a range to its end.", style="dim")
    page.section("Which uncertainty matters most")
    page.prose(influence_words(days))
    page.table(_influence_table(page, days))
    page.prose(
        "Alone: the part of the variance an input brings by itself, ± its standard error. "
        "Jointly: with what it does together with others.",
        style="dim",
    )
    page.section("What the days were drawn from (four of five lie within)")
    for what, text, assumed in drawn_words(days):
        page.item("-", f"{what}: {text}{', assumed' if assumed else ''}")
    page.section("Beware")
    for caution in cautions(days):
        page.item("-", caution)
    return page.text()


def _mismatch_table(page: Page, days: Days) -> Table:
    heads = [
        "on the\nplan's\nday",
        "10   50   90\n% of days",
        "aver-\nage",
        "worst\nregret",
        "best\n%",
    ]
    table = page.ranked(heads)
    won, regret = days_won(days.mismatch), worst_regret(days.mismatch)
    cells = _three([each.mismatch for each in days.candidates], lambda v: at_least_shown(v, 1))
    for place, each in enumerate(days.candidates):
        row = [
            at_least_shown(each.planned.score.mismatch, 1),
            cells[place],
            at_least_shown(each.average_mismatch, 1),
            at_least_shown(float(regret[place]), 1),
            _percent(float(won[place])),
        ]
        page.ranked_row(table, place + 1, marked_name(each), row)
    return table


def _ranges_table(page: Page, days: Days) -> Table:
    long_walk = long_walk_words(days.uncertain)
    time = finish_head(days.candidates[0].planned.score.stopped_s).replace(" ", "\n")
    heads = [
        f"{time}\nh:mm",
        "below lowest\nmin",
        "walking\nmin",
        "walks\nat all\n%",
        f"walks\n> {long_walk}\n%",
    ]
    table = page.ranked(heads)
    longest_s = max(float(each.finish_s.max()) for each in days.candidates)
    decimals = minute_decimals(longest_s)
    finish = _three([each.finish_s for each in days.candidates], clock)
    below = _three(
        [each.below_lowest_s for each in days.candidates], lambda v: minutes(v, decimals)
    )
    walked = _three([each.walked_s for each in days.candidates], lambda v: minutes(v, decimals))
    for place, each in enumerate(days.candidates):
        row = [
            finish[place],
            below[place],
            walked[place],
            _percent(each.chance_of_walking),
            _percent(each.chance_of_long_walk(days.uncertain)),
        ]
        page.ranked_row(table, place + 1, clean(each.name), row)
    return table


def _three(values: Sequence[Floats], shown: Callable[[float], str]) -> list[str]:
    """The three points of each candidate's values in one cell, under each other in a column."""
    spreads = [spread_of(each) for each in values]
    cells = [[shown(s.low), shown(s.middle), shown(s.high)] for s in spreads]
    widths = [max(len(row[place]) for row in cells) for place in range(3)]
    return [
        " ".join(f"{cell:>{width}}" for cell, width in zip(row, widths, strict=True))
        for row in cells
    ]


def _percent(chance: float) -> str:
    return share(chance).removesuffix(" %")


def _add_chances(page: Page, days: Days) -> None:
    count = len(days.candidates)
    if count < 2:
        return
    page.section(MATRIX_HEAD)
    chances = chances_to_beat(days.mismatch)
    table = page.ranked([f"{column + 1:>{CHANCE_LETTERS}}" for column in range(count)])
    for row, each in enumerate(days.candidates):
        cells = [
            "-" if row == column else _percent(float(chances[row, column]))
            for column in range(count)
        ]
        page.ranked_row(table, row + 1, clean(each.name), cells)
    page.table(table)


def _influence_table(page: Page, days: Days) -> Table:
    found = [days.influences[0], *([days.influences_on_lead] if days.influences_on_lead else [])]
    of = ("mismatch", "lead")
    heads = [
        f"{of[place]}\n{head}" for place in range(len(found)) for head in ("alone\n%", "jointly\n%")
    ]
    table = page.ranked(heads, named="what is uncertain")
    by_input = [{each.what: each for each in one.shares} for one in found]
    for number, share_of in enumerate(found[0].shares, start=1):
        cells = [
            cell
            for shares in by_input
            for cell in (_alone(shares[share_of.what]), _percent(shares[share_of.what].together))
        ]
        page.ranked_row(table, number, str(share_of.what), cells)
    rest = [cell for one in found for cell in (_percent(one.not_told_apart), "")]
    table.add_section()
    table.add_row("", "not told apart", *rest)
    return table


def _alone(found: Share) -> str:
    return f"{_percent(found.alone)} ±{_percent(found.error):>2}"
