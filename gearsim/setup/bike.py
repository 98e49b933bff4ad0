"""What is ridden, apart from its gears."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.physics.wheel import wheel_circumference_m
from gearsim.setup.checked import Bounds, require_bounds
from gearsim.setup.possible import TYRE_MM
from gearsim.setup.rim_sizes import require_no_name

BOUNDS: Bounds = {
    "mass_kg": (3.0, 150.0),
    "drag_area_m2": (0.05, 2.0),
    "rim_mm": (200.0, 700.0),
    "tyre_mm": TYRE_MM,
    "tyre_rolling_factor": (0.2, 5.0),
    "wheel_inertia_kgm2": (0.0, 2.0),
    "chainstay_mm": (300.0, 900.0),
    "bearing_factor": (0.0, 10.0),
}


@dataclass(frozen=True, kw_only=True)
class Bike:
    """A bike: mass, wheels, drag area, and what its tyres do to rolling resistance.

    `mass_kg` is the bike ready to ride with bottles and bags; a drivetrain may add its own mass.
    `drag_area_m2` is CdA of bike and rider together.  `tyre_rolling_factor` multiplies the
    surface's rolling coefficient: 1 for an all-round tyre.  `wheel_inertia_kgm2` is that of both
    wheels.

    Raises `PlanError` when a value is outside what a bike can be.
    """

    name: str = "bike"
    mass_kg: float = 10.0
    drag_area_m2: float = 0.38
    rim_mm: float = 622.0
    tyre_mm: float = 40.0
    tyre_rolling_factor: float = 1.0
    wheel_inertia_kgm2: float = 0.20
    chainstay_mm: float = 430.0
    bearing_factor: float = 1.0

    def __post_init__(self) -> None:
        """Refuse what no bike can be."""
        require_no_name("bike.rim_mm", self.rim_mm)
        require_bounds("bike", self, BOUNDS)

    @property
    def circumference_m(self) -> float:
        """Rolling circumference of the driven wheel, m."""
        return float(wheel_circumference_m(self.rim_mm / 1000.0, self.tyre_mm / 1000.0))
