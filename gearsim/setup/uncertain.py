"""What is not known for certain of the rider, the bike and the day, and how it is weighed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearsim.errors import PlanError
from gearsim.setup.checked import Bounds, require_bounds, require_one_of, require_range
from gearsim.setup.conditions import Conditions

AVERAGE, WORST_REGRET = "average", "worst regret"
CHOICES = (AVERAGE, WORST_REGRET)

WET_WHERE_DRY, WET_WHERE_WET = 0.15, 0.9
"""Chance of wet ground assumed where the plan's conditions say dry, or wet (judgement)."""

LONG_WALK_M = 200.0
"""A long walk where the plan tells none (judgement, no source)."""

FACTORS = (0.3, 3.0)
BOUNDS: Bounds = {
    "wet_chance": (0.0, 1.0),
    "wind_spread_mps": (0.0, 20.0),
    "wind_turn_rad": (0.0, math.pi),
    "temperature_spread_c": (0.0, 30.0),
    "height_error_m": (0.0, 20.0),
    "height_error_over_m": (20.0, 5000.0),
    "wrong_stop_chance": (0.001, 0.5),
    "seed": (0, 2**32 - 1),
    "long_walk_m": (0.0, 100_000.0),
    "long_walk_s": (0.0, 86_400.0),
}


@dataclass(frozen=True, kw_only=True)
class Uncertain:
    """How far a day may differ from the plan.

    Ranges hold four days of five: one in ten lies below the low end and one in ten above the high
    end, normally distributed.  A `spread` is half such a range, to both sides of the plan's own
    value.  Factors multiply the plan's value.

    `power_factor`: all of the rider's powers, as one power.  Default: the model's own published
    error (95 % of climbs from -10.4 to +8.5 %, Millet et al. 2014, so 80 % within about ±6 %) and
    form on the day of about ±5 % (judgement), together ±8 %.
    `load_change_kg`: water, clothing and bags, added to the plan's (judgement).
    `drag_area_factor`: position and clothing (judgement).
    `rolling_factor`: tyre, pressure and ground; narrower than the bands for one surface that
    `course/surface.py` names (judgement).
    `wet_chance`: of wet ground; None: 0.9 where the plan says wet, else 0.15 (judgement).
    `wind_spread_mps`, `wind_turn_rad`: of the forecast's speed and direction; 10 m wind of a
    short forecast is off by some 1.5 m/s, root mean square (from memory).  Where the plan has no
    wind, any direction is as likely.
    `temperature_spread_c`: of the forecast (judgement).
    `height_error_m`: standard deviation of what is wrong with the course's heights after
    smoothing, which stays much the same over `height_error_over_m`; the grades' own standard
    deviation is the first over the second, 0.5 % (judgement).

    A walk is long from `long_walk_m` of road, or `long_walk_s`, on; None for both: 200 m.
    `choose_by` is "average" or "worst regret".  With `stop_early` no more days are ridden once the
    order is settled, which is wrong with a chance of `wrong_stop_chance` at most.  Another `seed`
    makes other days.

    Raises `PlanError` for values that no day has.
    """

    power_factor: tuple[float, float] = (0.92, 1.08)
    load_change_kg: tuple[float, float] = (-1.5, 1.5)
    drag_area_factor: tuple[float, float] = (0.92, 1.08)
    rolling_factor: tuple[float, float] = (0.85, 1.15)
    wet_chance: float | None = None
    wind_spread_mps: float = 2.0
    wind_turn_rad: float = 30.0 * math.pi / 180.0
    temperature_spread_c: float = 3.0
    height_error_m: float = 0.5
    height_error_over_m: float = 100.0
    long_walk_m: float | None = None
    long_walk_s: float | None = None
    choose_by: str = AVERAGE
    stop_early: bool = True
    wrong_stop_chance: float = 0.05
    seed: int = 1

    def __post_init__(self) -> None:
        """Refuse what no day can be."""
        for name in ("power_factor", "drag_area_factor", "rolling_factor"):
            require_range(f"days.{name}", getattr(self, name), *FACTORS)
        require_range("days.load_change_kg", self.load_change_kg, -50.0, 50.0)
        require_bounds("days", self, BOUNDS)
        require_one_of("days.choose_by", self.choose_by, CHOICES)
        if self.long_walk_m is not None and self.long_walk_s is not None:
            raise PlanError("days.long_walk_m and long_walk_s are both there; give one of them")

    def chance_of_wet(self, conditions: Conditions) -> float:
        """Chance of wet ground: as given, else by what the plan's conditions say."""
        if self.wet_chance is None:
            return WET_WHERE_WET if conditions.wet else WET_WHERE_DRY
        return self.wet_chance

    def is_long_walk(self, walked_m: float, walked_s: float) -> bool:
        """Whether a walk of so many metres and seconds is more than the plan's long walk."""
        if self.long_walk_s is not None:
            return walked_s > self.long_walk_s
        return walked_m > (LONG_WALK_M if self.long_walk_m is None else self.long_walk_m)
