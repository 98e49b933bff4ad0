"""Which builds of a search are told of, and the cells of their rows in text and on the page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from gearsim.output.search.words import now_name, signed_grams
from gearsim.output.words import at_least_shown, clean, clock, minute_decimals, minutes
from gearsim.ride.states import State
from gearsim.studies.search.gains import Outcome
from gearsim.studies.search.options import Option
from gearsim.studies.search.search import Search

NOW = "now"
STATES_SHOWN = (
    State.UNDER_BAND,
    State.OVER_BAND,
    State.BELOW_LOWEST_GEAR,
    State.WALKING,
    State.SPUN_OUT,
)


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row of a table: its mark (rank or `now`), the name, and the build; None: what there is."""

    mark: str
    name: str
    option: Option | None
    outcome: Outcome


def places_told(search: Search) -> list[int]:
    """The options that are told of, by place: the best few, then the trade-offs in rank order."""
    return [*search.ranking.best, *trade_off_places(search)]


def trade_off_places(search: Search) -> list[int]:
    """The options with the least of something that are not among the best few, in rank order."""
    ranking = search.ranking
    return [each.place for each in ranking.trade_offs if each.place not in ranking.best]


def rows_of(search: Search, places: Iterable[int]) -> list[Row]:
    """What the rider has, then the options of these places."""
    now = Row(mark=NOW, name=clean(now_name(search)), option=None, outcome=search.now)
    return [now, *(_row(search, place) for place in places)]


def _row(search: Search, place: int) -> Row:
    option = search.options[place]
    return Row(mark=str(place + 1), name=clean(option.name), option=option, outcome=option.outcome)


def decimals_of(search: Search) -> int:
    """Decimals that minutes deserve in the tables of a search."""
    outcomes = [search.now, *(each.outcome for each in search.options)]
    return minute_decimals(max(each.score.finish_s for each in outcomes))


def state_cells(row: Row, decimals: int) -> list[str]:
    """Mismatch, time, and minutes in each of `STATES_SHOWN`."""
    score = row.outcome.score
    cells = [at_least_shown(score.mismatch, 1), clock(score.finish_s)]
    return cells + [minutes(score.seconds[state], decimals) for state in STATES_SHOWN]


def rest_cells(search: Search, row: Row) -> list[str]:
    """Weight, shifts and sprockets passed an hour, parts to adjust and to buy; price if known."""
    score = row.outcome.score
    rates = [
        at_least_shown(each)
        for each in (
            score.rear_shifts_per_hour,
            score.rear_clicks_per_hour,
            score.front_shifts_per_hour,
        )
    ]
    if row.option is None:
        adjust = str(search.question.present.parts_to_adjust)
        return ["0", *rates, adjust, "0", *(["0"] if is_priced(search) else [])]
    prospect = row.option.prospect
    return [
        signed_grams(row.option.change.mass_kg),
        *rates,
        str(prospect.build.parts_to_adjust),
        str(len(prospect.to_buy)),
        *([price_cell(row.option)] if is_priced(search) else []),
    ]


def front_cells(search: Search, row: Row) -> list[str]:
    """What the front is of: mismatch, weight, price if known, shifts an hour, parts to adjust."""
    mismatch = at_least_shown(row.outcome.score.mismatch, 1)
    shifts = at_least_shown(row.outcome.shifts_per_hour)
    if row.option is None:
        adjust = str(search.question.present.parts_to_adjust)
        return [mismatch, "0", *(["0"] if is_priced(search) else []), shifts, adjust]
    return [
        mismatch,
        signed_grams(row.option.change.mass_kg),
        *([price_cell(row.option)] if is_priced(search) else []),
        shifts,
        str(row.option.prospect.build.parts_to_adjust),
    ]


def price_cell(option: Option) -> str:
    """What the parts to buy cost; `?` where one has no price."""
    price = option.prospect.price
    return "?" if price is None else f"{price:.0f}"


def is_priced(search: Search) -> bool:
    """Whether any build has a price."""
    return any(option.prospect.price is not None for option in search.options)
