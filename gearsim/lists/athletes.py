"""The CSV list of athletes beside a plan.

A column left out, or a cell left empty, takes what the plan's rider or bike has (`ASSUMED`), and
the athlete says so.  Columns speak the plan's units.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

from gearsim.errors import FileError, PlanError
from gearsim.lists.columns import RowReader, all_at_once, comma_guess, rows_of, shown
from gearsim.lists.csv_text import read_csv
from gearsim.plan import EDGES, Plan, in_plan_words
from gearsim.setup.athlete import LARGEST_POSSIBLE_W, Athlete, at_power
from gearsim.setup.bike import Bike
from gearsim.setup.rider import Rider


class Home(NamedTuple):
    """The section of the plan and the key in it that a column stands for."""

    section: str
    key: str


HOMES = {
    "mass_kg": Home("rider", "mass_kg"),
    "power_w": Home("rider", "power_w"),
    "critical_power_w": Home("rider", "critical_power_w"),
    "reserve_kj": Home("rider", "reserve_kj"),
    "drag_area_m2": Home("bike", "drag_area_m2"),
    "bike_mass_kg": Home("bike", "mass_kg"),
}
CADENCES = (
    "limit_low_rpm",
    "band_low_rpm",
    "target_cadence_rpm",
    "band_high_rpm",
    "limit_high_rpm",
)
"""In the order in which they must rise."""

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
    path = _path_of(plan)
    text = read_csv(path)
    rows = rows_of(text, COLUMNS, needed=("name",))
    _note_names_twice(rows)
    found = [_athlete(row, plan) for row in rows]
    faults = [f"{path}: {fault}" for row in rows for fault in row.faults]
    athletes = tuple(athlete for athlete in found if athlete is not None)
    if not athletes:
        none = f"{path}: has no athlete; give a line for each below the column names"
        raise all_at_once(faults or [none])
    guesses = (f"{path}: {guess}" for guess in (*text.guesses, *comma_guess(rows)))
    return AthleteList(path=path, athletes=athletes, faults=tuple(faults), guesses=tuple(guesses))


def _path_of(plan: Plan) -> Path:
    path = plan.athletes
    if path is None:
        raise PlanError(
            f"{plan.path}: names no athletes; make a CSV list with the columns name, mass_kg, "
            'power_w, has, and name it at the top of the plan: athletes = "athletes.csv"'
        )
    if _is_there(path):
        return path
    beside = [other.name for other in path.parent.glob("*.csv")]
    near = get_close_matches(path.name, beside, n=1)
    meant = f"did you mean {near[0]}?" if near else "check its name"
    raise FileError(f"{plan.path}: athletes is {path.name!r}; there is no such file, {meant}")


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):  # a name that no file can have
        return False


def _note_names_twice(rows: Sequence[RowReader]) -> None:
    first: dict[str, int] = {}
    for row in rows:
        name = row.cells.get("name")
        if name is None:
            row.fault("name", "", "the athlete's name")
        elif name in first:
            row.fault("name", name, f"a name of its own, and line {first[name]} has this one")
        else:
            first[name] = row.line


def _athlete(row: RowReader, plan: Plan) -> Athlete | None:
    """The athlete of a row; None where it has faults, which are noted in it."""
    told = {column: row.number(column) for column in (*HOMES, *CADENCES)}
    given = {column: value for column, value in told.items() if value is not None}
    for column in [column for column in HOMES if column in given]:
        _check(row, column, given[column])
    _check_cadences(row, given, plan.rider)
    _check_has(row, [drivetrain.name for drivetrain in plan.drivetrains])
    if row.faults:
        return None
    return Athlete(
        rider=replace(_rider(given, plan.rider), name=row.cells["name"]),
        bike=_bike(given, plan.bike),
        has=row.cells.get("has"),
        assumed=tuple(c for c in COLUMNS if c in told and c not in given),
    )


def _check(row: RowReader, column: str, value: float) -> None:
    """Note a number that no rider or bike can have, by their own checks."""
    home = HOMES[column]
    make: Callable[..., Rider | Bike] = Rider if home.section == "rider" else Bike
    try:
        make(**_fields({column: value}))
    except PlanError as error:
        allowed = in_plan_words(home.section, str(error)).partition("; allowed is ")[2]
        row.fault(column, row.cells[column], allowed)


def _fields(given: Mapping[str, float]) -> dict[str, float]:
    """The fields of the columns, in the fields' units."""
    by_key = {edge.key: (field, edge) for field, edge in EDGES.items()}
    fields = {}
    for column, value in given.items():
        field, edge = by_key.get(HOMES[column].key, (HOMES[column].key, None))
        fields[field] = value if edge is None else value * edge.times / edge.over
    return fields


def _cadences(given: Mapping[str, float], rider: Rider) -> dict[str, float]:
    (low, high), (low_limit, high_limit) = rider.band_rpm, rider.limits_rpm
    values = (low_limit, low, rider.target_cadence_rpm, high, high_limit)
    return {
        column: given.get(column, value) for column, value in zip(CADENCES, values, strict=True)
    }


def _check_cadences(row: RowReader, given: Mapping[str, float], rider: Rider) -> None:
    for column in (CADENCES[0], CADENCES[-1]):
        if column in given and not 10.0 <= given[column] <= 250.0:
            row.fault(column, row.cells[column], "10 to 250")
            return
    cadences = _cadences(given, rider)
    if all(a < b for a, b in pairwise(cadences.values())):
        return
    told = ", ".join(
        f"{column} {value:g}{'' if column in given else ' (the plan’s)'}"
        for column, value in cadences.items()
    )
    row.faults.append(f"line {row.line}: {told}; allowed is that each is more than the one before")


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


def _rider(given: Mapping[str, float], rider: Rider) -> Rider:
    power_w, critical_w = given.get("power_w"), given.get("critical_power_w")
    if power_w is None and critical_w is not None:
        power_w = rider.power_w * critical_w / rider.critical_w
    fitted = at_power(rider, rider.power_w if power_w is None else power_w)
    cadences = _cadences(given, rider)
    low_limit, low, target, high, high_limit = cadences.values()
    if critical_w is not None and fitted.largest_power_w is not None:
        largest_w = fitted.largest_power_w * critical_w / fitted.critical_w
        possible_w = min(max(largest_w, fitted.power_w), LARGEST_POSSIBLE_W)
        fitted = replace(fitted, largest_power_w=possible_w)
    told = {c: v for c, v in given.items() if c in HOMES and HOMES[c].section == "rider"}
    numbers = _fields({c: v for c, v in told.items() if c != "power_w"})
    return replace(
        fitted,
        target_cadence_rpm=target,
        band_rpm=(low, high),
        limits_rpm=(low_limit, high_limit),
        **numbers,  # type: ignore[arg-type]
    )


def _bike(given: Mapping[str, float], bike: Bike) -> Bike:
    told = {c: v for c, v in given.items() if c in HOMES and HOMES[c].section == "bike"}
    return replace(bike, **_fields(told))  # type: ignore[arg-type]
