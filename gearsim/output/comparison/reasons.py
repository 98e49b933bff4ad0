"""Why a place is among the worst, as a sentence."""

from __future__ import annotations

from gearsim.output.words import gear_name
from gearsim.ride.ride import Ride
from gearsim.ride.score import WorstPlace
from gearsim.ride.states import Cause, State
from gearsim.ride.why import Why
from gearsim.setup.steps import gear_speed_mps
from gearsim.units import KMH_PER_MPS

ABOUT_W = 5  # the model is no better than that
LEAST_FACTOR = 0.005  # of pace: less is not seen in two decimals


def reason(ride: Ride, place: WorstPlace, why: Why) -> str:
    """What the gear in use could not do at the place, for a rider to read."""
    if place.state == State.BELOW_LOWEST_GEAR:
        return _too_high(ride, place, why)
    if place.state == State.WALKING:
        return _far_too_high(ride, place, why)
    if place.state == State.SPUN_OUT:
        return _too_low(ride, place, why)
    return _off_band(ride, place, why)


def _too_high(ride: Ride, place: WorstPlace, why: Why) -> str:
    return (
        f"Lowest gear {gear_name(ride.gears, why.gear)} takes {_about_w(why.ridden_power_w)} at "
        f"{why.gear_rpm:.0f} rpm; wanted {_wanted(place, why)}."
    )


def _far_too_high(ride: Ride, place: WorstPlace, why: Why) -> str:
    rider = ride.rider
    too_much = why.most_holding_power_w > rider.largest_w
    beyond = f"largest {rider.largest_w:.0f} W" if too_much else "longer than the reserve lasts"
    held_w = why.most_holding_power_w if too_much else why.holding_power_w
    return (
        f"Lowest gear {gear_name(ride.gears, why.gear)} would take {_about_w(held_w)} at "
        f"{rider.limits_rpm[0]:.0f} rpm, {beyond}; wanted {_wanted(place, why)}."
    )


def _about_w(power_w: float) -> str:
    return f"about {ABOUT_W * round(power_w / ABOUT_W)} W"


def _wanted(place: WorstPlace, why: Why) -> str:
    """`201 W (175 W × 1.15 uphill)`: the pace's power and where it comes from."""
    factor, wanted = why.pace_factor, f"{why.wanted_power_w:.0f} W"
    if abs(factor - 1.0) < LEAST_FACTOR:
        return wanted
    slope = "uphill" if place.grade > 0.0 else "downhill"
    return f"{wanted} ({why.wanted_power_w / factor:.0f} W × {factor:.2f} {slope})"


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
