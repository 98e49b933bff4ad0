"""Who rides."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.setup.checked import (
    Bounds,
    require_between,
    require_bounds,
    require_increasing,
)
from gearsim.setup.effort import Effort
from gearsim.setup.possible import CADENCE_RPM, LARGEST_W, RIDING_W
from gearsim.units import MPS_PER_KMH

CRITICAL_POWER_PER_POWER = 1.3
"""Critical power assumed per watt of riding power where none is given: a long day ridden at
about three quarters of critical power (judgement, no source)."""

LARGEST_POWER_PER_CRITICAL = 1.8
"""Largest power assumed per watt of critical power (judgement, no source)."""

HOLDS_ITS_POWER = Effort()

BOUNDS: Bounds = {
    "mass_kg": (20.0, 250.0),
    "power_w": RIDING_W,
    "critical_power_w": RIDING_W,
    "reserve_j": (0.0, 100_000.0),
    "uphill_factor": (0.1, 3.0),
    "downhill_factor": (0.0, 3.0),
    "full_effect_grade": (0.001, 0.5),
    "stop_pedalling_mps": (2.0, 60.0),
    "descending_mps": (2.0, 60.0),
    "braking_mps2": (0.2, 8.0),
    "cornering": (0.1, 1.0),
    "slowest_riding_mps": (0.3, 3.0),
    "rear_shift_s": (0.0, 5.0),
    "front_shift_s": (0.0, 10.0),
    "rear_step_cost_s": (0.0, 60.0),
    "rear_jump_cost_s": (0.0, 60.0),
    "front_cost_s": (0.0, 120.0),
    "pushing_factor": (0.1, 1.5),
    "remount_s": (0.0, 120.0),
}


@dataclass(frozen=True, kw_only=True)
class Rider:
    """A rider: mass, power, the cadence they like and the cadence they can use.

    `power_w` is what the rider wants to hold on the flat; uphill and downhill it is multiplied
    by the factors, in full from `full_effect_grade` on and in proportion below it.  The reserve
    is the work available above critical power (W′ of the critical power model).  `effort` says
    whether that power is held, or what the ride's own duration allows.

    Raises `PlanError` when a value is outside what a rider can be.
    """

    name: str = "rider"
    mass_kg: float = 75.0
    power_w: float = 180.0
    critical_power_w: float | None = None
    reserve_j: float = 18_000.0
    largest_power_w: float | None = None
    target_cadence_rpm: float = 85.0
    band_rpm: tuple[float, float] = (75.0, 95.0)
    limits_rpm: tuple[float, float] = (50.0, 115.0)
    uphill_factor: float = 1.1
    downhill_factor: float = 0.8
    full_effect_grade: float = 0.04
    stop_pedalling_mps: float = 50.0 * MPS_PER_KMH
    descending_mps: float = 60.0 * MPS_PER_KMH
    braking_mps2: float = 2.0
    cornering: float = 0.8
    slowest_riding_mps: float = 1.0
    rear_shift_s: float = 0.2
    front_shift_s: float = 0.8
    rear_step_cost_s: float = 0.5
    rear_jump_cost_s: float = 1.0
    front_cost_s: float = 3.0
    pushing_factor: float = 0.8
    remount_s: float = 5.0
    effort: Effort = HOLDS_ITS_POWER

    def __post_init__(self) -> None:
        """Refuse what no rider can be."""
        require_bounds("rider", self, BOUNDS)
        if self.largest_power_w is not None:
            require_between("rider.largest_power_w", self.largest_power_w, self.power_w, LARGEST_W)
        require_increasing(
            "rider.limits_rpm, rider.band_rpm and rider.target_cadence_rpm",
            "low limit < low end of the band < target < high end of the band < high limit",
            (
                self.limits_rpm[0],
                self.band_rpm[0],
                self.target_cadence_rpm,
                self.band_rpm[1],
                self.limits_rpm[1],
            ),
        )
        for limit_rpm in self.limits_rpm:
            require_between("rider.limits_rpm", limit_rpm, *CADENCE_RPM)

    @property
    def critical_w(self) -> float:
        """Critical power in W: as given, else a stated multiple of the riding power."""
        if self.critical_power_w is None:
            return CRITICAL_POWER_PER_POWER * self.power_w
        return self.critical_power_w

    @property
    def largest_w(self) -> float:
        """Largest power the rider will push with, in W; never under what the pace asks for."""
        asked_w = self.power_w * max(self.uphill_factor, self.downhill_factor, 1.0)
        if self.largest_power_w is None:
            return max(LARGEST_POWER_PER_CRITICAL * self.critical_w, asked_w)
        return max(self.largest_power_w, asked_w)
