"""One ring and two side by side, a row a measure, with a mark towards the better."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from gearsim.output.one_or_two.words import side_name
from gearsim.output.words import (
    STATE_PHRASES,
    about,
    at_least_shown,
    clock,
    duration,
    finish_head,
    gear_name,
    minute_decimals,
    minutes,
    share,
)
from gearsim.ride.states import State
from gearsim.studies.one_or_two.one_or_two import OneOrTwo
from gearsim.studies.one_or_two.ring_side import Side
from gearsim.units import KMH_PER_MPS

UNKNOWN = "?"

STATES_SHOWN = (
    State.ON_TARGET,
    State.UNDER_BAND,
    State.OVER_BAND,
    State.BELOW_LOWEST_GEAR,
    State.WALKING,
    State.SPUN_OUT,
    State.COASTING,
)


@dataclass(frozen=True, kw_only=True)
class Measure:
    """A row: what is measured, what it is for one ring and for two, and which is the better.

    `better` is 1 or 2 for the number of rings, 0 where neither is or nobody can say.
    """

    title: str
    one: str
    two: str
    better: int = 0


@dataclass(frozen=True, kw_only=True)
class Part:
    """Rows that belong together."""

    title: str
    measures: tuple[Measure, ...]


LESS, MORE = -1, 1


def parts(found: OneOrTwo) -> tuple[Part, ...]:
    """All that is told side by side."""
    return (
        Part(title="On this route", measures=_route(found)),
        Part(title="The gears", measures=_gears(found)),
        Part(title="Shifting", measures=_shifting(found)),
        Part(title="In a group", measures=_group(found)),
        Part(title="The bike", measures=_bike(found)),
    )


def _measure(
    found: OneOrTwo,
    title: str,
    shown: Callable[[Side], str],
    worth: Callable[[Side], float | None] | None = None,
    better: int = LESS,
) -> Measure:
    one, two = shown(found.one), shown(found.two)
    values = [None if worth is None else worth(each) for each in (found.one, found.two)]
    return Measure(title=title, one=one, two=two, better=_better(one, two, values, better))


def _better(one: str, two: str, values: list[float | None], better: int) -> int:
    first, second = values
    if first is None or second is None or one == two or first == second:
        return 0
    return 1 if (first - second) * better > 0.0 else 2


def _route(found: OneOrTwo) -> tuple[Measure, ...]:
    decimals = minute_decimals(max(each.ride.finish_s for each in (found.one, found.two)))
    states = [
        _measure(
            found,
            f"{STATE_PHRASES[state]}, min",
            lambda s, state=state: minutes(_seconds(s, state), decimals),  # type: ignore[misc]
            None if state is State.COASTING else lambda s, state=state: _seconds(s, state),  # type: ignore[misc]
            MORE if state is State.ON_TARGET else LESS,
        )
        for state in STATES_SHOWN
    ]
    return (
        _measure(
            found,
            "mismatch",
            lambda s: at_least_shown(s.contender.mismatch, 1),
            lambda s: s.contender.mismatch,
        ),
        _measure(
            found,
            f"{finish_head(found.one.ride.stopped_s)}, h:mm",
            lambda s: clock(s.ride.finish_s),
            lambda s: s.ride.finish_s,
        ),
        *states,
        _measure(found, "longest in one gear", _longest),
    )


def _seconds(found: Side, state: State) -> float:
    return found.contender.outcome.score.seconds[state]


def _longest(found: Side) -> str:
    longest = found.longest
    time = duration(longest.seconds) if longest.seconds < 600.0 else about(longest.seconds)
    km = at_least_shown(longest.road_m / 1000.0, 1)
    return f"{km} km, {time}, {gear_name(found.ride.gears, longest.gear)}"


def _gears(found: OneOrTwo) -> tuple[Measure, ...]:
    low_limit, high_limit = found.setting.rider.limits_rpm
    return (
        _measure(
            found,
            "range, %",
            lambda s: f"{s.sheet.range_percent:.0f}",
            lambda s: s.sheet.range_percent,
            MORE,
        ),
        _measure(
            found,
            "distinct ratios of gears",
            lambda s: f"{s.sheet.distinct_ratios} of {len(s.sheet.gears.ratio)}",
            lambda s: s.sheet.distinct_ratios,
            MORE,
        ),
        _measure(
            found,
            "largest step, %",
            lambda s: _percent(s.sheet.largest_step_percent),
            lambda s: s.sheet.largest_step_percent,
        ),
        _measure(
            found,
            "median step, %",
            lambda s: _percent(s.sheet.median_step_percent),
            lambda s: s.sheet.median_step_percent,
        ),
        _measure(
            found,
            f"slowest, km/h at {low_limit:g} rpm",
            lambda s: f"{KMH_PER_MPS * s.sheet.slowest_mps:.1f}",
            lambda s: s.sheet.slowest_mps,
        ),
        _measure(
            found,
            f"run out, km/h at {high_limit:g} rpm",
            lambda s: f"{KMH_PER_MPS * s.sheet.fastest_mps:.0f}",
            lambda s: s.sheet.fastest_mps,
            MORE,
        ),
    )


def _percent(step: float | None) -> str:
    return "-" if step is None else f"{step:.1f}"


def _shifting(found: OneOrTwo) -> tuple[Measure, ...]:
    of_score: tuple[tuple[str, Callable[[Side], float]], ...] = (
        ("rear shifts an hour", lambda s: s.contender.outcome.score.rear_shifts_per_hour),
        ("sprockets passed an hour", lambda s: s.contender.outcome.score.rear_clicks_per_hour),
        ("front shifts an hour", lambda s: s.contender.outcome.score.front_shifts_per_hour),
        ("parts to keep adjusted", lambda s: s.contender.parts_to_adjust),
    )
    return tuple(
        _measure(found, title, lambda s, worth=worth: at_least_shown(worth(s)), worth)  # type: ignore[misc]
        for title, worth in of_score
    )


def _group(found: OneOrTwo) -> tuple[Measure, ...]:
    return (
        _measure(
            found,
            "off target on average, rpm",
            lambda s: at_least_shown(s.group.mean_off_rpm, 1),
            lambda s: s.group.mean_off_rpm,
        ),
        _measure(
            found,
            "off target at worst, rpm",
            lambda s: at_least_shown(s.group.worst_off_rpm, 1),
            lambda s: s.group.worst_off_rpm,
        ),
        _measure(
            found,
            "a shift changes up to, rpm",
            lambda s: at_least_shown(s.group.largest_change_rpm, 1),
            lambda s: s.group.largest_change_rpm,
        ),
    )


def _bike(found: OneOrTwo) -> tuple[Measure, ...]:
    rows = [
        _measure(
            found,
            "weight, kg",
            lambda s: UNKNOWN if s.contender.mass_kg is None else f"{s.contender.mass_kg:.2f}",
            lambda s: s.contender.mass_kg,
        ),
        _measure(
            found,
            "widest tyre, mm",
            _room,
            lambda s: s.contender.room.largest_mm,
            MORE,
        ),
        _measure(
            found,
            "chain askew at most, °",
            lambda s: f"{math.degrees(s.chain_line.largest_rad):.1f}",
            lambda s: s.chain_line.largest_rad,
        ),
        _measure(
            found,
            "pedalled with it crossed",
            lambda s: share(s.chain_line.crossed_share),
            lambda s: s.chain_line.crossed_share,
        ),
    ]
    if any(each.contender.price for each in (found.one, found.two)):
        rows.append(_measure(found, "price of what is to buy", _price, lambda s: s.contender.price))
    return tuple(rows)


def _room(found: Side) -> str:
    room = found.contender.room
    if room.largest_mm is None:
        return "not told"
    return f"{room.largest_mm:g} ({room.limit})"


def _price(found: Side) -> str:
    price = found.contender.price
    return UNKNOWN if price is None else f"{price:.0f}"


def heads(found: OneOrTwo) -> tuple[str, str]:
    """What stands over the two columns: the drivetrains' names."""
    return side_name(found.one), side_name(found.two)
