"""The CSV list of athletes beside a plan.

A column left out, or a cell left empty, takes what the plan's rider or bike has (`ASSUMED`), and
the athlete says so.  Columns speak the plan's units.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path

from gearsim.lists.columns import RowReader, all_at_once, guesses_of, rows_of
from gearsim.lists.csv_text import read_csv
from gearsim.lists.heads import shown
from gearsim.lists.homes import Home, check, fields_of
from gearsim.lists.list_file import list_path, note_names_twice
from gearsim.lists.rider_cells import CADENCES, RIDER_HOMES, check_cadences, rider_of
from gearsim.plan.plan import Plan
from gearsim.setup.athlete import Athlete

HOMES = {
    **RIDER_HOMES,
    "drag_area_m2": Home("bike", "drag_area_m2"),
    "bike_mass_kg": Home("bike", "mass_kg"),
}
COLUMNS = (
    "name",
    "mass_kg",
    "power_w",
    "critical_power_w",
    "reserve_kj",
    "target_cadence_rpm",
    "band_low_rpm",
    "band_high_rpm",
    "limit_low_rpm",
    "limit_high_rpm",
    "drag_area_m2",
    "bike_mass_kg",
    "has",
)
ASSUMED = (
    "What is not told of an athlete is that of the plan's [rider] and [bike], except that power "
    "and critical power keep the proportion they have there, and the largest power goes with them."
)


@dataclass(frozen=True, kw_only=True)
class AthleteList:
    """The athletes of a list, and what was wrong or guessed in reading it, one line each."""

    path: Path
    athletes: tuple[Athlete, ...]
    faults: tuple[str, ...]
    guesses: tuple[str, ...]


def load_athletes(plan: Plan) -> AthleteList:
    """The athletes of the plan's list; a row that is wrong is left out and told in `faults`.

    Raises `FileError` where the list cannot be read, and `PlanError` where the plan names none,
    its column names are wrong, or no row is right: the notes of the error are its other faults.
    """
    path = list_path(plan, "athletes", "name, mass_kg, power_w, has")
    text = read_csv(path)
    rows = rows_of(text, COLUMNS, needed=("name",))
    note_names_twice(rows, "the athlete's")
    found = [_athlete(row, plan) for row in rows]
    faults = [f"{path}: {fault}" for row in rows for fault in row.faults]
    athletes = tuple(athlete for athlete in found if athlete is not None)
    if not athletes:
        none = f"{path}: has no athlete; give a line for each below the column names"
        raise all_at_once(faults or [none])
    guesses = guesses_of(text, COLUMNS, rows)
    return AthleteList(path=path, athletes=athletes, faults=tuple(faults), guesses=guesses)


def _athlete(row: RowReader, plan: Plan) -> Athlete | None:
    """The athlete of a row; None where it has faults, which are noted in it."""
    told = {column: row.number(column) for column in (*HOMES, *CADENCES)}
    given = {column: value for column, value in told.items() if value is not None}
    for column in [column for column in HOMES if column in given]:
        check(row, column, given[column], HOMES[column])
    check_cadences(row, given, plan.rider)
    _check_has(row, [drivetrain.name for drivetrain in plan.drivetrains])
    if row.faults:
        return None
    return Athlete(
        rider=replace(rider_of(given, plan.rider), name=row.cells["name"]),
        bike=replace(plan.bike, **fields_of(given, HOMES, "bike")),
        has=row.cells.get("has"),
        assumed=tuple(c for c in COLUMNS if c in told and c not in given),
    )


def _check_has(row: RowReader, names: Sequence[str]) -> None:
    has = row.cells.get("has")
    if has is None or has in names:
        return
    near = get_close_matches(has, names, n=1)
    hint = f"did you mean {near[0]!r}?" if near else f"they are {', '.join(map(repr, names))}"
    row.faults.append(
        f"line {row.line}: has is {shown(has)}; allowed is the name of a drivetrain in the plan, "
        f"{hint}"
    )
