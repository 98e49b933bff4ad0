"""Uncertain days as tables for spreadsheets and as records for programs."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from gearsim.output.days.words import (
    cautions,
    days_verdict,
    flip_words,
    influence_words,
    settled_words,
)
from gearsim.output.fit.misfits import fit_columns
from gearsim.ride.states import State
from gearsim.studies.days.days import Days
from gearsim.studies.days.draws import Day, Input
from gearsim.studies.days.influence import Influences
from gearsim.studies.days.results import (
    Floats,
    OverDays,
    chances_to_beat,
    days_won,
    spread_of,
    worst_regret,
)
from gearsim.units import KMH_PER_MPS, SECONDS_PER_MINUTE

if TYPE_CHECKING:
    import pandas as pd

Row = dict[str, Any]


def days_table(days: Days) -> pd.DataFrame:
    """One row for each day and candidate: what was drawn, and what the ride came to.

    `heights_score` is how many standard deviations the steepest part's grade is off.
    """
    import pandas as pd

    return pd.DataFrame(
        [
            {**_day_columns(day), **_ride_columns(each, rank, place)}
            for place, day in enumerate(days.days)
            for rank, each in enumerate(days.candidates, start=1)
        ]
    )


def days_summary_table(days: Days) -> pd.DataFrame:
    """One row a candidate, the best first.

    `low`, `middle` and `high` are what 10, 50 and 90 % of days stay under; `beats_1`, `beats_2`
    ... are the shares of days on which it beats the candidate of that rank; `part_*` is the part
    of its mismatch's variance that an input brings, with all it does jointly with others.
    `fit_as_told` is empty where nothing was told that parts could be held against.
    """
    import pandas as pd

    return pd.DataFrame(_summary_rows(days))


def days_records(days: Days) -> Row:
    """Everything but the single rides, in plain types ready for JSON."""
    lead = days.influences_on_lead
    return {
        "days": len(days.days),
        "most_days": days.settled.most_days,
        "choose_by": days.uncertain.choose_by,
        "verdict": days_verdict(days),
        "candidates": _summary_rows(days),
        "settled": {
            "told": settled_words(days),
            "is_settled": days.settled.is_settled,
            "gaps_by_average": [
                {**asdict(gap), "apart": str(gap.apart)} for gap in days.settled.gaps
            ],
        },
        "flip": _flip(days),
        "influences_on_mismatch": _influences(days.influences[0]),
        "influences_on_lead": None if lead is None else _influences(lead),
        "influences_told": influence_words(days),
        "uncertain": asdict(days.uncertain),
        "chance_of_wet": days.uncertain.chance_of_wet(days.conditions),
        "cautions": cautions(days),
    }


def _day_columns(day: Day) -> Row:
    return {
        "day": day.number,
        "power_factor": day.power_factor,
        "load_change_kg": day.load_change_kg,
        "drag_area_factor": day.drag_area_factor,
        "rolling_factor": day.rolling_factor,
        "wet": day.wet,
        "wind_kmh": day.wind_mps * KMH_PER_MPS,
        "wind_from_deg": math.degrees(day.wind_from_rad) % 360.0,
        "temperature_c": day.temperature_c,
        "heights_score": 0.0 if day.heights_certain else day.score(Input.HEIGHTS),
    }


def _ride_columns(each: OverDays, rank: int, place: int) -> Row:
    ride = each.rides[place]
    states = {
        f"{state.replace(' ', '_')}_min": ride.score.seconds[state] / SECONDS_PER_MINUTE
        for state in State
    }
    return {
        "rank": rank,
        "name": each.name,
        "mismatch": ride.score.mismatch,
        "finish_min": ride.score.finish_s / SECONDS_PER_MINUTE,
        **states,
        "walked_m": ride.walked_m,
        "settled": ride.settled,
    }


def _summary_rows(days: Days) -> list[Row]:
    mismatch = days.mismatch
    won, regret = days_won(mismatch), worst_regret(mismatch)
    chances = chances_to_beat(mismatch)
    return [
        {
            "rank": place + 1,
            "name": each.name,
            "gears_label": each.drivetrain.label,
            "planned_mismatch": each.planned.score.mismatch,
            "average_mismatch": each.average_mismatch,
            "worst_regret": float(regret[place]),
            "best_share_of_days": float(won[place]),
            **_three("mismatch", each.mismatch, ""),
            **_three("finish", each.finish_s / SECONDS_PER_MINUTE, "_min"),
            **_three("below_lowest_gear", each.below_lowest_s / SECONDS_PER_MINUTE, "_min"),
            **_three("walking", each.walked_s / SECONDS_PER_MINUTE, "_min"),
            **_three("walked", each.walked_m, "_m"),
            "chance_of_walking": each.chance_of_walking,
            "chance_of_long_walk": each.chance_of_long_walk(days.uncertain),
            **{f"beats_{other + 1}": float(chance) for other, chance in enumerate(chances[place])},
            **_parts(days.influences[place]),
            **fit_columns(each),
        }
        for place, each in enumerate(days.candidates)
    ]


def _three(name: str, values: Floats, unit: str) -> Row:
    spread = spread_of(values)
    return {
        f"{name}_low{unit}": spread.low,
        f"{name}_middle{unit}": spread.middle,
        f"{name}_high{unit}": spread.high,
    }


def _parts(found: Influences) -> Row:
    together = {each.what: each.together for each in found.shares}
    parts = {
        f"part_{what.replace(chr(39), '').replace(' ', '_')}": together.get(what, 0.0)
        for what in Input
    }
    return {**parts, "part_not_told_apart": found.not_told_apart}


def _influences(found: Influences) -> Row:
    return {
        "told_share": found.told,
        "inputs": [
            {
                "input": str(each.what),
                "alone": each.alone,
                "alone_standard_error": each.error,
                "jointly": each.together,
            }
            for each in found.shares
        ],
    }


def _flip(days: Days) -> Row:
    flip = days.flip
    told = {"told": flip_words(days)}
    if flip is None:
        return {**told, "day": None}
    return {
        **told,
        "winner": days.candidates[flip.contender].name,
        "by": flip.points,
        "spreads": flip.spreads,
        "changed": [str(what) for what in flip.changed],
        "day": _day_columns(flip.day),
    }
