"""What was taken for the guests: by ability class, and for each guest in the words of a plan."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from gearsim.lists.guests import HOMES
from gearsim.lists.rider_cells import CADENCES
from gearsim.output.words import listed
from gearsim.plan.keys import EDGES, key_of
from gearsim.setup.ability import ABILITIES, Ability
from gearsim.setup.guest import Guest
from gearsim.setup.rider import Rider
from gearsim.studies.fleet.fleet import Fleet

if TYPE_CHECKING:
    import pandas as pd

Row = dict[str, Any]

ANY_MASS_KG = 70.0
BY_MASS = ("mass_kg", "power_w", "critical_power_w", "reserve_kj", "largest_power_w")
"""What a class tells per kg only, and so has no number of its own."""

RANGES = {
    "band_rpm": ("band_low_rpm", "band_high_rpm"),
    "limits_rpm": ("limit_low_rpm", "limit_high_rpm"),
}
"""The columns, as in the list of guests, for keys of a plan that hold two numbers."""


def abilities_table(fleet: Fleet) -> pd.DataFrame:
    """One row for each class in use, then one for each guest, in the keys and units of a plan.

    A class has its powers and its reserve per kg of the guest.  A guest's row is the rider that
    was ridden, so that as a plan's [rider] (with [effort]) it gives the same rides on the same
    bike; `told` names what the list tells of the guest beside mass and class.
    """
    import pandas as pd

    return pd.DataFrame(ability_rows(fleet))


def ability_rows(fleet: Fleet) -> list[Row]:
    """The rows of `abilities_table`; None where a class or a guest has no such number."""
    return [
        *(_class_row(name, ABILITIES[name]) for name in _in_use(fleet)),
        *(_guest_row(guest) for guest in fleet.guests),
    ]


def abilities_told(fleet: Fleet) -> str:
    """Power and cadence of each class in use, in one sentence; empty where none is."""
    told = [
        f"{name} {each.power_w_per_kg:g} W at {each.target_cadence_rpm:g} rpm "
        f"(band {each.band_rpm[0]:g}-{each.band_rpm[1]:g})"
        for name in _in_use(fleet)
        for each in (ABILITIES[name],)
    ]
    return f"On the flat, by class and for each kg of the guest: {listed(told)}." if told else ""


def _in_use(fleet: Fleet) -> list[str]:
    """The classes of the guests, the weakest first."""
    used = {guest.ability for guest in fleet.guests}
    return [name for name in ABILITIES if name in used]


def _class_row(name: str, ability: Ability) -> Row:
    return {
        "ability": name,
        "guest": None,
        "told": None,
        "power_w_per_kg": ability.power_w_per_kg,
        "critical_power_w_per_kg": ability.critical_w_per_kg,
        "reserve_j_per_kg": ability.reserve_j_per_kg,
        **_rider(ability.rider(name, ANY_MASS_KG)),
        **dict.fromkeys(BY_MASS),
    }


def _guest_row(guest: Guest) -> Row:
    filled = {*guest.by_class, *guest.assumed, "mass_kg"}
    told = [column for column in (*HOMES, *CADENCES) if column not in filled]
    return {
        "ability": guest.ability,
        "guest": guest.name,
        "told": ", ".join(told),
        "power_w_per_kg": None,
        "critical_power_w_per_kg": None,
        "reserve_j_per_kg": None,
        **_rider(guest.rider),
    }


def _rider(rider: Rider) -> Row:
    """Every number of a rider under its key in a plan; what follows from others as it is used."""
    values = {field.name: getattr(rider, field.name) for field in fields(rider)}
    del values["name"]
    effort = values.pop("effort")
    values |= {"critical_power_w": rider.critical_w, "largest_power_w": rider.largest_w}
    row: Row = {}
    for field, value in values.items():
        if field in RANGES:
            row |= dict(zip(RANGES[field], value, strict=True))
        else:
            row[key_of(field)] = _as_typed(field, value)
    return {**row, "effort": effort.kind}


def _as_typed(field: str, value: float) -> float:
    """A field's number in the unit of its key."""
    edge = EDGES.get(field)
    return value if edge is None else value * edge.over / edge.times
