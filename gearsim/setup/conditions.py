"""In what: air, wind and wetness of the day."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearsim.setup.checked import Bounds, require_bounds

BOUNDS: Bounds = {
    "temperature_c": (-40.0, 55.0),
    "relative_humidity": (0.0, 1.0),
    "pressure_pa": (40_000.0, 110_000.0),
    "reference_height_m": (-500.0, 6000.0),
    "wind_mps": (0.0, 40.0),
    "wind_from_rad": (-2.0 * math.pi, 2.0 * math.pi),
    "wind_share": (0.0, 1.5),
}


@dataclass(frozen=True, kw_only=True)
class Conditions:
    """The day: air temperature and humidity, wind, wet or dry.

    `wind_mps` is the wind as forecast, 10 m above open ground; `wind_from_rad` is where it comes
    from, clockwise from north; `wind_share` is the part of it that reaches the rider (0.6: a
    logarithmic profile over grassland, roughness 0.03 m, from 10 m down to 1 m).
    `temperature_c` and `pressure_pa` are those at `reference_height_m`; air density at the
    course's own height follows.  Where pressure is not given, the standard atmosphere's is used.

    Raises `PlanError` when a value is outside what weather can be.
    """

    temperature_c: float = 15.0
    relative_humidity: float = 0.5
    pressure_pa: float | None = None
    reference_height_m: float = 0.0
    wind_mps: float = 0.0
    wind_from_rad: float = 0.0
    wind_share: float = 0.6
    wet: bool = False

    def __post_init__(self) -> None:
        """Refuse what no day can be."""
        require_bounds("conditions", self, BOUNDS)
