"""What is taken for a guest of whom only an ability class is told.

Judgement, no source, for grown-ups in ordinary health on a day out; nobody is measured by it.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from gearsim.setup.rider import Rider
from gearsim.units import MPS_PER_KMH


@dataclass(frozen=True, kw_only=True)
class Ability:
    """A class of guests: power and reserve by body mass, cadences, and how they ride downhill.

    Powers in W per kg of the guest: held on the flat, and critical; the reserve in J per kg.  The
    other fields are the rider's, under the same names.
    """

    power_w_per_kg: float
    critical_w_per_kg: float
    reserve_j_per_kg: float
    target_cadence_rpm: float
    band_rpm: tuple[float, float]
    limits_rpm: tuple[float, float]
    uphill_factor: float
    stop_pedalling_mps: float
    descending_mps: float
    braking_mps2: float
    cornering: float
    slowest_riding_mps: float
    remount_s: float

    def rider(self, name: str, mass_kg: float) -> Rider:
        """A guest of this class; raises `PlanError` for a mass that no rider has."""
        as_told = asdict(self)
        power_w, critical_w, reserve_j = (
            as_told.pop(f"{quantity}_per_kg") * mass_kg
            for quantity in ("power_w", "critical_w", "reserve_j")
        )
        return Rider(
            name=name,
            mass_kg=mass_kg,
            power_w=power_w,
            critical_power_w=critical_w,
            reserve_j=reserve_j,
            **as_told,
        )


def _kmh(*speeds: float) -> tuple[float, ...]:
    return tuple(speed * MPS_PER_KMH for speed in speeds)


CLASSES = ("new to riding", "now and then", "every week", "strong")
"""The classes, the weakest first."""

BY_CLASS: dict[str, tuple[Any, ...]] = {
    "power_w_per_kg": (1.0, 1.4, 1.9, 2.6),
    "critical_w_per_kg": (1.5, 2.0, 2.7, 3.6),
    "reserve_j_per_kg": (130.0, 170.0, 210.0, 250.0),
    "target_cadence_rpm": (65.0, 72.0, 80.0, 86.0),
    "band_rpm": ((54.0, 78.0), (60.0, 84.0), (68.0, 92.0), (74.0, 98.0)),
    "limits_rpm": ((40.0, 92.0), (43.0, 98.0), (47.0, 108.0), (50.0, 116.0)),
    "uphill_factor": (1.4, 1.3, 1.2, 1.15),
    "stop_pedalling_mps": _kmh(24.0, 30.0, 40.0, 50.0),
    "descending_mps": _kmh(26.0, 33.0, 43.0, 55.0),
    "braking_mps2": (1.2, 1.5, 1.8, 2.0),
    "cornering": (0.4, 0.5, 0.65, 0.75),
    "slowest_riding_mps": _kmh(4.5, 4.1, 3.8, 3.6),
    "remount_s": (15.0, 10.0, 7.0, 5.0),
}
"""Each field of the classes in turn (judgement, no source)."""

ABILITIES = {
    name: Ability(**{field: values[place] for field, values in BY_CLASS.items()})
    for place, name in enumerate(CLASSES)
}
