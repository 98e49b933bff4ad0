"""One ring or two as tables for spreadsheets and as records for programs."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from gearsim.course.climbs import total_climb_m
from gearsim.output.fit.text import FIT_CAUTIONS
from gearsim.output.one_or_two.words import (
    HOW_CHANGED,
    HOW_FOUND,
    UNITS,
    group_told,
    lever_told,
    unsettled,
    verdict,
    what_turns_it,
    who_contends,
)
from gearsim.output.words import CAUTIONS, gear_name
from gearsim.studies.one_or_two.contender import Contender
from gearsim.studies.one_or_two.lever_curve import LeverCurve, Standing, Turn
from gearsim.studies.one_or_two.one_or_two import OneOrTwo
from gearsim.studies.one_or_two.ring_side import Side
from gearsim.units import KMH_PER_MPS, SECONDS_PER_MINUTE

if TYPE_CHECKING:
    import pandas as pd

Row = dict[str, Any]


def one_or_two_table(found: OneOrTwo) -> pd.DataFrame:
    """One row a side; the unit of every column is in its name.

    Steps are those between neighbouring gears on one ring.  Cells are empty where a value is not
    known.
    """
    import pandas as pd

    return pd.DataFrame([_side_row(found.one), _side_row(found.two)])


def levers_table(found: OneOrTwo) -> pd.DataFrame:
    """One row for each value of each lever that was looked at, and for each turn.

    `what` tells the plan's own value and the turns from the others.  A side's cells are empty where
    nothing on it has room for the tyre.
    """
    import pandas as pd

    return pd.DataFrame([row for curve in found.curves for row in _lever_rows(curve)])


def one_or_two_records(found: OneOrTwo) -> dict[str, Any]:
    """Everything of both tables, with what was assumed, in plain types ready for JSON."""
    setting, course = found.setting, found.setting.course
    return {
        "route": {
            "name": course.name,
            "length_km": course.length_m / 1000.0,
            "climb_m": total_climb_m(course),
            "step_m": course.step_m,
            "source": course.report.source,
        },
        "verdict": verdict(found),
        "two_rings_win": found.two_wins,
        "near_tie": found.is_near_tie,
        "one_ring": _side_records(found.one),
        "two_rings": _side_records(found.two),
        "what_turns_it": what_turns_it(found),
        "levers": [_lever_records(found, curve) for curve in found.curves],
        "assumptions": {
            "rider": asdict(setting.rider),
            "bike_without_drivetrain": asdict(setting.bike),
            "conditions": asdict(setting.conditions),
            "told": [group_told(found), HOW_FOUND, *who_contends(found)],
        },
        "cautions": [*unsettled(found), *FIT_CAUTIONS, *CAUTIONS],
    }


def _side_row(found: Side) -> Row:
    contender, sheet, score = found.contender, found.sheet, found.contender.outcome.score
    minutes = {
        f"{state.replace(' ', '_')}_min": seconds / SECONDS_PER_MINUTE
        for state, seconds in score.seconds.items()
    }
    return {
        "rings": contender.rings,
        "name": contender.drivetrain.name,
        "gears_label": contender.drivetrain.label,
        "has_it": contender.has,
        "mismatch": score.mismatch,
        "finish_min": score.finish_s / SECONDS_PER_MINUTE,
        "stopped_min": score.stopped_s / SECONDS_PER_MINUTE,
        **minutes,
        "range_percent": sheet.range_percent,
        "gears": len(sheet.gears.ratio),
        "distinct_ratios": sheet.distinct_ratios,
        "largest_step_percent": sheet.largest_step_percent,
        "median_step_percent": sheet.median_step_percent,
        "lowest_speed_kmh": sheet.slowest_mps * KMH_PER_MPS,
        "top_speed_kmh": sheet.fastest_mps * KMH_PER_MPS,
        "rear_shifts_per_hour": score.rear_shifts_per_hour,
        "rear_clicks_per_hour": score.rear_clicks_per_hour,
        "front_shifts_per_hour": score.front_shifts_per_hour,
        "parts_to_adjust": contender.parts_to_adjust,
        **_longest(found),
        **_group(found),
        "largest_chain_angle_deg": math.degrees(found.chain_line.largest_rad),
        "crossed_percent": 100.0 * found.chain_line.crossed_share,
        "widest_tyre_mm": contender.room.largest_mm,
        "widest_tyre_by": contender.room.limit,
        "weight_kg": contender.mass_kg,
        "price": contender.price,
    }


def _longest(found: Side) -> Row:
    longest = found.longest
    return {
        "longest_gear": gear_name(found.ride.gears, longest.gear),
        "longest_gear_from_km": longest.start_m / 1000.0,
        "longest_gear_km": longest.road_m / 1000.0,
        "longest_gear_min": longest.seconds / SECONDS_PER_MINUTE,
    }


def _group(found: Side) -> Row:
    group = found.group
    slowest, fastest = (pace * KMH_PER_MPS for pace in group.paces_mps)
    return {
        "group_from_kmh": slowest,
        "group_to_kmh": fastest,
        "group_mean_off_rpm": group.mean_off_rpm,
        "group_worst_off_rpm": group.worst_off_rpm,
        "group_shift_changes_rpm": group.largest_change_rpm,
    }


def _side_records(found: Side) -> Row:
    contender = found.contender
    return _side_row(found) | {
        "settled": found.ride.settled,
        "ridden": found.ridden,
        "as_good": [each.drivetrain.name for each in found.as_good],
        "to_buy": list(contender.to_buy),
        "to_check": [f"{each.subject}: {each.reason}" for each in contender.cautions],
    }


def _lever_rows(curve: LeverCurve) -> list[Row]:
    rows = [
        _standing_row(curve, each, "as planned" if each.value == curve.own else "")
        for each in curve.standings
    ]
    turns = [turn for turn in (curve.down, curve.up) if turn is not None]
    return rows + [_standing_row(curve, turn.standing, "turn") for turn in turns]


def _standing_row(curve: LeverCurve, standing: Standing, what: str) -> Row:
    return {
        "lever": str(curve.lever),
        "value": standing.value,
        "unit": UNITS[curve.lever],
        "what": what,
        "one_ring_mismatch": _finite(standing.one),
        "two_rings_mismatch": _finite(standing.two),
        "near_tie": standing.is_near_tie,
        "one_ring": _name(standing.one_best),
        "two_rings": _name(standing.two_best),
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _name(best: Contender | None) -> str:
    return "" if best is None else best.drivetrain.name


def _lever_records(found: OneOrTwo, curve: LeverCurve) -> Row:
    low, high = curve.searched
    return {
        "lever": str(curve.lever),
        "meaning": HOW_CHANGED[curve.lever],
        "unit": UNITS[curve.lever],
        "own": curve.own,
        "searched_from": low,
        "searched_to": high,
        "turn_below": _turn_records(curve.down),
        "turn_above": _turn_records(curve.up),
        "told": lever_told(found, curve),
        "values": [_standing_row(curve, each, "") for each in curve.standings],
    }


def _turn_records(turn: Turn | None) -> Row | None:
    if turn is None:
        return None
    return {"value": turn.value, "by_room_for_the_tyre": turn.by_room}
