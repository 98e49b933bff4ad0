"""The CSV list that a key of the plan names: where it is, and its rows one by one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import Generic, NamedTuple, TypeVar

from gearsim.errors import FileError, PlanError, all_at_once
from gearsim.lists.columns import RowReader, guesses_of, rows_of
from gearsim.lists.csv_text import read_csv
from gearsim.plan.plan import Plan

Entry = TypeVar("Entry")


class ListRead(NamedTuple, Generic[Entry]):
    """What the right rows became, and what was wrong or guessed in reading, one line each."""

    entries: tuple[Entry, ...]
    faults: tuple[str, ...]
    guesses: tuple[str, ...]


def read_list(
    path: Path, columns: Sequence[str], whose: str, entry_of: Callable[[RowReader], Entry | None]
) -> ListRead[Entry]:
    """A list of such columns, of which each needs `whose` name.

    `entry_of` makes the entry of a row, or notes in the row what is wrong with it.  Raises as
    `read_csv` and `rows_of`, and `PlanError` where no row is right: the notes of the error are the
    other faults.
    """
    text = read_csv(path)
    rows = rows_of(text, columns, needed=("name",))
    _note_names_twice(rows, whose)
    found = [entry_of(row) for row in rows]
    entries = tuple(entry for entry in found if entry is not None)
    faults = [f"{path}: {fault}" for row in rows for fault in row.faults]
    if not entries:
        none = f"{path}: has only column names; give a line for each, with {whose} name"
        raise all_at_once(faults or [none])
    return ListRead(entries, tuple(faults), guesses_of(text, columns, rows))


def list_path(plan: Plan, key: str, columns: str) -> Path:
    """The file that `key` of the plan names; `columns` are those that a new list would begin with.

    Raises `PlanError` where the plan names none, `FileError` where there is no such file.
    """
    path: Path | None = getattr(plan, key)
    if path is None:
        raise PlanError(
            f"{plan.path}: names no {key}; make a CSV list with the columns {columns}, "
            f'and name it at the top of the plan: {key} = "{key}.csv"'
        )
    if _is_there(path):
        return path
    beside = [other.name for other in path.parent.glob("*.csv")]
    near = get_close_matches(path.name, beside, n=1)
    meant = f"did you mean {near[0]}?" if near else "check its name"
    raise FileError(f"{plan.path}: {key} is {path.name!r}; there is no such file, {meant}")


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):  # a name that no file can have
        return False


def _note_names_twice(rows: Sequence[RowReader], whose: str) -> None:
    """Note rows without a name, and those with a name that stands above already."""
    first: dict[str, int] = {}
    for row in rows:
        name = row.cells.get("name")
        if name is None:
            row.fault("name", "", f"{whose} name")
        elif name in first:
            row.fault("name", name, f"a name of its own, and line {first[name]} has this one")
        else:
            first[name] = row.line
