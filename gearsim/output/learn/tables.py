"""What was learnt, as a table and as records for programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from gearsim.course.recorded.recording import Recording
from gearsim.output.learn.bike_words import bike_lines
from gearsim.studies.learn.cadence import CadenceHabits
from gearsim.studies.learn.climbing import ClimbingPower
from gearsim.studies.learn.estimate import BELIEF, Estimate
from gearsim.studies.learn.gears import SeenGears
from gearsim.studies.learn.learn import Learnt
from gearsim.studies.learn.pace import Pace
from gearsim.studies.learn.resistance import Resistance
from gearsim.studies.learn.setup import learnt_bike, learnt_drivetrain, learnt_rider

if TYPE_CHECKING:
    import pandas as pd

GEAR_COLUMNS = (
    "development_m",
    "low_m",
    "high_m",
    "held_s",
    "occasions",
    "spread_percent",
    "stands_out",
    "sure",
)


def gears_table(learnt: Learnt) -> pd.DataFrame:
    """The gears that were seen, one row each; no rows where there are none."""
    import pandas as pd

    return pd.DataFrame(_gear_rows(learnt), columns=GEAR_COLUMNS)


def _gear_rows(learnt: Learnt) -> list[dict[str, Any]]:
    if not isinstance(learnt.gears, SeenGears):
        return []
    return [
        {
            "development_m": gear.development_m.value,
            "low_m": gear.development_m.low,
            "high_m": gear.development_m.high,
            "held_s": gear.held_s,
            "occasions": gear.occasions,
            "spread_percent": 100.0 * gear.spread,
            "stands_out": gear.stands_out,
            "sure": gear.sure,
        }
        for gear in learnt.gears.gears
    ]


def learnt_records(learnt: Learnt) -> dict[str, Any]:
    """All that was learnt, with intervals, as plain values."""
    drivetrain = learnt_drivetrain(learnt)
    return {
        "belief": BELIEF,
        "rides": [_ride_record(recording) for recording in learnt.recordings],
        "assumed": list(learnt.given.assumptions),
        "estimates": {name: asdict(found) for name, found in _estimates(learnt).items()},
        "wind_mps": list(learnt.resistance.wind_mps)
        if isinstance(learnt.resistance, Resistance)
        else [],
        "gears": _gear_rows(learnt),
        "parts": [
            {
                "chainset": match.chainset.name,
                "cassette": match.cassette.name,
                "chainrings": list(match.chainset.chainrings),
                "sprockets": list(match.cassette.sprockets),
                "circumference_mm": 1000.0 * match.circumference_m,
                "chance": match.chance,
                "found": match.found,
                "error": match.error,
            }
            for match in learnt.parts
        ],
        "rider": asdict(learnt_rider(learnt)),
        "bike": asdict(learnt_bike(learnt)),
        "drivetrain": None if drivetrain is None else asdict(drivetrain),
        "left_out": {line.key: line.left_out for line in bike_lines(learnt) if line.left_out},
        "not_learnt": [asdict(refusal) for refusal in learnt.refusals],
    }


def _ride_record(recording: Recording) -> dict[str, Any]:
    return {
        "file": recording.source,
        "length_km": recording.course.length_m / 1000.0,
        "elapsed_s": recording.elapsed_s,
        "moving_s": recording.moving_s,
        "stops": [asdict(stop) for stop in recording.stops],
        "has_power": recording.has_power,
        "has_cadence": recording.has_cadence,
    }


def _estimates(learnt: Learnt) -> dict[str, Estimate]:
    found: dict[str, Any] = {"descending_mps": learnt.descending_mps}
    if isinstance(learnt.pace, Pace):
        found["flat_power_w"] = learnt.pace.flat_w
        for name in ("uphill_factor", "downhill_factor", "stop_pedalling_mps"):
            found[name] = getattr(learnt.pace, name)
    if isinstance(learnt.climbing, ClimbingPower):
        found["climbing_power_w"] = learnt.climbing.power_w
        found["mass_asked_by_climbs_kg"] = learnt.climbing.asked_kg
    if isinstance(learnt.resistance, Resistance):
        found["drag_area_m2"] = learnt.resistance.drag_area_m2
        found["rolling_coefficient"] = learnt.resistance.rolling_coefficient
    if isinstance(learnt.cadence, CadenceHabits):
        found["target_cadence_rpm"] = learnt.cadence.target_rpm
        for what in ("band", "limits"):
            low, high = getattr(learnt.cadence, f"{what}_rpm")
            found |= {f"{what}_low_rpm": low, f"{what}_high_rpm": high}
    return {name: value for name, value in found.items() if isinstance(value, Estimate)}
