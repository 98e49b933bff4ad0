"""What a ride was computed with: every value of rider, bike, day and score, for people."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Any

from gearsim.course.course import Course
from gearsim.course.shares import length_by_surface_m
from gearsim.output.effort_words import effort_rule
from gearsim.output.report.parts import Row, Table
from gearsim.output.words import at_least_shown, clean, share
from gearsim.ride.ride import Ride
from gearsim.ride.score import Weights
from gearsim.units import KMH_PER_MPS

NAMES = ("name",)  # told in the caption


@dataclass(frozen=True, kw_only=True)
class _Told:
    """How a field is told: its label, its unit, and how its value is shown."""

    label: str
    unit: str = ""
    times: float = 1.0
    shown: Callable[[Any], str] | None = None


def _span(value: tuple[float, float]) -> str:
    return f"{value[0]:g}-{value[1]:g}"


_SPEED: dict[str, Any] = {"unit": "km/h", "times": KMH_PER_MPS}
_SHARE: dict[str, Any] = {"unit": "%", "times": 100.0}

_RIDER = {
    "mass_kg": _Told(label="mass", unit="kg"),
    "power_w": _Told(label="power held for the ride", unit="W"),
    "critical_power_w": _Told(label="critical power", unit="W"),
    "reserve_j": _Told(label="reserve above critical power", unit="kJ", times=0.001),
    "largest_power_w": _Told(label="largest power", unit="W"),
    "target_cadence_rpm": _Told(label="cadence aimed at", unit="rpm"),
    "band_rpm": _Told(label="band of cadence liked", unit="rpm", shown=_span),
    "limits_rpm": _Told(label="limits of cadence", unit="rpm", shown=_span),
    "uphill_factor": _Told(label="power uphill", unit="% of that held", times=100.0),
    "downhill_factor": _Told(label="power downhill", unit="% of that held", times=100.0),
    "full_effect_grade": _Told(label="both in full from a grade of", **_SHARE),
    "stop_pedalling_mps": _Told(label="stops pedalling above", **_SPEED),
    "descending_mps": _Told(label="fastest descent dared", **_SPEED),
    "braking_mps2": _Told(label="braking ahead of bends", unit="m/s²"),
    "cornering": _Told(label="grip used in bends", **_SHARE),
    "slowest_riding_mps": _Told(label="slowest speed upright", **_SPEED),
    "rear_shift_s": _Told(label="rear shift without drive", unit="s"),
    "front_shift_s": _Told(label="front shift without drive", unit="s"),
    "rear_step_cost_s": _Told(label="dislike of a rear shift", unit="s"),
    "rear_jump_cost_s": _Told(label="dislike of a rear jump", unit="s"),
    "front_cost_s": _Told(label="dislike of a front shift", unit="s"),
    "pushing_factor": _Told(label="speed pushing the bike", unit="% of walking", times=100.0),
    "remount_s": _Told(label="time to get back on", unit="s"),
    "effort": _Told(label="effort over the day", shown=effort_rule),
}
_BIKE = {
    "mass_kg": _Told(label="mass, ready to ride", unit="kg"),
    "drag_area_m2": _Told(label="drag area, with rider", unit="m²"),
    "rim_mm": _Told(label="rim, bead seat", unit="mm"),
    "tyre_mm": _Told(label="tyre width", unit="mm"),
    "tyre_rolling_factor": _Told(label="tyre's rolling, all-round tyre 1", unit="×"),
    "wheel_inertia_kgm2": _Told(label="inertia of both wheels", unit="kg·m²"),
    "chainstay_mm": _Told(label="chainstay", unit="mm"),
    "bearing_factor": _Told(label="bearing losses, usual 1", unit="×"),
}
_DAY = {
    "temperature_c": _Told(label="temperature", unit="°C"),
    "relative_humidity": _Told(label="humidity", **_SHARE),
    "pressure_pa": _Told(label="air pressure", unit="hPa", times=0.01),
    "reference_height_m": _Told(label="weather told for a height of", unit="m"),
    "wind_mps": _Told(label="wind forecast", **_SPEED),
    "wind_from_rad": _Told(label="wind from", unit="° from north", times=180.0 / math.pi),
    "wind_share": _Told(label="wind that reaches the rider", **_SHARE),
    "wet": _Told(label="ground", shown=lambda wet: "wet" if wet else "dry"),
}
_SCORE = {
    "at_limit": _Told(label="at a limit of cadence, less towards the band"),
    "spun_out": _Told(label="spun out"),
    "below_lowest_gear": _Told(label="below the lowest gear"),
    "walking": _Told(label="walking"),
}


def assumption_tables(ride: Ride, weights: Weights) -> tuple[Table, ...]:
    """Every value of rider, bike, day and score; those that are defaults are marked so."""
    rider, bike, day = ride.rider, ride.bike, ride.conditions
    worked_out = {
        "critical_power_w": f"{rider.critical_w:.0f} W, from the power held",
        "largest_power_w": f"{rider.largest_w:.0f} W, from critical power",
        "pressure_pa": "standard atmosphere",
    }
    return (
        _table(f"Rider: {clean(rider.name)}", _RIDER, rider, worked_out),
        _table(f"Bike: {clean(bike.name)}", _BIKE, bike, {}),
        _table("The day", _DAY, day, worked_out),
        _table("What a second counts in the mismatch", _SCORE, weights, {}),
    )


def _table(caption: str, told: dict[str, _Told], value: Any, worked_out: dict[str, str]) -> Table:
    rows = []
    for field in fields(value):
        found = getattr(value, field.name)
        if field.name in NAMES:
            continue
        words = told.get(field.name) or _Told(label=field.name.replace("_", " "), shown=str)
        text = worked_out.get(field.name, "none") if found is None else _shown(words, found)
        mark = "default" if field.default == found else "given"
        rows.append(Row(title=words.label, cells=(text, mark)))
    return Table(
        caption=caption,
        corner="what",
        heads=("value", "from"),
        rows=tuple(rows),
        worded=(0,),
    )


def _shown(words: _Told, value: Any) -> str:
    text = words.shown(value) if words.shown else f"{value * words.times:.4g}"
    return f"{text} {words.unit}".strip()


def surface_table(course: Course) -> Table:
    """The surfaces of the course: how much of each, how hard it rolls, and where that is from."""
    lengths_m = length_by_surface_m(course)
    by_name = {surface.name: surface for surface in course.surfaces}
    rows = [
        Row(
            title=name,
            cells=(
                at_least_shown(length_m / 1000.0, 1),
                share(length_m / course.length_m),
                f"{by_name[name].rolling_coefficient:.3f}",
                f"{by_name[name].wet_rolling_factor:.2f}",
            ),
            note=by_name[name].standing,
        )
        for name, length_m in lengths_m.items()
    ]
    return Table(
        caption="Surfaces, their rolling coefficients and where those are from",
        corner="surface",
        heads=("km", "share", "rolling, dry", "× when wet"),
        rows=tuple(rows),
        titled=True,
    )
