"""What the text, the tables and the picture of uncertain days say in the same words."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from gearsim.output.fit.words import DOES_NOT_FIT, WHERE_MORE, misfit_words
from gearsim.output.words import (
    at_least_shown,
    clean,
    duration,
    listed,
    share,
    shorten,
)
from gearsim.setup.uncertain import AVERAGE, LONG_WALK_M, Uncertain
from gearsim.studies.days.days import Days
from gearsim.studies.days.draws import SCORE_AT_90_PERCENT, Day, Input, any_direction
from gearsim.studies.days.influence import Influences
from gearsim.studies.days.results import days_won, what_counts
from gearsim.studies.days.settled import Apart
from gearsim.units import KMH_PER_MPS

MOST_LETTERS = 32  # of a name in a sentence
MOST_TOLD = 3  # of what makes a drawn day what it is
AS_PLANNED = "as planned"
FAINT = 0.3  # of the variance: less is hardly told apart
LITTLE = 0.25  # of a spread: not worth a word


def quoted(name: str) -> str:
    """A name in a sentence."""
    return f"“{shorten(clean(name), MOST_LETTERS)}”"


def days_verdict(days: Days) -> str:
    """The choice over the days, how often it is the best, who is on the plan's day, what fits."""
    return " ".join(
        part for part in (_choice(days), _on_the_plans_day(days), _fitting(days)) if part
    )


def _choice(days: Days) -> str:
    best, *others = days.candidates
    count = len(days.days)
    if not others:
        return (
            f"{quoted(best.name)} is the only drivetrain; its mismatch over {count} days is "
            f"{at_least_shown(best.average_mismatch, 1)} on average."
        )
    counts = what_counts(days.mismatch, days.uncertain.choose_by)
    first, second = (at_least_shown(float(counts[place]), 1) for place in (0, 1))
    won = _best_on(days)
    if days.uncertain.choose_by == AVERAGE:
        lead = f"mismatch {first} against {second} of {quoted(others[0].name)}"
        if days.settled.gaps[0].apart is Apart.ORDERED:
            return f"{quoted(best.name)} is best on average over {count} days ({lead}), {won}."
        return f"Close on average over {count} days: {quoted(best.name)} ({lead}), {won}."
    return (
        f"{quoted(best.name)} is never more than {first} behind the best of its day over {count} "
        f"days, {quoted(others[0].name)} up to {second}; it is {won.removeprefix('and ')}."
    )


def _best_on(days: Days) -> str:
    won = float(days_won(days.mismatch)[0])
    if won == 1.0:
        return "and the best on each of them"
    if won == 0.0:
        return "and the best on none of them"
    return f"and the best on {share(won)} of them"


def _on_the_plans_day(days: Days) -> str:
    ahead = min(days.candidates, key=lambda each: each.planned.score.mismatch)
    chosen = days.candidates[0]
    if ahead.planned.score.mismatch == chosen.planned.score.mismatch:
        return ""
    return f"On the plan's own day {quoted(ahead.name)} is ahead."


def _fitting(days: Days) -> str:
    """Whether the choice does not fit as told, and what the best is that does."""
    best, *others = days.candidates
    if not best.misfits:
        return ""
    fitting = [each for each in others if not each.misfits]
    told = f"{quoted(best.name)} {DOES_NOT_FIT} ({misfit_words(best)}; {WHERE_MORE})"
    if fitting:
        average = at_least_shown(fitting[0].average_mismatch, 1)
        return f"{told}; the best that fits is {quoted(fitting[0].name)} ({average} on average)."
    return f"{told}{', and none of the others does' if others else ''}."


def settled_words(days: Days) -> str:
    """Why riding stopped when it did, and what is still open."""
    settled = days.settled
    wrong = share(days.uncertain.wrong_stop_chance)
    if len(days.candidates) == 1:
        return f"{settled.days} of {settled.most_days} days ridden; there is nothing to rank."
    if settled.is_settled:
        told = "the order by average (or a near tie) is settled"
        begin = (
            f"Stopped after {settled.days} of {settled.most_days} days: {told}"
            if settled.stopped_early
            else f"After {settled.days} days {told}"
        )
        return f"{begin}, with a chance of {wrong} at most of being wrong."
    open_pairs = [
        place for place, gap in enumerate(settled.gaps, start=1) if gap.apart is Apart.OPEN
    ]
    places = listed([f"{place} and {place + 1}" for place in open_pairs])
    return (
        f"After all {settled.days} days the order by average of places {places} is still open "
        f"(it would be settled with a chance of {wrong} at most of being wrong)."
    )


def flip_words(days: Days) -> str:
    """The nearest day found on which another wins, or that no drawn day has another winner."""
    best, *others = days.candidates
    if not others:
        return "There is no other drivetrain."
    flip = days.flip
    if flip is None:
        return _smallest_lead(days)
    contender = quoted(days.candidates[flip.contender].name)
    points = at_least_shown(flip.points, 1)
    if not flip.changed:
        return (
            f"{contender} is ahead of {quoted(best.name)} by {points} already on the day in the "
            "middle of all ranges."
        )
    return (
        f"{contender} beats {quoted(best.name)} by {points} on a day with "
        f"{day_words(days, flip.day, flip.changed)}, all else in the middle of its range: "
        f"{at_least_shown(flip.spreads, 1)} spreads from there, the nearest day found."
    )


def _smallest_lead(days: Days) -> str:
    mismatch = days.mismatch
    lead = mismatch[:, 1:].min(axis=1) - mismatch[:, 0]
    place = int(lead.argmin())
    day = days.days[place]
    least = at_least_shown(max(float(lead[place]), 0.0), 1)
    return (
        f"On none of the {len(days.days)} days. The smallest lead, {least}, is on a day with "
        f"{day_words(days, day, most_changed(days, day))}."
    )


def most_changed(days: Days, day: Day) -> tuple[Input, ...]:
    """What makes a day unlike others for the first candidate, the most telling first.

    How far it is from the middle of its range, times how much it brings of the deviation.
    """
    middle = days.uncertain.chance_of_wet(days.conditions) > 0.5
    telling = {
        each.what: math.sqrt(each.together) * abs(day.score(each.what))
        for each in days.influences[0].shares
        if abs(day.score(each.what)) >= LITTLE * SCORE_AT_90_PERCENT
        and (each.what is not Input.WET or day.wet != middle)
    }
    return tuple(sorted(telling, key=lambda what: -telling[what])[:MOST_TOLD])


def day_words(days: Days, day: Day, inputs: Sequence[Input]) -> str:
    """What makes a day unlike the plan: `power 8 % lower and wet ground`."""
    told = [_DAY_WORDS[what](days, day) for what in inputs]
    told = [words for words in told if not words.endswith(AS_PLANNED)]
    return listed(told) if told else "nothing far from the plan"


def _factor_words(what: str, factor: float, more: str, less: str) -> str:
    percent = 100.0 * abs(factor - 1.0)
    if percent < 0.5:
        return f"{what} {AS_PLANNED}"
    return f"{what} {percent:.0f} % {more if factor > 1.0 else less}"


def _load_words(day: Day) -> str:
    kg = abs(day.load_change_kg)
    return f"{at_least_shown(kg, 1)} kg {'more' if day.load_change_kg > 0.0 else 'less'} load"


def _wind_words(days: Days, day: Day) -> str:
    planned_kmh = days.conditions.wind_mps * KMH_PER_MPS
    return f"wind {day.wind_mps * KMH_PER_MPS:.0f} km/h instead of {planned_kmh:.0f}"


def _direction_words(days: Days, day: Day) -> str:
    told = f"wind from {math.degrees(day.wind_from_rad) % 360.0:.0f}°"
    if any_direction(days.conditions):
        return told
    return f"{told} instead of {math.degrees(days.conditions.wind_from_rad) % 360.0:.0f}°"


def _warmth_words(days: Days, day: Day) -> str:
    warmer = day.temperature_c - days.conditions.temperature_c
    return f"{at_least_shown(abs(warmer))} °C {'warmer' if warmer > 0.0 else 'colder'} air"


def _height_words(day: Day) -> str:
    leaning = "steeper" if day.score(Input.HEIGHTS) > 0.0 else "flatter"
    return f"the route's heights off as drawn for day {day.number} (steep parts {leaning})"


_DAY_WORDS: dict[Input, Callable[[Days, Day], str]] = {
    Input.POWER: lambda _, day: _factor_words("power", day.power_factor, "higher", "lower"),
    Input.LOAD: lambda _, day: _load_words(day),
    Input.DRAG_AREA: lambda _, day: _factor_words(
        "drag area", day.drag_area_factor, "larger", "smaller"
    ),
    Input.ROLLING: lambda _, day: _factor_words(
        "rolling resistance", day.rolling_factor, "higher", "lower"
    ),
    Input.WET: lambda _, day: "wet ground" if day.wet else "dry ground",
    Input.WIND: _wind_words,
    Input.WIND_FROM: _direction_words,
    Input.TEMPERATURE: _warmth_words,
    Input.HEIGHTS: lambda _, day: _height_words(day),
}


def drawn_words(days: Days) -> list[tuple[str, str, bool]]:
    """What the days were drawn from: what, its range, and whether it is the default."""
    known, default = days.uncertain, Uncertain()
    wind_kmh = days.conditions.wind_mps * KMH_PER_MPS
    turn = math.degrees(known.wind_turn_rad)
    from_deg = math.degrees(days.conditions.wind_from_rad) % 360.0
    told = {
        "power_factor": ("all powers", _span(known.power_factor, "×")),
        "load_change_kg": ("load", f"{_signed(known.load_change_kg)} kg"),
        "drag_area_factor": ("drag area", _span(known.drag_area_factor, "×")),
        "rolling_factor": ("rolling resistance", _span(known.rolling_factor, "×")),
        "wet_chance": ("wet ground", share(known.chance_of_wet(days.conditions))),
        "wind_spread_mps": (
            "wind",
            f"{wind_kmh:.0f} ± {known.wind_spread_mps * KMH_PER_MPS:.1f} km/h",
        ),
        "wind_turn_rad": (
            "wind from",
            "anywhere" if any_direction(days.conditions) else f"{from_deg:.0f}° ± {turn:.0f}°",
        ),
        "temperature_spread_c": (
            "temperature",
            f"{days.conditions.temperature_c:g} ± {known.temperature_spread_c:g} °C",
        ),
        "height_error_m": (
            "route's heights",
            f"{known.height_error_m:g} m (standard deviation) over {known.height_error_over_m:g} m",
        ),
    }
    return [
        (what, text, getattr(known, field) == getattr(default, field))
        for field, (what, text) in told.items()
    ]


def _span(ends: tuple[float, float], before: str) -> str:
    return f"{before} {ends[0]:g}-{ends[1]:g}"


def _signed(ends: tuple[float, float]) -> str:
    return f"{ends[0]:+g} to {ends[1]:+g}"


def long_walk_words(uncertain: Uncertain) -> str:
    """What counts as a long walk: `200 m`, `5 min`."""
    if uncertain.long_walk_s is not None:
        return duration(uncertain.long_walk_s)
    return f"{LONG_WALK_M if uncertain.long_walk_m is None else uncertain.long_walk_m:g} m"


def influence_words(days: Days) -> str:
    """Which uncertainty matters most, for the first's own mismatch and for its lead."""
    told = [_most("its mismatch", days.influences[0])]
    if days.influences_on_lead is not None:
        told.append(_most("its lead over the second", days.influences_on_lead))
    return f"For {quoted(days.candidates[0].name)}: {'; '.join(told)}."


def _most(of: str, found: Influences) -> str:
    if not found.varies:
        return f"nothing drawn changes {of}"
    if found.told < FAINT:
        return f"what changes {of} is hardly told apart by so many days"
    largest = found.shares[0]
    return f"{largest.what} changes {of} most ({share(largest.together)} of its variance)"


def cautions(days: Days) -> list[str]:
    """What to beware of in figures from so many days."""
    count = len(days.days)
    unsettled = sum(not ride.settled for each in days.candidates for ride in each.rides)
    told = [
        f"A chance from {count} days is known to about ±{100.0 / math.sqrt(count):.0f} points; "
        f"what happened on none of them may still happen on {share(3.0 / count)} of days "
        "(19 times of 20, were the days independent).",
        "The days are drawn from the ranges above, each input on its own: they are as good as "
        "those ranges, which are judgement where marked as assumed.",
    ]
    if days.settled.stopped_early:
        told.append(
            "Stopping early sees what is usual: kinds of days rarer than one in ten may be missed. "
            "stop_early = false under [days] rides them all."
        )
    if unsettled:
        told.append(
            f"The shift plan had not quite settled in {unsettled} of "
            f"{count * len(days.candidates)} rides: their times may be off by a little."
        )
    return told
