"""What was learnt, and replays, as tables and as records for programs."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from gearsim.course.recorded.recording import Recording
from gearsim.output.learn.bike_words import bike_lines
from gearsim.output.learn.names import names_of
from gearsim.studies.learn.cadence import CadenceHabits
from gearsim.studies.learn.climbing import ClimbingPower
from gearsim.studies.learn.estimate import BELIEF, Estimate
from gearsim.studies.learn.gears import SeenGears
from gearsim.studies.learn.learn import Learnt
from gearsim.studies.learn.pace import Pace
from gearsim.studies.learn.resistance import Resistance
from gearsim.studies.learn.setup import learnt_bike, learnt_drivetrain, learnt_rider
from gearsim.studies.replay.replay import Replay, error_together, powered_error_together
from gearsim.units import KMH_PER_MPS

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


def replay_table(replays: tuple[Replay, ...]) -> pd.DataFrame:
    """Time and speed by class of grade for every replay, and its whole, one row each."""
    import pandas as pd

    return pd.DataFrame([row for replay in replays for row in _replay_rows(replay)])


def _replay_rows(replay: Replay) -> list[dict[str, Any]]:
    powered = replay.powered
    name = _names(replay)[0]
    rows = [
        {
            "ride": name,
            "grade": one.name,
            "length_km": one.length_m / 1000.0,
            "recorded_s": one.recorded_s,
            "by_learnt_pace_s": one.predicted_s,
            "by_recorded_power_s": one.powered_s,
            "recorded_kmh": _kmh(one.speed_mps(one.recorded_s)),
            "by_learnt_pace_kmh": _kmh(one.speed_mps(one.predicted_s)),
        }
        for one in replay.classes
    ]
    length_m = float(replay.recording.course.road_length_m.sum())
    rows.append(
        {
            "ride": name,
            "grade": "all",
            "length_km": length_m / 1000.0,
            "recorded_s": replay.moving_s,
            "by_learnt_pace_s": replay.ride.finish_s,
            "by_recorded_power_s": None if powered is None else powered.finish_s,
            "recorded_kmh": _kmh(length_m / replay.moving_s),
            "by_learnt_pace_kmh": _kmh(length_m / replay.ride.finish_s),
        }
    )
    return rows


def _names(replay: Replay) -> tuple[str, ...]:
    """The replayed ride's name, then those of the rides that taught."""
    return names_of((replay.recording, *replay.learnt.recordings))


def _kmh(speed_mps: float) -> float | None:
    return None if math.isnan(speed_mps) else KMH_PER_MPS * speed_mps


def replay_records(replays: tuple[Replay, ...]) -> dict[str, Any]:
    """Every replay's errors and classes of grade, as plain values."""
    return {
        "replays": [_replay_record(replay) for replay in replays],
        "error_by_learnt_pace_together": error_together(replays),
        "error_by_recorded_power_together": powered_error_together(replays),
    }


def _replay_record(replay: Replay) -> dict[str, Any]:
    use = replay.gear_use
    name, *taught = _names(replay)
    return {
        "ride": name,
        "file": replay.recording.source,
        "learnt_from": taught,
        "moving_s": replay.moving_s,
        "by_learnt_pace_s": replay.ride.finish_s,
        "error_by_learnt_pace": replay.error,
        "error_by_recorded_power": replay.powered_error,
        "recorded_kj": None if replay.recorded_work_j is None else replay.recorded_work_j / 1000.0,
        "predicted_kj": replay.ride.energy.pedalling_j / 1000.0,
        "gears_in_common": None if use is None else use.overlap,
        "by_grade": _replay_rows(replay),
    }
