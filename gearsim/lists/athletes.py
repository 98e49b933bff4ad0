"""The CSV list of athletes beside a plan.

A column left out, or a cell left empty, takes what the plan's rider or bike has (`ASSUMED`), and
the athlete says so.  Columns speak the plan's units.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import partial
from pathlib import Path

from gearsim.lists.columns import RowReader
from gearsim.lists.gear_cells import gears_of_row
from gearsim.lists.heads import shown
from gearsim.lists.homes import Home, check, fields_of
from gearsim.lists.list_file import list_path, read_list
from gearsim.lists.rider_cells import CADENCES, RIDER_HOMES, check_cadences, liking, rider_of
from gearsim.plan.plan import Plan
from gearsim.setup.athlete import Athlete
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.parts.kinds import Cassette
from gearsim.setup.parts.parts_list import PartsList

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
    "chainrings",
    "sprockets",
)
ASSUMED = (
    "What is not told of an athlete is that of the plan's [rider] and [bike], except that power "
    "and critical power keep the proportion they have there, the largest power goes with them, and "
    "band and limits of cadence with the target. Gears that are told by their teeth weigh as much "
    "as the plan's drivetrain now."
)


@dataclass(frozen=True, kw_only=True)
class AthleteList:
    """The athletes of a list, and what was wrong or guessed in reading it, one line each."""

    path: Path
    athletes: tuple[Athlete, ...]
    faults: tuple[str, ...]
    guesses: tuple[str, ...]


def load_athletes(plan: Plan, parts: PartsList | None = None) -> AthleteList:
    """The athletes of the plan's list; a row that is wrong is left out and told in `faults`.

    With `parts`, sprockets may be told by the name of a cassette among them.

    Raises `FileError` where the list cannot be read, and `PlanError` where the plan names none,
    its column names are wrong, or no row is right: the notes of the error are its other faults.
    """
    path = list_path(plan, "athletes", "name, mass_kg, power_w, has")
    cassettes = () if parts is None else parts.cassettes
    athlete_of = partial(_athlete, plan=plan, cassettes=cassettes)
    read = read_list(path, COLUMNS, "the athlete's", athlete_of)
    return AthleteList(path=path, athletes=read.entries, faults=read.faults, guesses=read.guesses)


def _athlete(row: RowReader, plan: Plan, cassettes: Sequence[Cassette]) -> Athlete | None:
    """The athlete of a row; None where it has faults, which are noted in it."""
    told = {column: row.number(column) for column in (*HOMES, *CADENCES)}
    given = {column: value for column, value in told.items() if value is not None}
    check(row, given, HOMES)
    like = liking(plan.rider, given.get("target_cadence_rpm"))
    check_cadences(
        row, given, like, "the plan’s" if like == plan.rider else "moved with the target"
    )
    drivetrain = _drivetrain(row, plan, cassettes)
    if row.faults:
        return None
    return Athlete(
        rider=replace(rider_of(given, like), name=row.cells["name"]),
        bike=replace(plan.bike, **fields_of(given, HOMES, "bike")),
        drivetrain=drivetrain,
        assumed=tuple(c for c in COLUMNS if c in told and c not in given),
    )


def _drivetrain(row: RowReader, plan: Plan, cassettes: Sequence[Cassette]) -> Drivetrain | None:
    """What the athlete has: a drivetrain of the plan by its name or its teeth, or one of their own.

    None where nothing is told, or what is told is wrong, which is noted.
    """
    name = row.cells.get("has")
    named = next((each for each in plan.drivetrains if each.name == name), None)
    if "chainrings" not in row.cells and "sprockets" not in row.cells:
        if name is not None and named is None:
            _note_unknown(row, name, [each.name for each in plan.drivetrains])
        return named
    if not _spell_out(row, cassettes):
        return None
    told = gears_of_row(row, name or "")
    if told is None:
        return None
    same = (each for each in plan.drivetrains if _teeth(each) == _teeth(told))
    if named is None:
        return next(same, replace(told, mass_kg=_usual_kg(plan)))
    if _teeth(named) != _teeth(told):
        row.faults.append(
            f"line {row.line}: has is {shown(named.name)}, which is {named.label} in the plan, but "
            f"chainrings and sprockets are {told.label}; leave out the one or the other"
        )
    return named


def _spell_out(row: RowReader, cassettes: Sequence[Cassette]) -> bool:
    """Put the sprockets of a cassette in place of its name; False, noted, for its ends alone."""
    cell = row.cells.get("sprockets", "")
    name = " ".join(cell.lower().split())
    found = next((each for each in cassettes if each.name.lower() == name), None)
    if found is not None:
        row.cells["sprockets"] = "-".join(map(str, found.sprockets))
        return True
    likely = [each.name for each in cassettes if each.name.startswith(f"{name}, ")]
    if not likely:
        return True
    allowed = "every sprocket with - between, or the name of a cassette in the parts list: "
    row.fault("sprockets", cell, allowed + " or ".join(map(repr, likely)))
    return False


def _teeth(drivetrain: Drivetrain) -> tuple[tuple[int, ...], tuple[int, ...]]:
    return drivetrain.chainrings, drivetrain.sprockets


def _usual_kg(plan: Plan) -> float:
    return plan.drivetrain_now.mass_kg if plan.drivetrains else 0.0


def _note_unknown(row: RowReader, name: str, names: Sequence[str]) -> None:
    near = get_close_matches(name, names, n=1)
    hint = (
        f"did you mean {near[0]!r}? Or" if near else f"they are {', '.join(map(repr, names))}; or"
    )
    row.faults.append(
        f"line {row.line}: has is {shown(name)}; allowed is the name of a drivetrain in the plan, "
        f"{hint} tell its teeth under chainrings and sprockets"
    )
