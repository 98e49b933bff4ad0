"""The CSV list that a key of the plan names, and the names in it."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path

from gearsim.errors import FileError, PlanError
from gearsim.lists.columns import RowReader
from gearsim.plan.plan import Plan


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


def note_names_twice(rows: Sequence[RowReader], whose: str) -> None:
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
