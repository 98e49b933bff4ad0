"""The forces on rider and bike, the power to overcome them, and the speed a power gives.

After Martin JC, Milliken DL, Cobb JE, McFadden KL, Coggan AR (1998), Validation of a mathematical
model for road cycling power, J Appl Biomech 14(3):276-291 (R² 0.97, standard error 2.7 W against
a power meter).  A force is positive when it holds the rider back.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearsim.physics.number import Number
from gearsim.units import GRAVITY_MPS2

BEARING_STEADY_N = 0.091  # both wheels (Martin et al. 1998, after Dahn et al. 1991, from memory)
BEARING_PER_SPEED_NSPM = 0.0087  # N per m/s, same source


def gravity_force_n(mass_kg: Number, grade: Number) -> Number:
    """Weight along the road, N: m·g·sin(atan(grade)); negative downhill."""
    return mass_kg * GRAVITY_MPS2 * grade / (1.0 + grade**2) ** 0.5


def rolling_force_n(mass_kg: Number, grade: Number, rolling_coefficient: Number) -> Number:
    """Rolling resistance, N: Crr·m·g·cos(atan(grade))."""
    return rolling_coefficient * mass_kg * GRAVITY_MPS2 / (1.0 + grade**2) ** 0.5


def air_force_n(speed_mps: Number, head_wind_mps: Number, air_factor_kgpm: Number) -> Number:
    """Air resistance, N: ½ρCdA·|v + w|·(v + w); a tail wind faster than the rider pushes.

    `air_factor_kgpm` is ½ρCdA in kg/m, `head_wind_mps` positive against the rider.  Compiles.
    """
    air_speed_mps = speed_mps + head_wind_mps
    force: Number = air_factor_kgpm * np.abs(air_speed_mps) * air_speed_mps
    return force


def bearing_force_n(speed_mps: Number, factor: Number) -> Number:
    """Friction of both wheels' bearings, N: factor·(0.091 + 0.0087·v).

    Martin et al. (1998), as (91 + 8.7·v)·10⁻³; factor 1 is theirs.  Compiles.
    """
    return factor * (BEARING_STEADY_N + BEARING_PER_SPEED_NSPM * speed_mps)


def head_wind_mps(wind_mps: Number, wind_from_rad: Number, bearing_rad: Number) -> Number:
    """The wind's part against a rider going along a bearing, m/s; negative from behind.

    Both angles clockwise from north, in rad; the wind's is where it comes from.
    """
    wind: Number = wind_mps * np.cos(wind_from_rad - bearing_rad)
    return wind


def effective_mass_kg(
    mass_kg: Number, wheel_inertia_kgm2: Number, wheel_radius_m: Number
) -> Number:
    """Mass that resists a change of speed, kg: m + I/r², I of both wheels together."""
    return mass_kg + wheel_inertia_kgm2 / wheel_radius_m**2


def steady_speed_mps(
    power_w: Number,
    grade: Number,
    *,
    mass_kg: Number,
    rolling_coefficient: Number,
    air_factor_kgpm: Number,
    efficiency: Number = 1.0,
) -> Number:
    """Speed that a power holds without wind and bearing friction, m/s: exact.

    The largest root of a·v³ + b·v = c with a = ½ρCdA above 0, b = gravity and rolling in N, and
    c = efficiency·P, 0 or more, by the hyperbolic and trigonometric solutions of the cubic.
    """
    a, c = np.asarray(air_factor_kgpm), np.asarray(efficiency * power_w)
    b = gravity_force_n(mass_kg, grade) + rolling_force_n(mass_kg, grade, rolling_coefficient)
    level = np.asarray(b) == 0.0
    size = np.where(level, 1.0, np.abs(b))
    x = 1.5 * c / size * np.sqrt(3.0 * a / size)
    scale = 2.0 * np.sqrt(size / (3.0 * a))
    uphill = np.sinh(np.arcsinh(x) / 3.0)
    fast = np.cosh(np.arccosh(np.maximum(x, 1.0)) / 3.0)
    slow = np.cos(np.arccos(np.minimum(x, 1.0)) / 3.0)
    downhill = np.where(x >= 1.0, fast, slow)
    speed = scale * np.where(np.asarray(b) > 0.0, uphill, downhill)
    held: Number = np.where(level, np.cbrt(c / a), speed)[()]
    return held


@dataclass(frozen=True, kw_only=True)
class RoadPower:
    """Power on the road in its parts, W, and the efficiency of the drive behind it."""

    aero_w: Number
    rolling_w: Number
    bearing_w: Number
    gravity_w: Number
    kinetic_w: Number
    efficiency: Number

    @property
    def total_w(self) -> Number:
        """Power needed at the wheel, W; negative where the brakes must hold."""
        return self.aero_w + self.rolling_w + self.bearing_w + self.gravity_w + self.kinetic_w

    @property
    def pedal_w(self) -> Number:
        """Power needed at the pedals, W, where `total_w` is positive."""
        return self.total_w / self.efficiency


def road_power_w(
    speed_mps: Number,
    grade: Number,
    *,
    mass_kg: Number,
    rolling_coefficient: Number,
    air_factor_kgpm: Number,
    head_wind_mps: Number = 0.0,
    bearing_factor: Number = 1.0,
    effective_mass_kg: Number = 0.0,
    acceleration_mps2: Number = 0.0,
    efficiency: Number = 1.0,
) -> RoadPower:
    """Power to ride at a speed: the equation of Martin et al. (1998), in its parts.

    `air_factor_kgpm` is ½ρ(CdA + Fw), spoke drag Fw included.  The kinetic part is m_eff·a·v,
    which is ½·m_eff·(v₁² - v₀²)/Δt when v is the mean of v₀ and v₁.
    """
    return RoadPower(
        aero_w=air_force_n(speed_mps, head_wind_mps, air_factor_kgpm) * speed_mps,
        rolling_w=rolling_force_n(mass_kg, grade, rolling_coefficient) * speed_mps,
        bearing_w=bearing_force_n(speed_mps, bearing_factor) * speed_mps,
        gravity_w=gravity_force_n(mass_kg, grade) * speed_mps,
        kinetic_w=effective_mass_kg * acceleration_mps2 * speed_mps,
        efficiency=efficiency,
    )
