"""The keys of a plan: which there are, in which section, of which type, and in which unit.

A section's keys are the fields of the value it becomes (`Rider`, `Bike`, ...), under the same
names except where a plan speaks the units of the edge (km/h, %, degrees, kJ, hPa): those are in
the table `EDGES`.
"""

from __future__ import annotations

import math
from dataclasses import fields
from typing import Annotated, Any, NamedTuple, get_type_hints

from pydantic import BaseModel, ConfigDict, Field, Strict, create_model

from gearsim.course.stops import Stop
from gearsim.course.surface import SurfaceStretch
from gearsim.ride.score import Weights
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.effort import Effort
from gearsim.setup.frame import Frame
from gearsim.setup.outing_limits import OutingLimits
from gearsim.setup.rider import Rider
from gearsim.setup.uncertain import Uncertain
from gearsim.setup.wishes import Wishes
from gearsim.units import KMH_PER_MPS, SECONDS_PER_HOUR, SECONDS_PER_MINUTE

Table = dict[str, Any]


class Edge(NamedTuple):
    """A field's key in the plan; the field is the plan's number times `times`, over `over`.

    Two numbers, because 10.8 km/h must come out as 3 m/s exactly where 3 m/s is the limit.
    """

    key: str
    times: float = 1.0
    over: float = 1.0


EDGES = {
    "reserve_j": Edge("reserve_kj", times=1000.0),
    "held_share": Edge("held_percent", over=100.0),
    "work_loss": Edge("work_loss_percent", over=100.0),
    "full_effect_grade": Edge("full_effect_percent", over=100.0),
    "stop_pedalling_mps": Edge("stop_pedalling_kmh", over=KMH_PER_MPS),
    "descending_mps": Edge("descending_kmh", over=KMH_PER_MPS),
    "slowest_riding_mps": Edge("slowest_riding_kmh", over=KMH_PER_MPS),
    "cornering": Edge("cornering_percent", over=100.0),
    "relative_humidity": Edge("humidity_percent", over=100.0),
    "pressure_pa": Edge("pressure_hpa", times=100.0),
    "wind_mps": Edge("wind_kmh", over=KMH_PER_MPS),
    "wind_from_rad": Edge("wind_from_deg", times=math.pi, over=180.0),
    "wind_share": Edge("wind_share_percent", over=100.0),
    "wet_chance": Edge("wet_chance_percent", over=100.0),
    "wind_spread_mps": Edge("wind_spread_kmh", over=KMH_PER_MPS),
    "wind_turn_rad": Edge("wind_turn_deg", times=math.pi, over=180.0),
    "long_walk_s": Edge("long_walk_min", times=SECONDS_PER_MINUTE),
    "wrong_stop_chance": Edge("wrong_stop_percent", over=100.0),
    "most_below_s": Edge("most_below_min", times=SECONDS_PER_MINUTE),
    "longest_ride_s": Edge("longest_ride_h", times=SECONDS_PER_HOUR),
}
"""The fields that a plan gives under another name and in another unit."""

FIELDS = {edge.key: field for field, edge in EDGES.items()}

VALUES: dict[str, type] = {
    "rider": Rider,
    "effort": Effort,
    "bike": Bike,
    "frame": Frame,
    "conditions": Conditions,
    "days": Uncertain,
    "score": Weights,
    "search": Wishes,
    "fleet": OutingLimits,
    "surface": SurfaceStretch,
    "stop": Stop,
    "drivetrain": Drivetrain,
}
"""What each section of a plan becomes."""

REPEATED = ("surface", "stop", "drivetrain")
WITH_SECTIONS = {"rider": ("effort",)}
"""The fields of a value that have sections of their own."""
LISTS = ("athletes", "bikes", "guests")
"""The keys that name CSV lists."""

STAND_INS: dict[str, Table] = {
    "surface": {"from_km": 0.0, "to_km": math.inf, "surface": "tarmac"},
    "drivetrain": {"chainrings": (40,), "sprockets": (11,), "ratios": (1.0,)},
    "stop": {"minutes": 1.0},
}
"""What keys that a value cannot do without are while its other faults are looked for."""

NEEDED = {
    "route": 'name the GPX file at the top of the plan, such as route = "route.gpx"',
    "drivetrain": "give at least one [[drivetrain]] with chainrings and sprockets",
}


class Kind(NamedTuple):
    """How a key's type is checked, and what it is called."""

    checked: Any
    words: str


Whole = Annotated[int, Field(ge=-(2**63), lt=2**63)]  # TOML's own range
KINDS: dict[Any, Kind] = {
    str: Kind(str, "text in quotes"),
    str | None: Kind(str, "text in quotes"),
    bool: Kind(bool, "true or false"),
    bool | None: Kind(bool, "true or false"),
    int: Kind(Whole, "a whole number"),
    int | None: Kind(Whole, "a whole number"),
    float: Kind(float, "a plain number"),
    float | None: Kind(float, "a plain number"),
    tuple[str, ...]: Kind(
        Annotated[tuple[str, ...], Strict(False)], 'a list of texts, such as ["parts.toml"]'
    ),
    tuple[int, ...]: Kind(
        Annotated[tuple[Whole, ...], Strict(False)], "a list of whole numbers, such as [11, 13, 15]"
    ),
    tuple[float, ...]: Kind(
        Annotated[tuple[float, ...], Strict(False)], "a list of numbers, such as [0.8, 1.0, 1.25]"
    ),
    tuple[float, float]: Kind(
        Annotated[tuple[float, float], Strict(False)], "two numbers in a list, such as [75, 95]"
    ),
}
"""By type of a field; what is a tuple inside is a list in TOML."""

STRICT = ConfigDict(strict=True, extra="forbid", allow_inf_nan=False)


def key_of(field: str) -> str:
    """The key under which a plan gives a field."""
    return EDGES[field].key if field in EDGES else field


def _kinds_of(section: str, value: type) -> dict[str, Kind]:
    hints, apart = get_type_hints(value), WITH_SECTIONS.get(section, ())
    names = [field.name for field in fields(value) if field.name not in apart]
    return {key_of(name): KINDS[hints[name]] for name in names}


def _model(name: str, kinds: dict[str, Kind]) -> type[BaseModel]:
    keys: Table = {key: (kind.checked, None) for key, kind in kinds.items()}
    return create_model(name, __config__=STRICT, **keys)


def _section_kind(section: str, value: type) -> Kind:
    model: Any = _model(value.__name__, _kinds_of(section, value))
    if section in REPEATED:
        words = f"tables headed [[{section}]], two brackets on either side"
        return Kind(Annotated[tuple[model, ...], Strict(False)], words)
    return Kind(model, f"one table headed [{section}]")


TOP = {
    "route": KINDS[str],
    "step_m": KINDS[float],
    "default_surface": KINDS[str],
    "athletes": KINDS[str],
    "bikes": KINDS[str],
    "guests": KINDS[str],
    **{section: _section_kind(section, value) for section, value in VALUES.items()},
}
KEYS = {"": TOP, **{section: _kinds_of(section, value) for section, value in VALUES.items()}}
"""Every key of a plan by section; "" is the top."""

PlanKeys = _model("PlanKeys", TOP)
