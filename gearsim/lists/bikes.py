"""The CSV list of a fleet's bikes beside a plan, one line a kind.

A column left out, or a cell left empty, takes what the plan's bike or frame has (`ASSUMED`), and
the bike says so.  Columns speak the plan's units.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

from gearsim.errors import PlanError
from gearsim.lists.columns import RowReader
from gearsim.lists.gear_cells import gears_of_row
from gearsim.lists.height_cells import check_height
from gearsim.lists.homes import Home, check, fields_of
from gearsim.lists.list_file import list_path, read_list
from gearsim.plan.plan import Plan
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame
from gearsim.setup.hire_bike import HireBike
from gearsim.setup.parts.parts_list import PartsList
from gearsim.setup.possible import BIKES_OF_A_KIND

BIKE_HOMES = {
    "tyre_mm": Home("bike", "tyre_mm"),
    "mass_kg": Home("bike", "mass_kg"),
    "rim_mm": Home("bike", "rim_mm"),
    "drag_area_m2": Home("bike", "drag_area_m2"),
    "tyre_rolling_factor": Home("bike", "tyre_rolling_factor"),
}
FRAME_HOMES = {
    "largest_ring_alone": Home("frame", "largest_ring_alone"),
    "largest_ring_of_two": Home("frame", "largest_ring_of_two"),
}
HEIGHTS = ("rider_from_cm", "rider_to_cm")
COLUMNS = (
    "name",
    "count",
    "chainrings",
    "sprockets",
    "ratios",
    "efficiency",
    *BIKE_HOMES,
    *HEIGHTS,
    "rear_mech",
    "front_mech",
    "driver_body",
    *FRAME_HOMES,
)
ASSUMED = (
    "What is not told of a bike is that of the plan's [bike] and [frame], its count 1. Its mass "
    "has the drivetrain's in it. Its shifters are taken to index the sprockets and chainrings "
    "that it has, and its rear hub to take cassettes of the class that its own is of."
)


@dataclass(frozen=True, kw_only=True)
class BikeList:
    """The bikes of a list, and what was wrong or guessed in reading it, one line each."""

    path: Path
    bikes: tuple[HireBike, ...]
    faults: tuple[str, ...]
    guesses: tuple[str, ...]


def load_bikes(plan: Plan, parts: PartsList) -> BikeList:
    """The bikes of the plan's list; a row that is wrong is left out and told in `faults`.

    `parts` are those among which the mechs that a row names must be.

    Raises `FileError` where the list cannot be read, and `PlanError` where the plan names none,
    its column names are wrong, or no row is right: the notes of the error are its other faults.
    """
    path = list_path(plan, "bikes", "name, count, chainrings, sprockets, tyre_mm, mass_kg")
    read = read_list(path, COLUMNS, "the kind of bike's", partial(_bike, plan=plan, parts=parts))
    return BikeList(path=path, bikes=read.entries, faults=read.faults, guesses=read.guesses)


def _bike(row: RowReader, plan: Plan, parts: PartsList) -> HireBike | None:
    """The bike of a row; None where it has faults, which are noted in it."""
    name = row.cells.get("name", "")
    told = {column: row.number(column) for column in (*BIKE_HOMES, *HEIGHTS)}
    told |= {column: _whole(row, column) for column in ("count", *FRAME_HOMES)}
    given: dict[str, Any] = {c: value for c, value in told.items() if value is not None}
    check(row, given, BIKE_HOMES | FRAME_HOMES)
    _check_count_and_heights(row, given)
    gears = gears_of_row(row, name, or_ratios=True)
    _check_parts(row, parts)
    if row.faults or gears is None:
        return None
    return HireBike(
        bike=replace(plan.bike, name=name, **fields_of(given, BIKE_HOMES)),
        drivetrain=_with_parts(gears, row),
        frame=_frame(row, given, plan.frame, gears),
        count=given.get("count", 1),
        **{column: given[column] for column in HEIGHTS if column in given},
        assumed=tuple(c for c in ("count", *BIKE_HOMES) if c not in given),
    )


def _whole(row: RowReader, column: str) -> int | None:
    number = row.number(column)
    if number is not None and number != int(number):
        row.fault(column, row.cells[column], "a whole number")
        return None
    return None if number is None else int(number)


def _check_count_and_heights(row: RowReader, given: Mapping[str, Any]) -> None:
    low, high = BIKES_OF_A_KIND
    if "count" in given and not low <= given["count"] <= high:
        row.fault("count", row.cells["count"], f"{low:g} to {high:g}")
    for column in HEIGHTS:
        check_height(row, column, given.get(column))
    lower, upper = (given.get(column) for column in HEIGHTS)
    if lower is not None and upper is not None and lower > upper:
        row.fault(HEIGHTS[0], row.cells[HEIGHTS[0]], f"no more than rider_to_cm, {upper:g}")


def _check_parts(row: RowReader, parts: PartsList) -> None:
    """Note mechs that are not in the parts list, and a driver body that is no class."""
    for column, find in (("rear_mech", parts.rear_mech), ("front_mech", parts.front_mech)):
        if column in row.cells:
            try:
                find(row.cells[column])
            except PlanError as error:
                row.faults.append(f"line {row.line}: {error}")
    check(row, row.cells, {"driver_body": Home("frame", "driver_body")})


def _with_parts(gears: Drivetrain, row: RowReader) -> Drivetrain:
    return replace(
        gears, rear_mech=row.cells.get("rear_mech"), front_mech=row.cells.get("front_mech")
    )


def _frame(row: RowReader, given: Mapping[str, Any], frame: Frame, gears: Drivetrain) -> Frame:
    """The plan's frame with what the row tells, and what the gears that are there say of it."""
    return replace(
        frame,
        driver_body=row.cells.get("driver_body", frame.driver_body),
        shifter_sprockets=len(gears.sprockets) or None,
        shifter_chainrings=len(gears.chainrings) or None,
        front_mech_mount=True if len(gears.chainrings) > 1 else frame.front_mech_mount,
        **fields_of(given, FRAME_HOMES),
    )
