"""A CSV text → rows of cells by column name, and the numbers in them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches

from gearsim.errors import PlanError
from gearsim.lists.csv_text import CsvText, Line

NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)", re.ASCII)
COMMA_NUMBER = re.compile(r"[+-]?\d*,\d+", re.ASCII)
LONGEST_SHOWN = 40  # characters of a wrong cell that a message repeats


@dataclass(kw_only=True)
class RowReader:
    """One row: its cells by column (empty ones left out), and the faults found in it so far."""

    line: int
    cells: dict[str, str]
    faults: list[str] = field(default_factory=list)
    comma_cells: list[str] = field(default_factory=list)

    def fault(self, column: str, value: str, allowed: str) -> None:
        """Note a wrong cell."""
        self.faults.append(f"line {self.line}: {column} is {shown(value)}; allowed is {allowed}")

    def number(self, column: str) -> float | None:
        """The number in a cell; None for an empty cell, and for a wrong one, which is noted."""
        cell = self.cells.get(column)
        if cell is None:
            return None
        if COMMA_NUMBER.fullmatch(cell):
            self.comma_cells.append(f"line {self.line}, {column} {cell}")
            cell = cell.replace(",", ".")
        if NUMBER.fullmatch(cell):
            return float(cell)
        self.fault(column, cell, "a plain number, such as 72 or 0.38")
        return None


def shown(text: str) -> str:
    """A cell as a message repeats it."""
    return repr(text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}...")


def rows_of(text: CsvText, columns: Sequence[str], needed: Sequence[str]) -> list[RowReader]:
    """The rows below the heads.

    Raises `PlanError` where heads are not among `columns`, are there twice, or a `needed` one is
    missing: its message is the first fault, its notes are the others.
    """
    heads = [head.lower() for head in text.lines[0].cells]
    faults = [*_faults_of_heads(heads, columns, needed)]
    if faults:
        raise all_at_once([f"{text.path}: line {text.lines[0].number}: {f}" for f in faults])
    return [_row(line, heads) for line in text.lines[1:]]


def _faults_of_heads(
    heads: Sequence[str], columns: Sequence[str], needed: Sequence[str]
) -> list[str]:
    faults = []
    for place, head in enumerate(heads, start=1):
        if not head:
            faults.append(f"column {place} has no name; name it or delete it")
        elif head not in columns:
            near = get_close_matches(head.replace(" ", "_"), columns, n=1)
            hint = f"did you mean {near[0]}?" if near else f"allowed are {', '.join(columns)}"
            faults.append(f"there is no column {shown(head)}; {hint}")
    for head, count in Counter(heads).items():
        if head and count > 1:
            faults.append(f"column {head} is there {count} times; keep one")
    faults += [f"column {name} is missing; add it" for name in needed if name not in heads]
    return faults


def _row(line: Line, heads: Sequence[str]) -> RowReader:
    given = zip(heads, line.cells, strict=False)
    row = RowReader(line=line.number, cells={head: cell for head, cell in given if cell})
    if len(line.cells) > len(heads):
        row.faults.append(
            f"line {line.number}: has {len(line.cells)} cells under {len(heads)} column names; "
            "put cells with a comma in quotes, or write decimals with a point"
        )
    return row


def comma_guess(rows: Sequence[RowReader]) -> list[str]:
    """What is to be told where commas were read as decimal points."""
    cells = [cell for row in rows for cell in row.comma_cells]
    if not cells:
        return []
    others = f" and {len(cells) - 1} more" if len(cells) > 1 else ""
    return [f"commas in numbers are taken to be decimal points ({cells[0]}{others})"]


def all_at_once(faults: Sequence[str]) -> PlanError:
    """An error whose message is the first fault and whose notes are the others."""
    error = PlanError(faults[0])
    for other in faults[1:]:
        error.add_note(other)
    return error
