"""The few words that the top of a page cannot do without, for who never heard of them."""

from __future__ import annotations

from gearsim.output.words import listed
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider


def terms_told(rider: Rider) -> str:
    """What mismatch and the states in a verdict mean, with the rider's own cadences."""
    (low, high), (low_limit, high_limit) = rider.band_rpm, rider.limits_rpm
    return (
        "Mismatch is 0 for gears that always let the rider turn the pedals as wished; the longer "
        "and the worse they do not, the higher it is. Below the lowest gear: too steep even for "
        f"the easiest gear, which the power wanted cannot turn at {low_limit:g} rpm. Spun out: too "
        f"fast even for the hardest gear, already turned at {high_limit:g} rpm. The band: the "
        f"cadence that the rider likes, {low:g} to {high:g} rpm."
    )


def gears_spelled(drivetrain: Drivetrain) -> str:
    """The gears in words: `chainrings of 46 and 30 teeth, 11 sprockets of 11 to 40`."""
    if drivetrain.ratios:
        most, least = drivetrain.ratios[0], drivetrain.ratios[-1]
        return f"{len(drivetrain.ratios)} ratios of {least:.2f} to {most:.2f}"
    rings, rears = drivetrain.chainrings, drivetrain.sprockets
    front = f"{'chainring' if len(rings) == 1 else 'chainrings'} of {listed(list(map(str, rings)))}"
    if len(rears) == 1:
        return f"{front} teeth, 1 sprocket of {rears[0]}"
    return f"{front} teeth, {len(rears)} sprockets of {rears[0]} to {rears[-1]}"
