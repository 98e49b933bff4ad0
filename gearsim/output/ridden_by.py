"""Who rode, on what, in what: what every figure shown depends on."""

from __future__ import annotations

import math

from gearsim.output.effort_words import effort_solved, stops_told
from gearsim.ride.ride import Ride
from gearsim.units import KMH_PER_MPS


def ridden_by(ride: Ride) -> str:
    """Rider, bike and day in two or three short sentences."""
    told = [effort_solved(ride), stops_told(ride)]
    return " ".join([_riding(ride), *(each for each in told if each)])


def _riding(ride: Ride) -> str:
    rider, bike, day = ride.rider, ride.bike, ride.conditions
    (low, high), (low_limit, high_limit) = rider.band_rpm, rider.limits_rpm
    from_deg = math.degrees(day.wind_from_rad) % 360.0
    wind = f"wind {day.wind_mps * KMH_PER_MPS:.0f} km/h from {from_deg:.0f}°"
    power = f", {rider.power_w:.0f} W" if ride.effort is None else ""
    return (
        f"Rider {rider.mass_kg:g} kg{power}; band {low:g}-{high:g} rpm, limits "
        f"{low_limit:g}-{high_limit:g} rpm. Bike {bike.mass_kg:g} kg, tyres {bike.tyre_mm:g} mm. "
        f"{day.temperature_c:g} °C, {'wet' if day.wet else 'dry'}, "
        f"{wind if day.wind_mps > 0.0 else 'no wind'}."
    )
