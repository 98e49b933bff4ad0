"""A comparison as tables for people and as records for programs."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import numpy as np

from gearsim.course.climbs import total_climb_m
from gearsim.output.cautions import comparison_cautions
from gearsim.output.comparison.reasons import reason
from gearsim.output.comparison.verdict import verdict
from gearsim.output.fit.misfits import fit_columns
from gearsim.output.words import what_happens
from gearsim.ride.why import why
from gearsim.setup.steps import distinct_ratios, gear_speed_mps, range_percent, steps_percent
from gearsim.studies.compare import Candidate, Comparison, ride_columns
from gearsim.units import KMH_PER_MPS

if TYPE_CHECKING:
    import pandas as pd

Row = dict[str, Any]


def comparison_table(comparison: Comparison) -> pd.DataFrame:
    """One row a candidate, the best first; the unit of every column is in its name.

    Steps are those between neighbouring gears on one ring (NaN for a single gear); speeds are
    those of the highest gear at the high limit of cadence and of the lowest at the low one.
    `chainrings` is 0 for a hub gear or gearbox, and `mass_kg` is what the drivetrain adds to the
    bike's mass.  `fit_as_told` is empty where nothing was told that parts could be held against.
    """
    import pandas as pd

    return pd.DataFrame(_comparison_rows(comparison))


def worst_places_table(comparison: Comparison) -> pd.DataFrame:
    """One row a place, worst first, candidate by candidate in rank order."""
    import pandas as pd

    columns = list(_WORST_COLUMNS)
    return pd.DataFrame(
        [row for candidate in comparison.candidates for row in _worst_rows(candidate)],
        columns=columns,
    )


def comparison_records(comparison: Comparison) -> dict[str, Any]:
    """Everything of both tables, with what was assumed, in plain types ready for JSON.

    Numbers that do not exist (a step in a drivetrain of one gear) are None.
    """
    rows = _comparison_rows(comparison)
    candidates = [
        {**row, "settled": candidate.ride.settled, "worst_places": _worst_rows(candidate)}
        for row, candidate in zip(rows, comparison.candidates, strict=True)
    ]
    records: dict[str, Any] = _plain(
        {
            "route": _route(comparison),
            "candidates": candidates,
            "assumptions": _assumptions(comparison),
            "verdict": verdict(comparison),
            "cautions": comparison_cautions(comparison),
        }
    )
    return records


def _comparison_rows(comparison: Comparison) -> list[Row]:
    return [
        {
            "name": candidate.name,
            "rank": rank,
            "gears_label": candidate.ride.drivetrain.label,
            **ride_columns(candidate),
            **_gear_columns(candidate),
            **fit_columns(candidate),
        }
        for rank, candidate in enumerate(comparison.candidates, start=1)
    ]


def _gear_columns(candidate: Candidate) -> Row:
    ride = candidate.ride
    gears, (low_limit, high_limit) = ride.gears, ride.rider.limits_rpm
    steps = steps_percent(gears)
    top_mps = gear_speed_mps(gears, gears.highest, high_limit)
    lowest_mps = gear_speed_mps(gears, gears.lowest, low_limit)
    return {
        "chainrings": len(ride.drivetrain.chainrings),
        "gears": len(gears.ratio),
        "distinct_ratios": distinct_ratios(gears),
        "largest_step_percent": float(steps.max()) if len(steps) else math.nan,
        "median_step_percent": float(np.median(steps)) if len(steps) else math.nan,
        "range_percent": range_percent(gears),
        "top_speed_kmh": top_mps * KMH_PER_MPS,
        "lowest_speed_kmh": lowest_mps * KMH_PER_MPS,
        "mass_kg": ride.drivetrain.mass_kg,
    }


_WORST_COLUMNS = (
    "candidate",
    "km",
    "length_m",
    "grade_percent",
    "what_happens",
    "seconds",
    "cadence_rpm",
    "speed_kmh",
    "why",
)


def _worst_rows(candidate: Candidate) -> list[Row]:
    ride, reasons = candidate.ride, why(candidate.ride, candidate.worst)
    return [
        {
            "candidate": candidate.name,
            "km": place.start_m / 1000.0,
            "length_m": place.length_m,
            "grade_percent": 100.0 * place.grade,
            "what_happens": what_happens(place.state, place.cause),
            "seconds": place.seconds,
            "cadence_rpm": place.cadence_rpm,
            "speed_kmh": place.speed_mps * KMH_PER_MPS,
            "why": reason(ride, place, because),
        }
        for place, because in zip(candidate.worst, reasons, strict=True)
    ]


def _route(comparison: Comparison) -> Row:
    course = comparison.candidates[0].ride.course
    return {
        "name": course.name,
        "length_km": course.length_m / 1000.0,
        "climb_m": total_climb_m(course),
        "step_m": course.step_m,
        "source": course.report.source,
    }


def _assumptions(comparison: Comparison) -> Row:
    """Who rode, on what, in what, in the units of the Python interface (SI and rpm)."""
    ride = comparison.candidates[0].ride
    rider = asdict(ride.rider) | {
        "critical_power_w": ride.rider.critical_w,
        "largest_power_w": ride.rider.largest_w,
    }
    bike = asdict(ride.bike) | {"circumference_m": ride.bike.circumference_m}
    return {"rider": rider, "bike": bike, "conditions": asdict(ride.conditions)}


def _plain(value: Any) -> Any:
    """The value in JSON's own types; numbers that are not finite become None."""
    if isinstance(value, dict):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, np.generic):
        value = value.item()
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
