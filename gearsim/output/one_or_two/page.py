"""One ring or two as a page to read and print: what it says, not how it looks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gearsim.output.course_words import length_and_climb
from gearsim.output.fit.text import FIT_CAUTIONS
from gearsim.output.fit.to_check import NOTHING_FOUND
from gearsim.output.one_or_two.drawings import group_drawing, ladders, lever_drawing
from gearsim.output.one_or_two.rows import STATES_SHOWN, Part, heads, parts
from gearsim.output.one_or_two.words import (
    BETTER,
    HOW_CHANGED,
    HOW_FOUND,
    SIDES,
    bought_and_checked,
    group_told,
    lever_told,
    ridden_by_told,
    to_check,
    unsettled,
    verdict,
    what_turns_it,
    who_contends,
)
from gearsim.output.report.html import rendered
from gearsim.output.report.parts import (
    Bar,
    BarRow,
    BarTable,
    Drawing,
    Row,
    Table,
    percent_of_longest,
)
from gearsim.output.report.terms import terms_told
from gearsim.output.words import (
    CAUTIONS,
    STATE_PHRASES,
    clean,
    minute_decimals,
    minutes,
)
from gearsim.ride.states import State
from gearsim.studies.one_or_two.one_or_two import OneOrTwo

OTHER_FILLINGS = {State.UNDER_BAND: "under-band", State.OVER_BAND: "over-band"}


@dataclass(frozen=True, kw_only=True)
class Ladder:
    """The gears of a side, drawn: what it is, the drivetrain's name, the drawing."""

    side: str
    name: str
    drawing: Drawing


@dataclass(frozen=True, kw_only=True)
class LeverPage:
    """What a change of one thing does: its name, what is meant, the drawing, the sentence."""

    name: str
    meaning: str
    drawing: Drawing
    told: str


@dataclass(frozen=True, kw_only=True)
class OneOrTwoPage:
    """Everything that the page says."""

    title: str
    facts: str
    verdict: str
    to_check: str
    terms: str
    ridden_by: str
    ladders: tuple[Ladder, Ladder]
    tables: tuple[Table, ...]
    states: BarTable
    group: Drawing
    group_told: str
    what_turns_it: str
    levers: tuple[LeverPage, ...]
    how_found: str
    weighed: tuple[str, ...]
    cautions: tuple[str, ...]


def one_or_two_page(found: OneOrTwo, plan_cautions: Sequence[str] = ()) -> bytes:
    """The page as one self-contained HTML file, with what to look at again in the plan."""
    return rendered("one_or_two.html", page=page_data(found, plan_cautions))


def page_data(found: OneOrTwo, plan_cautions: Sequence[str] = ()) -> OneOrTwoPage:
    """What the page says, every text final."""
    course = found.setting.course
    one, two = (
        Ladder(side=side, name=name, drawing=drawing)
        for side, name, drawing in zip(SIDES, heads(found), ladders(found), strict=True)
    )
    return OneOrTwoPage(
        title=clean(course.name),
        facts=length_and_climb(course),
        verdict=verdict(found),
        to_check=_to_check(found),
        terms=terms_told(found.setting.rider),
        ridden_by=ridden_by_told(found),
        ladders=(one, two),
        tables=tuple(_table(part) for part in parts(found)),
        states=_states(found),
        group=group_drawing(found),
        group_told=group_told(found),
        what_turns_it=what_turns_it(found),
        levers=tuple(
            LeverPage(
                name=str(curve.lever),
                meaning=HOW_CHANGED[curve.lever],
                drawing=lever_drawing(found, curve),
                told=lever_told(found, curve),
            )
            for curve in found.curves
        ),
        how_found=HOW_FOUND,
        weighed=(*who_contends(found), *bought_and_checked(found)),
        cautions=(*map(clean, plan_cautions), *unsettled(found), *FIT_CAUTIONS, *CAUTIONS),
    )


def _to_check(found: OneOrTwo) -> str:
    """What to check of the better side; the other's stands with what was weighed."""
    side, rings = (found.two, SIDES[1]) if found.two_wins else (found.one, SIDES[0])
    if not found.field.considered:
        return "what fits was not asked; gearsim fit tells, for the plan's own drivetrains."
    return f"with {rings}: {to_check(side) or NOTHING_FOUND.removesuffix('.')}."


def _table(part: Part) -> Table:
    return Table(
        caption=part.title,
        corner="what",
        heads=(SIDES[0], "better", SIDES[1]),
        rows=tuple(
            Row(title=each.title, cells=(each.one, BETTER[each.better], each.two))
            for each in part.measures
        ),
        worded=(1, 2),
    )


def _states(found: OneOrTwo) -> BarTable:
    """Minutes in the states that are no joy, both sides on one scale."""
    sides = (found.one, found.two)
    shown = [state for state in STATES_SHOWN if state not in (State.ON_TARGET, State.COASTING)]
    seconds = [side.contender.outcome.score.seconds for side in sides]
    percents = iter(percent_of_longest([each[state] for state in shown for each in seconds]))
    decimals = minute_decimals(max(side.ride.finish_s for side in sides))
    return BarTable(
        caption="Minutes where the gears do not suit",
        corner="state",
        heads=SIDES,
        rows=tuple(
            BarRow(
                title=STATE_PHRASES[state],
                bars=tuple(
                    Bar(
                        text=minutes(each[state], decimals),
                        percent=next(percents),
                        filling=OTHER_FILLINGS.get(state, "plain"),
                    )
                    for each in seconds
                ),
            )
            for state in shown
        ),
    )
