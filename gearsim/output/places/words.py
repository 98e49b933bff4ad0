"""Cues in words: short for a head unit, longer for people."""

from __future__ import annotations

from gearsim.output.words import clean, duration, gear_name, percent
from gearsim.ride.ride import Ride
from gearsim.setup.steps import gear_speed_mps
from gearsim.studies.cue_sheet import Advice, Cue
from gearsim.units import KMH_PER_MPS

FAR_M = 1000.0  # from here on, kilometres

ADVICE_WORDS: dict[Advice, str] = {
    Advice.WALK: "Walk",
    Advice.PUSH_HARD: "Push hard",
    Advice.SPUN_OUT: "Spun out",
    Advice.LOWEST_GEAR: "Lowest gear",
    Advice.SMALLER_RING: "Smaller ring",
}
"""What a cue is called."""


def cue_name(cue: Cue) -> str:
    """A cue in at most 20 letters or so, the word first: `Walk 180 m, 22 %`."""
    word = ADVICE_WORDS[cue.advice]
    if cue.advice == Advice.SPUN_OUT:
        return f"{word} {length(cue.length_m)}"
    if cue.advice == Advice.WALK:
        return f"{word} {length(cue.advised_m)}, {percent(cue.grade)}"
    return f"{word}, {percent(cue.grade)}"


def cue_sentence(ride: Ride, cue: Cue) -> str:
    """What the gears do at the place, and what to do before it."""
    told = _told(ride, cue)
    if cue.ring_first and cue.advice != Advice.SMALLER_RING:
        return f"{told} Smaller ring first."
    return told


def cue_description(ride: Ride, cue: Cue) -> str:
    """Kilometre, length, grade and time of the place, and what to expect there."""
    near = f", {clean(cue.near)}" if cue.near else ""
    return (
        f"Km {cue.start_m / 1000.0:.1f}{near}: {length(cue.length_m)} at {percent(cue.grade)}, "
        f"{_extreme(cue)} {percent(cue.steepest_grade)}, {duration(cue.seconds)}. "
        f"{cue_sentence(ride, cue)}"
    )


def length(metres: float) -> str:
    """A length on the road: `180 m`, `2.4 km`."""
    return f"{metres / 1000.0:.1f} km" if metres >= FAR_M else f"{metres:.0f} m"


def _extreme(cue: Cue) -> str:
    return "steepest" if cue.advice != Advice.SPUN_OUT else "down to"


def _told(ride: Ride, cue: Cue) -> str:
    gears, (low_limit, high_limit) = ride.gears, ride.rider.limits_rpm
    lowest, highest = gear_name(gears, gears.lowest), gear_name(gears, gears.highest)
    top_kmh = gear_speed_mps(gears, gears.highest, high_limit) * KMH_PER_MPS
    sentences = {
        Advice.WALK: f"{length(cue.advised_m)}: {lowest} cannot be held at {low_limit:.0f} rpm.",
        Advice.PUSH_HARD: f"Lowest gear, {lowest}, at about {cue.cadence_rpm:.0f} rpm.",
        Advice.SPUN_OUT: f"{highest} adds nothing above {top_kmh:.0f} km/h.",
        Advice.LOWEST_GEAR: f"{lowest} at about {cue.cadence_rpm:.0f} rpm.",
        Advice.SMALLER_RING: "For the climb that follows.",
    }
    return sentences[cue.advice]
