"""A search as a table for spreadsheets and as records for programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from gearsim.course.climbs import total_climb_m
from gearsim.output.days.tables import days_records
from gearsim.output.search.words import (
    ONLY_THE_BEST,
    cautions_told,
    gained_and_lost,
    least_told,
    reason_told,
    search_verdict,
    untold_limits,
    weighed_told,
)
from gearsim.ride.score import Score
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.build import InternalBuild
from gearsim.studies.search.answer import Answer
from gearsim.studies.search.gains import Outcome
from gearsim.studies.search.options import Option
from gearsim.studies.search.search import Search
from gearsim.units import SECONDS_PER_MINUTE

if TYPE_CHECKING:
    import pandas as pd

    from gearsim.setup.fit.build import AnyBuild
    from gearsim.studies.days.days import Days

Row = dict[str, Any]

PART_KINDS = ("chainset", "cassette", "rear_mech", "front_mech", "internal_gear")


def search_table(search: Search) -> pd.DataFrame:
    """One row a build in rank order, after the row of what the rider has (which has no rank).

    The unit of every column is in its name.  `weight_change_kg` and `against_now` are against
    what the rider has; `price` is empty where it is not known; teeth and names in one cell are
    parted by blanks and semicolons.
    """
    import pandas as pd

    table = pd.DataFrame([_now_row(search), *_rows(search)])
    return table.astype({"rank": "Int64"})


def search_records(answer: Answer, days: Days | None = None) -> dict[str, Any]:
    """Everything, with what was assumed and left out, in plain types ready for JSON.

    `over_days` is there only where the best few were ridden on `days`.
    """
    search = answer.search
    course, question = search.course, search.question
    over_days = {} if days is None else {"about": ONLY_THE_BEST, **days_records(days)}
    return {
        "route": {
            "name": course.name,
            "length_km": course.length_m / 1000.0,
            "climb_m": total_climb_m(course),
            "step_m": course.step_m,
            "source": course.report.source,
        },
        "verdict": search_verdict(search),
        "complete": not search.stopped,
        "builds_considered": question.considered,
        "builds_that_fit": len(question.prospects),
        "builds_ridden": search.ridden,
        "left_out": [
            {"reason": reason_told(reason), "builds": count}
            for reason, count in question.left_out.items()
        ],
        "not_ridden": list(search.faults),
        "now": _now_row(search),
        "best": [search.options[place].name for place in search.ranking.best],
        "trade_offs": [
            {"name": search.options[each.place].name, "least": least_told(each)}
            for each in search.ranking.trade_offs
        ],
        "front_of": [str(criterion) for criterion in search.ranking.criteria],
        "builds": _rows(search),
        "weight_saving": {
            "lighter_kg": search.weight.lighter_kg,
            "saved_s": search.weight.saved_s,
            "seconds_per_100_g": search.weight.seconds_per_100_g,
        },
        "wishes": asdict(question.wishes) | {"parts": list(question.wishes.parts)},
        "frame": asdict(question.frame),
        "assumptions": {
            "rider": asdict(search.rider),
            "bike_without_drivetrain": asdict(search.bike),
            "conditions": asdict(search.conditions),
            "told": [*weighed_told(search), *filter(None, [untold_limits(search)])],
        },
        "cautions": list(cautions_told(search)),
        **({"over_days": over_days} if over_days else {}),
    }


def _rows(search: Search) -> list[Row]:
    least = {each.place: least_told(each) for each in search.ranking.trade_offs}
    return [
        _option_row(search, place, least.get(place, "")) for place in range(len(search.options))
    ]


def _now_row(search: Search) -> Row:
    present = search.question.present
    known = {
        "chainset": present.drivetrain.chainset,
        "rear_mech": present.drivetrain.rear_mech,
        "front_mech": present.drivetrain.front_mech,
        "internal_gear": present.drivetrain.internal_gear,
    }
    return {
        "rank": None,
        "name": present.drivetrain.name,
        **_gears(present.drivetrain),
        **_score(search.now),
        "weight_kg": present.mass_kg,
        "weight_change_kg": 0.0,
        "price": 0.0,
        "parts_to_adjust": present.parts_to_adjust,
        **{kind: known.get(kind) or "" for kind in PART_KINDS},
        "to_buy": "",
        "to_check": "",
        "on_front": False,
        "as_good_as_best": False,
        "least": "",
        "against_now": "",
        "settled": search.now.settled,
    }


def _option_row(search: Search, place: int, least: str) -> Row:
    option = search.options[place]
    prospect = option.prospect
    return {
        "rank": place + 1,
        "name": option.name,
        **_gears(prospect.drivetrain),
        **_score(option.outcome),
        "weight_kg": prospect.build.mass_kg,
        "weight_change_kg": option.change.mass_kg,
        "price": prospect.price,
        "parts_to_adjust": prospect.build.parts_to_adjust,
        **_parts(prospect.build),
        "to_buy": "; ".join(prospect.to_buy),
        "to_check": _cautions(option),
        "on_front": option.on_front,
        "as_good_as_best": search.as_good(place),
        "least": least,
        "against_now": gained_and_lost(option.change),
        "settled": option.outcome.settled,
    }


def _gears(drivetrain: Drivetrain) -> Row:
    return {
        "gears_label": drivetrain.label,
        "chainrings": " ".join(str(teeth) for teeth in drivetrain.chainrings),
        "sprockets": " ".join(str(teeth) for teeth in drivetrain.sprockets),
        "ratios": " ".join(f"{ratio:.3f}" for ratio in drivetrain.ratios),
    }


def _score(outcome: Outcome) -> Row:
    counted: Score = outcome.score
    minutes = {
        f"{state.replace(' ', '_')}_min": seconds / SECONDS_PER_MINUTE
        for state, seconds in counted.seconds.items()
    }
    return {
        "mismatch": counted.mismatch,
        "finish_min": counted.finish_s / SECONDS_PER_MINUTE,
        "stopped_min": counted.stopped_s / SECONDS_PER_MINUTE,
        **minutes,
        "between_gears_min": counted.between_gears_s / SECONDS_PER_MINUTE,
        "end_of_range_min": counted.end_of_range_s / SECONDS_PER_MINUTE,
        "rear_shifts_per_hour": counted.rear_shifts_per_hour,
        "rear_clicks_per_hour": counted.rear_clicks_per_hour,
        "front_shifts_per_hour": counted.front_shifts_per_hour,
    }


def _parts(build: AnyBuild) -> Row:
    if isinstance(build, InternalBuild):
        return dict.fromkeys(PART_KINDS, "") | {"internal_gear": build.internal_gear.name}
    front = "" if build.front_mech is None else build.front_mech.name
    return {
        "chainset": build.chainset.name,
        "cassette": build.cassette.name,
        "rear_mech": build.rear_mech.name,
        "front_mech": front,
        "internal_gear": "",
    }


def _cautions(option: Option) -> str:
    return "; ".join(each.subject for each in option.prospect.cautions)
