"""Air: the standard atmosphere, humid air, and the air on a given day at a given height."""

from __future__ import annotations

import numpy as np

from gearsim.physics.number import Number
from gearsim.units import GRAVITY_MPS2, KELVIN_AT_0_C

EARTH_RADIUS_M = 6_356_766.0  # ISO 2533
SEA_LEVEL_TEMPERATURE_K = 288.15  # ISO 2533
SEA_LEVEL_PRESSURE_PA = 101_325.0  # ISO 2533
LAPSE_K_PER_M = 0.0065  # ISO 2533, up to 11 km
DRY_AIR_JPKGK = 287.05287  # gas constant of dry air, ISO 2533
PRESSURE_EXPONENT = GRAVITY_MPS2 / (DRY_AIR_JPKGK * LAPSE_K_PER_M)


def _geopotential_m(height_m: Number) -> Number:
    return EARTH_RADIUS_M * height_m / (EARTH_RADIUS_M + height_m)


def standard_temperature_k(height_m: Number) -> Number:
    """Temperature of the standard atmosphere, K: ISO 2533:1975, from -2 to 11 km."""
    return SEA_LEVEL_TEMPERATURE_K - LAPSE_K_PER_M * _geopotential_m(height_m)


def standard_pressure_pa(height_m: Number) -> Number:
    """Pressure of the standard atmosphere, Pa: ISO 2533:1975, from -2 to 11 km.

    p = p₀·(T/T₀)^(g/(R·L)) with lapse rate L; height geometric, in m.
    """
    warmth = standard_temperature_k(height_m) / SEA_LEVEL_TEMPERATURE_K
    return SEA_LEVEL_PRESSURE_PA * warmth**PRESSURE_EXPONENT


def standard_density_kgm3(height_m: Number) -> Number:
    """Density of the standard atmosphere, kg/m³: ISO 2533:1975, from -2 to 11 km; p/(R·T)."""
    return standard_pressure_pa(height_m) / (DRY_AIR_JPKGK * standard_temperature_k(height_m))


def humid_density_kgm3(
    temperature_k: Number, pressure_pa: Number, relative_humidity: Number
) -> Number:
    """Density of humid air, kg/m³: CIPM-2007, with 400 parts of CO₂ in a million.

    ρ = 3.483740·10⁻³·p/(Z·T)·(1 - 0.3780·x_v).  Picard A, Davis RS, Gläser M, Fujii K (2008),
    Metrologia 45:149-155, equation and constants of the appendix (from memory); recommended for
    600 to 1100 hPa and 15 to 27 °C; within 0.02 % of a real-gas library from -20 to 45 °C.
    `relative_humidity` is a fraction.
    """
    vapour = _vapour_fraction(temperature_k, pressure_pa, relative_humidity)
    compressibility = _compressibility(temperature_k, pressure_pa, vapour)
    dry = 3.483740e-3 * pressure_pa / (compressibility * temperature_k)
    return dry * (1.0 - 0.3780 * vapour)


def _vapour_fraction(
    temperature_k: Number, pressure_pa: Number, relative_humidity: Number
) -> Number:
    celsius = temperature_k - KELVIN_AT_0_C
    saturation_pa = np.exp(
        1.2378847e-5 * temperature_k**2
        - 1.9121316e-2 * temperature_k
        + 33.93711047
        - 6.3431645e3 / temperature_k
    )
    enhancement = 1.00062 + 3.14e-8 * pressure_pa + 5.6e-7 * celsius**2
    fraction: Number = relative_humidity * enhancement * saturation_pa / pressure_pa
    return fraction


def _compressibility(temperature_k: Number, pressure_pa: Number, vapour: Number) -> Number:
    celsius = temperature_k - KELVIN_AT_0_C
    ratio = pressure_pa / temperature_k
    first = (
        1.58123e-6
        - 2.9331e-8 * celsius
        + 1.1043e-10 * celsius**2
        + (5.707e-6 - 2.051e-8 * celsius) * vapour
        + (1.9898e-4 - 2.376e-6 * celsius) * vapour**2
    )
    return 1.0 - ratio * first + ratio**2 * (1.83e-11 - 0.765e-8 * vapour**2)


def air_density_kgm3(
    height_m: Number,
    *,
    temperature_c: Number,
    relative_humidity: Number,
    pressure_pa: Number | None,
    reference_height_m: Number,
) -> Number:
    """Density of a day's air at a height, kg/m³, from its weather at a reference height.

    Temperature in °C and pressure are those at `reference_height_m`; a pressure of None means the
    standard atmosphere's there.  Temperature falls by 6.5 K/km and pressure with the weight of
    that air (as in ISO 2533, the vapour's lightness left out); relative humidity stays.
    """
    below_k = temperature_c + KELVIN_AT_0_C
    rise_m = _geopotential_m(height_m) - _geopotential_m(reference_height_m)
    temperature_k = below_k - LAPSE_K_PER_M * rise_m
    below_pa = standard_pressure_pa(reference_height_m) if pressure_pa is None else pressure_pa
    here_pa = below_pa * (temperature_k / below_k) ** PRESSURE_EXPONENT
    return humid_density_kgm3(temperature_k, here_pa, relative_humidity)
