"""Replays as tables and as records for programs."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from gearsim.output.learn.names import names_of
from gearsim.ride.ride import Ride
from gearsim.studies.replay.replay import Replay, error_together, powered_error_together
from gearsim.studies.replay.use import CADENCE_EDGES_RPM, common_share, predicted_cadence
from gearsim.units import KMH_PER_MPS

if TYPE_CHECKING:
    import pandas as pd

Floats = NDArray[np.float64]

USE_COLUMNS = (
    "ride",
    "by",
    "from",
    "to",
    "recorded_percent",
    "by_learnt_pace_percent",
    "by_recorded_power_percent",
)


def replay_table(replays: tuple[Replay, ...]) -> pd.DataFrame:
    """Time and speed by class of grade for every replay, and its whole, one row each."""
    import pandas as pd

    return pd.DataFrame([row for replay in replays for row in _grade_rows(replay)])


def use_table(replays: tuple[Replay, ...]) -> pd.DataFrame:
    """Share of pedalling time by cadence (rpm) and by gear (m a crank turn), one row each.

    No rows for what cannot be compared.
    """
    import pandas as pd

    rows = [row for one in replays for row in (*_cadence_rows(one), *_gear_rows(one))]
    return pd.DataFrame(rows, columns=USE_COLUMNS)


def replay_records(replays: tuple[Replay, ...]) -> dict[str, Any]:
    """Every replay's errors, classes of grade, cadence and gears, as plain values."""
    return {
        "replays": [_record(replay) for replay in replays],
        "error_by_learnt_pace_together": error_together(replays),
        "error_by_recorded_power_together": powered_error_together(replays),
    }


def _record(replay: Replay) -> dict[str, Any]:
    name, *taught = _names(replay)
    powered, drivetrain = replay.powered, replay.ride.drivetrain
    return {
        "ride": name,
        "file": replay.recording.source,
        "learnt_from": taught,
        "gears_found": replay.gears_found,
        "chainrings": list(drivetrain.chainrings),
        "sprockets": list(drivetrain.sprockets),
        "moving_s": replay.moving_s,
        "by_learnt_pace_s": replay.ride.moving_s,
        "by_recorded_power_s": None if powered is None else powered.moving_s,
        "error_by_learnt_pace": replay.error,
        "error_by_recorded_power": replay.powered_error,
        "recorded_kj": None if replay.recorded_work_j is None else replay.recorded_work_j / 1000.0,
        "by_learnt_pace_kj": replay.ride.energy.pedalling_j / 1000.0,
        "by_recorded_power_kj": None if powered is None else powered.energy.pedalling_j / 1000.0,
        **_in_common(replay),
        "by_grade": _grade_rows(replay),
        "by_cadence": _cadence_rows(replay),
        "by_gear": _gear_rows(replay),
    }


def _in_common(replay: Replay) -> dict[str, float | None]:
    """Share of pedalling time in the same class of cadence, and in the same gear."""
    found: dict[str, float | None] = {}
    for way, ride in (("by_learnt_pace", replay.ride), ("by_recorded_power", replay.powered)):
        cadence = None
        if replay.cadence is not None and replay.gears_found and ride is not None:
            cadence = common_share(replay.cadence.shares, predicted_cadence(ride).shares)
        found[f"cadence_in_common_{way}"] = cadence
    use = replay.gear_use
    found["gears_in_common_by_learnt_pace"] = (
        None if use is None else common_share(use.recorded, use.by_pace)
    )
    found["gears_in_common_by_recorded_power"] = (
        None if use is None or use.by_power is None else common_share(use.recorded, use.by_power)
    )
    return found


def _grade_rows(replay: Replay) -> list[dict[str, Any]]:
    powered = replay.powered
    classes = [
        (one.name, one.length_m, one.recorded_s, one.predicted_s, one.powered_s)
        for one in replay.classes
    ]
    length_m = float(replay.recording.course.road_length_m.sum())
    powered_s = None if powered is None else powered.moving_s
    whole = ("all", length_m, replay.moving_s, replay.ride.moving_s, powered_s)
    return [
        {
            "ride": _names(replay)[0],
            "grade": name,
            "length_km": metres / 1000.0,
            "recorded_s": recorded_s,
            "by_learnt_pace_s": paced_s,
            "by_recorded_power_s": powered_s,
            "recorded_kmh": _kmh(metres, recorded_s),
            "by_learnt_pace_kmh": _kmh(metres, paced_s),
            "by_recorded_power_kmh": _kmh(metres, powered_s),
        }
        for name, metres, recorded_s, paced_s, powered_s in (*classes, whole)
    ]


def _cadence_rows(replay: Replay) -> list[dict[str, Any]]:
    if replay.cadence is None or not replay.gears_found:
        return []
    shares = (replay.cadence.shares, *map(_cadence_shares, (replay.ride, replay.powered)))
    ends = pairwise(float(edge) for edge in CADENCE_EDGES_RPM)
    return _use_rows(replay, "cadence_rpm", list(ends), shares)


def _cadence_shares(ride: Ride | None) -> Floats | None:
    return None if ride is None else predicted_cadence(ride).shares


def _gear_rows(replay: Replay) -> list[dict[str, Any]]:
    use = replay.gear_use
    if use is None:
        return []
    ends = [(float(metres), float(metres)) for metres in use.development_m]
    return _use_rows(replay, "development_m", ends, (use.recorded, use.by_pace, use.by_power))


def _use_rows(
    replay: Replay,
    kind: str,
    ends: list[tuple[float, float]],
    shares: tuple[Floats | None, ...],
) -> list[dict[str, Any]]:
    name = _names(replay)[0]
    columns = [[None] * len(ends) if s is None else (100.0 * s).tolist() for s in shares]
    return [
        dict(zip(USE_COLUMNS, (name, kind, *end, *percents), strict=True))
        for end, *percents in zip(ends, *columns, strict=True)
    ]


def _names(replay: Replay) -> tuple[str, ...]:
    """The replayed ride's name, then those of the rides that taught."""
    return names_of((replay.recording, *replay.learnt.recordings))


def _kmh(length_m: float, seconds: float | None) -> float | None:
    if seconds is None or not seconds > 0.0 or math.isnan(length_m):
        return None
    return KMH_PER_MPS * length_m / seconds
