"""What a plan says that can be, and yet is more often a slip than meant."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from gearsim.setup.bike import Bike
from gearsim.setup.effort import FIXED
from gearsim.setup.rider import CRITICAL_POWER_PER_POWER, Rider
from gearsim.setup.rim_sizes import BEAD_SEATS_MM
from gearsim.units import SECONDS_PER_MINUTE

Sections = Mapping[str, Any]

SHARES = (
    ("conditions", "humidity_percent"),
    ("conditions", "wind_share_percent"),
    ("days", "wet_chance_percent"),
)
"""Keys in % of which 1 or less is hardly ever meant, but easily typed for a share of 1."""


def plan_cautions(given: Sections, rider: Rider, bike: Bike) -> tuple[str, ...]:
    """What to look at again in a plan, one line each; `given` are its sections as typed."""
    return (
        *_of_shares(given),
        *_of_wind(given.get("conditions", {})),
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
