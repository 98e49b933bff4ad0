"""Why a place is among the worst, as a sentence."""

from __future__ import annotations

from gearsim.output.words import gear_name, percent
from gearsim.ride.ride import Ride
from gearsim.ride.score import WorstPlace
from gearsim.ride.states import Cause, State
from gearsim.ride.why import Why
from gearsim.setup.steps import gear_speed_mps
from gearsim.units import KMH_PER_MPS


def reason(ride: Ride, place: WorstPlace, why: Why) -> str:
    """What the gear in use could not do at the place, for a rider to read."""
    if place.state in (State.BELOW_LOWEST_GEAR, State.WALKING):
        return _too_high(ride, why)
    if place.state == State.SPUN_OUT:
        return _too_low(ride, place, why)
    return _off_band(ride, place, why)


def _too_high(ride: Ride, why: Why) -> str:
    return (
        f"Lowest gear {gear_name(ride.gears, why.gear)}: on {percent(why.hardest_grade)}, "
        f"{why.wanted_power_w:.0f} W turns it at {why.steady_rpm:.0f} rpm, "
        f"limit {ride.rider.limits_rpm[0]:.0f}."
    )


def _too_low(ride: Ride, place: WorstPlace, why: Why) -> str:
    high_limit = ride.rider.limits_rpm[1]
    top_kmh = gear_speed_mps(ride.gears, why.gear, high_limit) * KMH_PER_MPS
    return (
        f"Highest gear {gear_name(ride.gears, why.gear)} reaches its limit, {high_limit:.0f} rpm, "
        f"at {top_kmh:.0f} km/h; the road carries {place.speed_mps * KMH_PER_MPS:.0f} km/h."
    )


def _off_band(ride: Ride, place: WorstPlace, why: Why) -> str:
    low_edge, high_edge = ride.rider.band_rpm
    edge = f"from {low_edge:.0f}" if place.state == State.UNDER_BAND else f"to {high_edge:.0f}"
    gear = gear_name(ride.gears, why.gear)
    if place.cause == Cause.END_OF_RANGE:
        end = "Lowest" if place.state == State.UNDER_BAND else "Highest"
        return f"{end} gear {gear} turns at {why.gear_rpm:.0f} rpm, band {edge}."
    told = f"{gear} turns at {why.gear_rpm:.0f} rpm, band {edge}"
    if why.next_gear is None:
        return f"{told}."
    beyond = not low_edge <= why.next_rpm <= high_edge
    judged = "past the other edge" if beyond else "passed over to save a shift"
    neighbour = gear_name(ride.gears, why.next_gear)
    return f"{told}; the next, {neighbour}, at {why.next_rpm:.0f}: {judged}."
