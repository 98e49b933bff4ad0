"""The CSV list of a tour's guests beside a plan.

A column left out, or a cell left empty, takes what the guest's ability class has, or where no
class is told the plan's rider (`ASSUMED`), and the guest says so.  Columns speak the plan's units.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import partial
from pathlib import Path

from gearsim.lists.columns import RowReader
from gearsim.lists.height_cells import check_height
from gearsim.lists.homes import Home, check, fields_of
from gearsim.lists.list_file import list_path, read_list
from gearsim.lists.rider_cells import CADENCES, RIDER_HOMES, Given, check_cadences, liking, rider_of
from gearsim.plan.plan import Plan
from gearsim.setup.ability import ABILITIES, BY_CLASS, Ability
from gearsim.setup.guest import Guest
from gearsim.setup.rider import Rider

DESCENDING = {"descending_kmh": Home("rider", "descending_kmh")}
HOMES = {**RIDER_HOMES, **DESCENDING}
COLUMNS = ("name", "ability", "height_cm", *HOMES, *CADENCES[::-1])
UPHILL = BY_CLASS["uphill_factor"]
ASSUMED = (
    "What is not told of a guest is that of the ability class, power by the guest's mass, and "
    "where no class is told that of the plan's [rider]; the mass is the plan's in both. Power and "
    "critical power keep their proportion, the largest power goes with them, and band and limits "
    "of cadence with the target. A class also tells the power uphill (times "
    f"{min(UPHILL):g} for the strongest to {max(UPHILL):g} for the newest), the reserve, how a "
    "guest brakes and corners, and the speeds where pedalling ends and walking begins. The classes "
    "are judgement, no source, and nobody is measured by them."
)


@dataclass(frozen=True, kw_only=True)
class GuestList:
    """The guests of a list, and what was wrong or guessed in reading it, one line each."""

    path: Path
    guests: tuple[Guest, ...]
    faults: tuple[str, ...]
    guesses: tuple[str, ...]


def load_guests(plan: Plan) -> GuestList:
    """The guests of the plan's list; a row that is wrong is left out and told in `faults`.

    Raises `FileError` where the list cannot be read, and `PlanError` where the plan names none,
    its column names are wrong, or no row is right: the notes of the error are its other faults.
    """
    path = list_path(plan, "guests", "name, ability, mass_kg, height_cm")
    read = read_list(path, COLUMNS, "the guest's", partial(_guest, plans=plan.rider))
    return GuestList(path=path, guests=read.entries, faults=read.faults, guesses=read.guesses)


def _guest(row: RowReader, plans: Rider) -> Guest | None:
    """The guest of a row; None where it has faults, which are noted in it."""
    told = {column: row.number(column) for column in (*HOMES, *CADENCES)}
    given = {column: value for column, value in told.items() if value is not None}
    check(row, given, HOMES)
    name, ability = _ability(row)
    height_cm = _height_cm(row)
    if row.faults:
        return None
    mass_kg = given.get("mass_kg", plans.mass_kg)
    like = plans if ability is None else ability.rider(row.cells["name"], mass_kg)
    moved = liking(like, given.get("target_cadence_rpm"))
    whose = "the plan’s" if ability is None else "the class’s"
    check_cadences(row, given, moved, whose if moved == like else "moved with the target")
    if row.faults:
        return None
    filled = [column for column in told if column not in given]
    by_class = [] if ability is None else [column for column in filled if column != "mass_kg"]
    return Guest(
        rider=_rider(row.cells["name"], given, moved),
        ability=name,
        height_cm=height_cm,
        by_class=tuple(by_class),
        assumed=tuple(column for column in filled if column not in by_class),
    )


def _rider(name: str, given: Given, like: Rider) -> Rider:
    return replace(rider_of(given, like), name=name, **fields_of(given, DESCENDING))


def _ability(row: RowReader) -> tuple[str | None, Ability | None]:
    """The class that a row tells, by its name in the table, however it is written."""
    cell = row.cells.get("ability")
    if cell is None:
        return None, None
    name = " ".join(cell.lower().replace("_", " ").split())
    if name in ABILITIES:
        return name, ABILITIES[name]
    near = get_close_matches(name, ABILITIES, n=1)
    hint = f"; did you mean {near[0]}?" if near else ""
    row.fault("ability", cell, f"{', '.join(ABILITIES)}{hint}")
    return None, None


def _height_cm(row: RowReader) -> float | None:
    height_cm = row.number("height_cm")
    check_height(row, "height_cm", height_cm)
    return height_cm
