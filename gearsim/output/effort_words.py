"""The effort over the day and the stops, in words."""

from __future__ import annotations

from gearsim.output.words import clean, duration, listed
from gearsim.ride.ride import Ride
from gearsim.setup.effort import FIXED, Effort
from gearsim.setup.rider import Rider


def power_held(rider: Rider) -> str:
    """The power that the rider holds, `175 W`; "" where it is solved for each ride."""
    return f"{rider.power_w:.0f} W" if rider.effort.kind == FIXED else ""


def effort_rule(effort: Effort) -> str:
    """Which power the rider holds, and by which rule."""
    if effort.kind == FIXED:
        return "the power held, all day"
    return (
        f"solved for the ride's own duration: {100.0 * effort.held_share:.4g} % of what can be "
        f"held, beyond an hour falling with hours^-{effort.duration_exponent:.4g}, within the ride "
        f"by {100.0 * effort.work_loss:.4g} % each 1000 kJ"
    )


def effort_solved(ride: Ride) -> str:
    """The effort that was solved for this ride; "" where the rider's power was given."""
    found = ride.effort
    if found is None:
        return ""
    return (
        f"Effort on the flat, solved for each ride's own duration: {found.first_w:.0f} W at first, "
        f"{found.last_w:.0f} W at the end, for {duration(found.moving_s)} on the move with "
        f"“{clean(ride.drivetrain.name)}”."
    )


def stops_told(ride: Ride) -> str:
    """The stops, which the finish times have in them; "" where there is none."""
    stops = [place for place in ride.course.places if place.stop_s > 0.0]
    if not stops:
        return ""
    told = [
        f"{duration(place.stop_s)} at km {place.distance_m / 1000.0:.1f} ({clean(place.name)})"
        for place in stops
    ]
    return f"Finish times have {duration(ride.stopped_s)} of stops in them: {listed(told)}."
