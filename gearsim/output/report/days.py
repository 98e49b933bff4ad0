"""Uncertain days in a report: the verdict over them, a heap of days each, ranges and chances."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearsim.output.days.words import (
    cautions,
    days_verdict,
    drawn_words,
    flip_words,
    influence_words,
    long_walk_words,
    settled_words,
)
from gearsim.output.drawing.profile import round_ticks
from gearsim.output.fit.words import DOES_NOT_FIT
from gearsim.output.report.parts import Drawing, Label, Row, Shape, Table
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
from gearsim.studies.days.results import (
    Floats,
    OverDays,
    chances_to_beat,
    days_won,
    spread_of,
    worst_regret,
)

WIDTH, HEIGHT, FOOT = 1000, 60, 8
COLUMNS = 60  # of the heaps, over all days of all candidates
MOST_LABELS = 6
MOST_RIVALS = 9  # columns of chances that fit a page
GAP = 1.5  # between two columns, and on either side of the middle day's mark


@dataclass(frozen=True, kw_only=True)
class DaysLane:
    """A candidate's heap of days over mismatch: its rank by the days, its name, the drawing."""

    rank: int
    name: str
    note: str
    drawing: Drawing


@dataclass(frozen=True, kw_only=True)
class DaysPage:
    """What a report tells of the candidates over uncertain days."""

    title: str
    verdict: str
    settled: str
    lanes: tuple[DaysLane, ...]
    mismatch: Table
    brought: Table
    chances: Table
    told: tuple[str, ...]
    drawn: tuple[str, ...]
    cautions: tuple[str, ...]


def days_page(days: Days, misfits: frozenset[str] = frozenset()) -> DaysPage:
    """The part of a report that is about the days; `misfits` name what does not fit as told."""
    drawn = [
        f"{what}: {text}{', assumed' if assumed else ''}"
        for what, text, assumed in drawn_words(days)
    ]
    return DaysPage(
        title=f"The same on {len(days.days)} other days",
        verdict=days_verdict(days),
        settled=settled_words(days),
        lanes=_lanes(days, misfits),
        mismatch=_mismatch_table(days),
        brought=_brought_table(days),
        chances=_chances_table(days),
        told=(f"When the verdict flips: {flip_words(days)}", influence_words(days)),
        drawn=tuple(drawn),
        cautions=tuple(cautions(days)),
    )


def _lanes(days: Days, misfits: frozenset[str]) -> tuple[DaysLane, ...]:
    mismatch = days.mismatch
    best = mismatch == mismatch.min(axis=1, keepdims=True)
    edges = np.linspace(float(mismatch.min()), max(float(mismatch.max()), 0.1), COLUMNS + 1)
    counts = [np.histogram(mismatch[:, place], edges)[0] for place in range(len(days.candidates))]
    tallest = max(int(count.max()) for count in counts)
    return tuple(
        DaysLane(
            rank=place + 1,
            name=clean(each.name),
            note=DOES_NOT_FIT if each.name in misfits else "",
            drawing=_heap(each, best[:, place], edges, tallest, last=each is days.candidates[-1]),
        )
        for place, each in enumerate(days.candidates)
    )


def _heap(
    each: OverDays, best: NDArray[np.bool_], edges: Floats, tallest: int, *, last: bool
) -> Drawing:
    """A column of days for each stretch of mismatch, those on which it is the best at the foot."""
    up = (HEIGHT - FOOT) / tallest
    won = up * np.histogram(each.mismatch[best], edges)[0]
    ridden = up * np.histogram(each.mismatch, edges)[0]
    spread = spread_of(each.mismatch)
    low, middle, high = (_across(at, edges) for at in (spread.low, spread.middle, spread.high))
    bar = f"{_box(low, middle - GAP, 0.0, 4.0)}{_box(middle + GAP, high, 0.0, 4.0)}"
    shapes = [
        Shape(filling="day-other", path=_columns(won, ridden, edges)),
        Shape(filling="day-best", path=_columns(np.zeros(COLUMNS), won, edges)),
        Shape(filling="day-spread", path=bar),
    ]
    return Drawing(
        title=f"Mismatch of {clean(each.name)} over the days",
        about=(
            f"10, 50 and 90 of 100 days stay under {at_least_shown(spread.low, 1)}, "
            f"{at_least_shown(spread.middle, 1)} and {at_least_shown(spread.high, 1)}."
        ),
        width=WIDTH,
        height=HEIGHT,
        shapes=tuple(shape for shape in shapes if shape.path),
        below=_ticks(edges) if last else (),
    )


def _columns(bottom: Floats, top: Floats, edges: Floats) -> str:
    sides = [_across(float(edge), edges) for edge in edges]
    return "".join(
        _box(sides[place] + GAP, sides[place + 1] - GAP, FOOT + bottom[place], FOOT + top[place])
        for place in np.flatnonzero(top > bottom).tolist()
    )


def _box(left: float, right: float, bottom: float, top: float) -> str:
    if right <= left:
        return ""
    return f"M{left:.1f} {HEIGHT - top:.1f}H{right:.1f}V{HEIGHT - bottom:.1f}H{left:.1f}Z"


def _across(mismatch: float, edges: Floats) -> float:
    return WIDTH * (mismatch - float(edges[0])) / float(edges[-1] - edges[0])


def _ticks(edges: Floats) -> tuple[Label, ...]:
    ticks = round_ticks(float(edges[0]), float(edges[-1]), MOST_LABELS)
    return tuple(
        Label(text=f"{tick:g}", left_percent=100.0 * _across(tick, edges) / WIDTH)
        for tick in ticks.tolist()
    )


def _mismatch_table(days: Days) -> Table:
    won, regret = days_won(days.mismatch), worst_regret(days.mismatch)
    rows = [
        (
            _tenths(each.planned.score.mismatch),
            *_three(each.mismatch, _tenths),
            _tenths(each.average_mismatch),
            _tenths(float(regret[place])),
            _percent(float(won[place])),
            _percent(each.chance_of_walking),
            _percent(each.chance_of_long_walk(days.uncertain)),
        )
        for place, each in enumerate(days.candidates)
    ]
    return _table(
        days,
        "Mismatch that 10, 50 and 90 of 100 days stay under, and chances",
        (
            "plan’s day",
            "10",
            "50",
            "90",
            "aver\u00adage",
            "worst regret",
            "best, % of days",
            "walks, % of days",
            f"walks > {long_walk_words(days.uncertain)}, %",
        ),
        rows,
    )


def _brought_table(days: Days) -> Table:
    decimals = minute_decimals(max(float(each.finish_s.max()) for each in days.candidates))

    def told(seconds: float) -> str:
        return minutes(seconds, decimals)

    time = finish_head(days.candidates[0].planned.score.stopped_s)
    return _table(
        days,
        f"{time.capitalize()} h:mm, minutes below the lowest gear and walking: "
        "10, 50 and 90 of 100 days stay under",
        (f"{time} 10", "50", "90", "below lowest 10", "50", "90", "walk\u00ading 10", "50", "90"),
        [
            (
                *_three(each.finish_s, clock),
                *_three(each.below_lowest_s, told),
                *_three(each.walked_s, told),
            )
            for each in days.candidates
        ],
    )


def _chances_table(days: Days) -> Table:
    chances, count = chances_to_beat(days.mismatch), len(days.candidates)
    contenders = min(count, MOST_RIVALS)
    rows = [
        tuple(
            "-" if other == place else _percent(float(chances[place, other]))
            for other in range(contenders)
        )
        for place in range(count)
    ]
    heads = tuple(f"beats {other}" for other in range(1, contenders + 1))
    of = "each other" if contenders == count else f"the first {contenders}"
    return _table(days, f"Chance that each beats {of}, % of days", heads, rows)


def _table(
    days: Days, caption: str, heads: tuple[str, ...], cells: Sequence[tuple[str, ...]]
) -> Table:
    return Table(
        caption=caption,
        corner="candidate",
        heads=heads,
        rows=tuple(
            Row(title=f"{place}: {clean(each.name)}", cells=row)
            for place, (each, row) in enumerate(zip(days.candidates, cells, strict=True), start=1)
        ),
        titled=True,
    )


def _three(values: Floats, shown: Callable[[float], str]) -> tuple[str, str, str]:
    spread = spread_of(values)
    return shown(spread.low), shown(spread.middle), shown(spread.high)


def _tenths(value: float) -> str:
    return at_least_shown(value, 1)


def _percent(chance: float) -> str:
    return share(chance).removesuffix(" %")
