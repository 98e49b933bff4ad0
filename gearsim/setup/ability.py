"""What is taken for a guest of whom only an ability class is told.

Judgement, no source, for grown-ups in ordinary health on a day out; nobody is measured by it.
"""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.setup.rider import Rider
from gearsim.units import MPS_PER_KMH


@dataclass(frozen=True, kw_only=True)
class Ability:
    """A class of guests: power and reserve by body mass, cadences, and how they ride downhill.

    Powers in W per kg of the guest: held on the flat, and critical; the reserve in J per kg.
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
        return Rider(
            name=name,
            mass_kg=mass_kg,
            power_w=self.power_w_per_kg * mass_kg,
            critical_power_w=self.critical_w_per_kg * mass_kg,
            reserve_j=self.reserve_j_per_kg * mass_kg,
            target_cadence_rpm=self.target_cadence_rpm,
            band_rpm=self.band_rpm,
            limits_rpm=self.limits_rpm,
            uphill_factor=self.uphill_factor,
            stop_pedalling_mps=self.stop_pedalling_mps,
            descending_mps=self.descending_mps,
            braking_mps2=self.braking_mps2,
            cornering=self.cornering,
            slowest_riding_mps=self.slowest_riding_mps,
            remount_s=self.remount_s,
        )


ABILITIES = {
    "new to riding": Ability(
        power_w_per_kg=1.0,
        critical_w_per_kg=1.5,
        reserve_j_per_kg=130.0,
        target_cadence_rpm=65.0,
        band_rpm=(54.0, 78.0),
        limits_rpm=(40.0, 92.0),
        uphill_factor=1.4,
        stop_pedalling_mps=24.0 * MPS_PER_KMH,
        descending_mps=26.0 * MPS_PER_KMH,
        braking_mps2=1.2,
        cornering=0.4,
        slowest_riding_mps=4.5 * MPS_PER_KMH,
        remount_s=15.0,
    ),
    "now and then": Ability(
        power_w_per_kg=1.4,
        critical_w_per_kg=2.0,
        reserve_j_per_kg=170.0,
        target_cadence_rpm=72.0,
        band_rpm=(60.0, 84.0),
        limits_rpm=(43.0, 98.0),
        uphill_factor=1.3,
        stop_pedalling_mps=30.0 * MPS_PER_KMH,
        descending_mps=33.0 * MPS_PER_KMH,
        braking_mps2=1.5,
        cornering=0.5,
        slowest_riding_mps=4.1 * MPS_PER_KMH,
        remount_s=10.0,
    ),
    "every week": Ability(
        power_w_per_kg=1.9,
        critical_w_per_kg=2.7,
        reserve_j_per_kg=210.0,
        target_cadence_rpm=80.0,
        band_rpm=(68.0, 92.0),
        limits_rpm=(47.0, 108.0),
        uphill_factor=1.2,
        stop_pedalling_mps=40.0 * MPS_PER_KMH,
        descending_mps=43.0 * MPS_PER_KMH,
        braking_mps2=1.8,
        cornering=0.65,
        slowest_riding_mps=3.8 * MPS_PER_KMH,
        remount_s=7.0,
    ),
    "strong": Ability(
        power_w_per_kg=2.6,
        critical_w_per_kg=3.6,
        reserve_j_per_kg=250.0,
        target_cadence_rpm=86.0,
        band_rpm=(74.0, 98.0),
        limits_rpm=(50.0, 116.0),
        uphill_factor=1.15,
        stop_pedalling_mps=50.0 * MPS_PER_KMH,
        descending_mps=55.0 * MPS_PER_KMH,
        braking_mps2=2.0,
        cornering=0.75,
        slowest_riding_mps=3.6 * MPS_PER_KMH,
        remount_s=5.0,
    ),
}
"""The classes, the weakest first (judgement, no source)."""
