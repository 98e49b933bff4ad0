"""Who rode, on what, in what: what every figure shown depends on."""

from __future__ import annotations

import math

from gearsim.output.effort_words import effort_solved, power_held, stops_told
from gearsim.ride.ride import Ride
from gearsim.setup.conditions import Conditions
from gearsim.units import KMH_PER_MPS


def ridden_by(ride: Ride, bike: str = "") -> str:
    """Rider, bike and day in a few short sentences; `bike` says of what, and how heavy, it is.

    Without it a bike whose drivetrain is weighed by itself is told to be without that.
    """
    told = [effort_solved(ride), stops_told(ride)]
    beside = " and the drivetrain" if ride.drivetrain.mass_kg > 0.0 else ""
    bike = bike or f"Bike {ride.bike.mass_kg:g} kg{beside}"
    return " ".join([_riding(ride, bike), *(each for each in told if each)])


def day(conditions: Conditions) -> str:
    """The day in a few words."""
    from_deg = math.degrees(conditions.wind_from_rad) % 360.0
    wind = f"wind {conditions.wind_mps * KMH_PER_MPS:.0f} km/h from {from_deg:.0f}°"
    ground = "wet" if conditions.wet else "dry"
    blowing = wind if conditions.wind_mps > 0.0 else "no wind"
    return f"{conditions.temperature_c:g} °C, {ground}, {blowing}."


def _riding(ride: Ride, bike_told: str) -> str:
    rider, bike = ride.rider, ride.bike
    (low, high), (low_limit, high_limit) = rider.band_rpm, rider.limits_rpm
    told = [f"Rider {rider.mass_kg:g} kg", power_held(rider)]
    return (
        f"{', '.join(filter(None, told))}; band {low:g}-{high:g} rpm, limits "
        f"{low_limit:g}-{high_limit:g} rpm. {bike_told}, tyres {bike.tyre_mm:g} mm. "
        f"{day(ride.conditions)}"
    )
