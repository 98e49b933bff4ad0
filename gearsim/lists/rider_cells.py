"""The cells of a row that tell a rider: mass, powers, reserve, cadences."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from gearsim.errors import PlanError
from gearsim.lists.columns import RowReader
from gearsim.lists.homes import Home, fields_of
from gearsim.setup.athlete import at_power
from gearsim.setup.possible import CADENCE_RPM, LARGEST_W
from gearsim.setup.rider import Rider

RIDER_HOMES = {
    "mass_kg": Home("rider", "mass_kg"),
    "power_w": Home("rider", "power_w"),
    "critical_power_w": Home("rider", "critical_power_w"),
    "reserve_kj": Home("rider", "reserve_kj"),
}
CADENCES = (
    "limit_low_rpm",
    "band_low_rpm",
    "target_cadence_rpm",
    "band_high_rpm",
    "limit_high_rpm",
)
"""In the order in which they must rise."""

Given = Mapping[str, float]


def liking(rider: Rider, target_rpm: float | None) -> Rider:
    """The rider with band and limits moved as far as the target cadence that is told.

    One outside the rider's limits moves nothing: it is more often a slip, and told as a fault.
    """
    low_limit, high_limit = rider.limits_rpm
    if target_rpm is None or not low_limit < target_rpm < high_limit:
        return rider
    moved_rpm = target_rpm - rider.target_cadence_rpm
    low, high = rider.band_rpm
    try:
        return replace(
            rider,
            target_cadence_rpm=target_rpm,
            band_rpm=(low + moved_rpm, high + moved_rpm),
            limits_rpm=(low_limit + moved_rpm, high_limit + moved_rpm),
        )
    except PlanError:  # moved beyond what any rider can turn
        return rider


def check_cadences(row: RowReader, given: Given, rider: Rider, whose: str = "the plan’s") -> None:
    """Note cadences that do not rise, those not given being `rider`'s."""
    low, high = CADENCE_RPM
    wrong = [c for c in (CADENCES[0], CADENCES[-1]) if c in given and not low <= given[c] <= high]
    for column in wrong:
        row.fault(column, row.cells[column], f"{low:g} to {high:g}")
    if wrong:
        return
    cadences = _cadences(given, rider)
    if all(a < b for a, b in pairwise(cadences.values())):
        return
    told = ", ".join(
        f"{column} {value:g}{'' if column in given else f' ({whose})'}"
        for column, value in cadences.items()
    )
    row.faults.append(f"line {row.line}: {told}; allowed is that each is more than the one before")


def rider_of(given: Given, rider: Rider) -> Rider:
    """The rider of a row: what is not given is `rider`'s.

    Power and critical power keep the proportion they have there, and the largest power goes with
    them.
    """
    power_w, critical_w = given.get("power_w"), given.get("critical_power_w")
    if power_w is None and critical_w is not None:
        power_w = rider.power_w * critical_w / rider.critical_w
    fitted = at_power(rider, rider.power_w if power_w is None else power_w)
    low_limit, low, target, high, high_limit = _cadences(given, rider).values()
    if critical_w is not None and fitted.largest_power_w is not None:
        largest_w = fitted.largest_power_w * critical_w / fitted.critical_w
        possible_w = min(max(largest_w, fitted.power_w), LARGEST_W)
        fitted = replace(fitted, largest_power_w=possible_w)
    numbers = fields_of({c: v for c, v in given.items() if c != "power_w"}, RIDER_HOMES)
    return replace(
        fitted,
        target_cadence_rpm=target,
        band_rpm=(low, high),
        limits_rpm=(low_limit, high_limit),
        **numbers,
    )


def _cadences(given: Given, rider: Rider) -> dict[str, float]:
    (low, high), (low_limit, high_limit) = rider.band_rpm, rider.limits_rpm
    values = (low_limit, low, rider.target_cadence_rpm, high, high_limit)
    return {
        column: given.get(column, value) for column, value in zip(CADENCES, values, strict=True)
    }
