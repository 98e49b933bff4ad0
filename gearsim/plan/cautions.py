"""What a plan says that can be, and yet is more often a slip than meant."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from gearsim.setup.bike import Bike
from gearsim.setup.effort import FIXED
from gearsim.setup.rider import CRITICAL_POWER_PER_POWER, Rider
from gearsim.setup.rim_sizes import BEAD_SEATS_MM
from gearsim.units import KMH_PER_MPS, SECONDS_PER_MINUTE

Sections = Mapping[str, Any]

SHARES = (
    ("conditions", "humidity_percent"),
    ("conditions", "wind_share_percent"),
    ("days", "wet_chance_percent"),
)
"""Keys in % of which 1 or less is hardly ever meant, but easily typed for a share of 1."""

SLOWEST_KMH = (
    ("descending_kmh", 25.0, "slower than a bike rolls down a hill of 2 %"),
    ("stop_pedalling_kmh", 20.0, "slower than most riders ride on the flat"),
)
"""Speeds under which one was more likely typed in m/s, and what they are under.

A rider of 75 kg on the bike of a new plan rolls down 2 % on tarmac at 27 km/h, and needs 64 W for
20 km/h on the flat.  The newest guests (`setup/ability.py`) are above both; in m/s, hardly
anybody is.
"""


def plan_cautions(given: Sections, rider: Rider, bike: Bike) -> tuple[str, ...]:
    """What to look at again in a plan, one line each; `given` are its sections as typed."""
    return (
        *_of_shares(given),
        *_of_wind(given.get("conditions", {})),
        *_of_speeds(given.get("rider", {})),
        *_of_powers(rider),
        *_of_rim(bike),
    )


def _of_shares(given: Sections) -> Iterator[str]:
    for section, key in SHARES:
        value = given.get(section, {}).get(key)
        if value is not None and 0.0 < value <= 1.0:
            yield (
                f"{section}.{key} is {value:g}, taken as {value:g} %: "
                f"if {100.0 * value:g} % is meant, write {100.0 * value:g}."
            )


def _of_wind(conditions: Mapping[str, Any]) -> Iterator[str]:
    wind_kmh = conditions.get("wind_kmh", 0.0)
    if wind_kmh > 0.0 and "wind_from_deg" not in conditions:
        yield (
            f"conditions.wind_kmh is {wind_kmh:g} and wind_from_deg is not told: "
            "the wind is taken to come from the north."
        )


def _of_speeds(rider: Mapping[str, Any]) -> Iterator[str]:
    for key, slowest_kmh, slower in SLOWEST_KMH:
        speed = rider.get(key)
        if speed is not None and speed < slowest_kmh:
            yield (
                f"rider.{key} is {speed:g}, {slower}: "
                f"if {speed:g} m/s is meant, write {speed * KMH_PER_MPS:.3g}."
            )


def _of_powers(rider: Rider) -> Iterator[str]:
    critical_w, power_w = rider.critical_w, rider.power_w
    if rider.effort.kind == FIXED and critical_w < power_w:
        minutes = rider.reserve_j / (power_w - critical_w) / SECONDS_PER_MINUTE
        yield (
            f"rider.critical_power_w is {critical_w:g}, below power_w, {power_w:g}: on the flat "
            f"the reserve is spent in {minutes:.0f} min, and then {critical_w:g} W are held."
        )
    if rider.effort.kind != FIXED and rider.critical_power_w is None:
        yield (
            f"effort.kind is {rider.effort.kind!r} and rider.critical_power_w is not told: it is "
            f"taken as {critical_w:g} W, {CRITICAL_POWER_PER_POWER:g} × power_w; where only the "
            'power of a long ride is known, write it as power_w and leave effort.kind at "fixed".'
        )


def _of_rim(bike: Bike) -> Iterator[str]:
    if bike.rim_mm not in BEAD_SEATS_MM:
        yield (
            f"bike.rim_mm is {bike.rim_mm:g}, which is no usual diameter of a bead seat: "
            "look at the second number on the tyre, as in 40-622."
        )
