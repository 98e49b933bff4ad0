"""A search as a page to read and print: what it says, not how it looks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from gearsim.output.cautions import KNEES
from gearsim.output.course_words import length_and_climb
from gearsim.output.fit.text import FIT_CAUTIONS
from gearsim.output.fit.to_check import NOTHING_FOUND
from gearsim.output.report.candidate import CandidatePage, candidate_page
from gearsim.output.report.comparison import Assumed, assumed
from gearsim.output.report.fit import fit_tables
from gearsim.output.report.html import rendered
from gearsim.output.report.parts import Row, Table
from gearsim.output.report.road import Road, road
from gearsim.output.report.speeds import Speeds, speeds
from gearsim.output.report.terms import terms_told
from gearsim.output.search.drawings import FrontDrawing, front_drawings
from gearsim.output.search.marks import looks_drawn
from gearsim.output.search.rows import (
    STATES_SHOWN,
    decimals_of,
    front_cells,
    is_priced,
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
    subjects_to_check,
    to_buy_told,
    to_check_told,
    untold_limits,
    weighed_told,
    weight_told,
    whole_bike_kg,
    wishes_told,
)
from gearsim.output.words import clean, finish_head, listed
from gearsim.ride.states import State
from gearsim.studies.cue_sheet import cue_sheet
from gearsim.studies.finish_band import finish_band
from gearsim.studies.search.answer import Answer
from gearsim.studies.search.search import Search
from gearsim.studies.search.trade_off import FEW_POINTS

if TYPE_CHECKING:
    from gearsim.output.report.days import DaysPage
    from gearsim.studies.days.days import Days

MOST_OF_FRONT = 17  # rows that a sheet of A4 has room for under the trade-offs

STATE_HEADS = {
    State.UNDER_BAND: "under band",
    State.OVER_BAND: "over band",
    State.BELOW_LOWEST_GEAR: "below lowest",
    State.WALKING: "walk\u00ading",
    State.SPUN_OUT: "spun out",
}


@dataclass(frozen=True, kw_only=True)
class BuildPage:
    """What the page tells of one build: what it is told for, gains and losses, what it takes."""

    mark: str
    name: str
    note: str
    against_now: str
    to_buy: str
    to_check: str


@dataclass(frozen=True, kw_only=True)
class FrontPage:
    """The trade-off front: drawn, as a table, and the looks in the drawing, `dots` and words."""

    drawings: tuple[FrontDrawing, ...]
    looks: tuple[tuple[str, str], ...]
    told: str
    table: Table
    table_note: str


@dataclass(frozen=True, kw_only=True)
class SearchPage:
    """Everything that the page says."""

    title: str
    facts: str
    verdict: str
    against_now: str
    to_buy: str
    to_check: str
    terms: str
    ridden_by: str
    wishes: str
    states: Table
    rest: Table
    best: tuple[BuildPage, ...]
    trade_offs: tuple[BuildPage, ...]
    front: FrontPage
    weight: str
    road: Road
    winner: CandidatePage
    speeds: Speeds
    days: DaysPage | None
    days_about: str
    fits: tuple[Table, ...]
    fit_cautions: tuple[str, ...]
    considered: str
    left_out: Table
    left_out_told: tuple[str, ...]
    assumed: Assumed
    taken: tuple[str, ...]
    cautions: tuple[str, ...]


def search_page(answer: Answer, places: str = "", days: Days | None = None) -> bytes:
    """The page as one self-contained HTML file; see `page_data`."""
    return rendered("search.html", page=page_data(answer, places, days))


def page_data(answer: Answer, places: str = "", days: Days | None = None) -> SearchPage:
    """What the page says, every text final.

    `places` names the GPX file with the places of the best ("": none); `days` are what the rider
    has and the best few over uncertain days, if ridden.
    """
    search = answer.search
    winner = answer.best[0]
    return SearchPage(
        title=clean(search.course.name),
        facts=length_and_climb(search.course),
        verdict=search_verdict(search),
        against_now=gained_and_lost(search.options[0].change),
        to_buy=to_buy_told(search.options[0].prospect),
        to_check=_to_check(search),
        terms=terms_told(winner.ride.rider),
        ridden_by=ridden_by_told(answer),
        wishes=wishes_told(search.question.wishes),
        states=_states_table(search),
        rest=_rest_table(search),
        best=_builds(search, search.ranking.best, checked_below=True),
        trade_offs=_builds(search, trade_off_places(search)),
        front=_front(search),
        weight=weight_told(search),
        road=road([answer.now, *answer.best], ["", *_marks(search)]),
        winner=candidate_page(1, winner, cue_sheet(winner.ride), places),
        speeds=speeds(winner.ride, finish_band(winner.ride, search.weights)),
        days=_days_page(days),
        days_about=ONLY_THE_BEST,
        fits=fit_tables([each.fit for each in answer.best if each.fit], fold_ok=True),
        fit_cautions=FIT_CAUTIONS,
        considered=considered_told(search),
        left_out=_left_out_table(search),
        left_out_told=tuple(filter(None, [*map(clean, search.faults), untold_limits(search)])),
        assumed=_assumed(answer),
        taken=weighed_told(search),
        cautions=(*map(clean, answer.cautions), *cautions_told(search), KNEES),
    )


def _to_check(search: Search) -> str:
    """What of the best to check with its reasons, and what the frame does not tell."""
    found = to_check_told(search.options[0].prospect)
    told = f"{found}." if found else f"{NOTHING_FOUND[:1].upper()}{NOTHING_FOUND[1:]}"
    return " ".join(filter(None, [told, untold_limits(search)]))


def _marks(search: Search) -> list[str]:
    return [str(place + 1) for place in search.ranking.best]


def _builds(
    search: Search, places: Iterable[int], *, checked_below: bool = False
) -> tuple[BuildPage, ...]:
    """The builds of these places; `checked_below` says that their findings are on the page."""
    check = subjects_to_check if checked_below else to_check_told
    return tuple(
        BuildPage(
            mark=str(place + 1),
            name=clean(option.name),
            note=noted(search, place),
            against_now=gained_and_lost(option.change),
            to_buy=to_buy_told(option.prospect),
            to_check=check(option.prospect),
        )
        for place in places
        for option in [search.options[place]]
    )


def _states_table(search: Search) -> Table:
    decimals = decimals_of(search)
    time = finish_head(search.now.score.stopped_s)
    rows = rows_of(search, search.ranking.best)
    return Table(
        caption=f"Mismatch, {time}, and minutes in each state",
        corner="build",
        heads=("mis\u00admatch", f"{time} h:mm", *(STATE_HEADS[state] for state in STATES_SHOWN)),
        rows=tuple(
            Row(title=f"{row.mark}: {row.name}", cells=tuple(state_cells(row, decimals)))
            for row in rows
        ),
        titled=True,
    )


def _rest_table(search: Search) -> Table:
    return Table(
        caption="What else decides",
        corner="build",
        heads=(
            "weight ± g",
            "rear shifts an h",
            "sprock\u00adets passed an h",
            "front shifts an h",
            "parts to adjust",
            "parts to buy",
            *(["price"] if is_priced(search) else []),
        ),
        rows=tuple(
            Row(title=f"{row.mark}: {row.name}", cells=tuple(rest_cells(search, row)))
            for row in rows_of(search, search.ranking.best)
        ),
        titled=True,
    )


def _front(search: Search) -> FrontPage:
    least, now = search.options[0].mismatch, search.now.score.mismatch
    most = max(least, now) + FEW_POINTS
    places = [place for place, option in enumerate(search.options) if option.on_front]
    near = [place for place in places if search.options[place].mismatch <= most]
    shown = near[:MOST_OF_FRONT]
    return FrontPage(
        drawings=front_drawings(search),
        looks=tuple((look.dots, look.words) for look in looks_drawn(search.options)),
        told=front_told(search),
        table=_front_table(search, shown),
        table_note=_rest_of_front(len(places), len(near), len(shown)),
    )


def _rest_of_front(on_front: int, near: int, shown: int) -> str:
    """Which builds on the front the table leaves out."""
    left = []
    if near > shown:
        left.append(f"{near - shown} with more mismatch than those shown")
    if on_front > near:
        left.append(
            f"{on_front - near} with more than {FEW_POINTS:g} points of mismatch above what you "
            "have and above the best"
        )
    return f"On the front too, and left out here: {listed(left)}." if left else ""


def _front_table(search: Search, places: Iterable[int]) -> Table:
    priced = is_priced(search)
    return Table(
        caption="Builds on the trade-off front",
        corner="build",
        heads=(
            "mis\u00admatch",
            "weight ± g",
            *(["price"] if priced else []),
            "shifts an h",
            "parts to adjust",
        ),
        rows=tuple(
            Row(title=f"{row.mark}: {row.name}", cells=tuple(front_cells(search, row)))
            for row in rows_of(search, places)
        ),
    )


def _left_out_table(search: Search) -> Table:
    return Table(
        caption="Builds left out, each for the first thing found against it",
        corner="builds",
        heads=("why",),
        rows=tuple(
            Row(title=str(count), cells=(reason_told(reason),))
            for reason, count in search.question.left_out.items()
        ),
        worded=(0,),
    )


def _assumed(answer: Answer) -> Assumed:
    """What all rides rest on; the bike as the plan has it, with what the rider has now."""
    ride = answer.now.ride
    bike = replace(ride.bike, mass_kg=whole_bike_kg(answer.search))
    return assumed(replace(ride, bike=bike), answer.search.weights)


def _days_page(days: Days | None) -> DaysPage | None:
    if days is None:
        return None
    from gearsim.output.report.days import days_page

    return days_page(days)
