"""A CSV text → rows of cells by column name, and the numbers in them."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from gearsim.errors import all_at_once
from gearsim.lists.csv_text import CsvText, Line
from gearsim.lists.heads import Head, faults_of_heads, head_guesses, heads_of, shown

NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)", re.ASCII)
COMMA_NUMBER = re.compile(r"[+-]?\d*,\d+", re.ASCII)


@dataclass(kw_only=True)
class RowReader:
    """One row: its cells by column (empty ones left out), and the faults found in it so far."""

    line: int
    cells: dict[str, str]
    faults: list[str] = field(default_factory=list)
    comma_cells: list[str] = field(default_factory=list)

    def fault(self, column: str, value: str, allowed: str) -> None:
        """Note a wrong cell, and what is allowed in it."""
        self.note(column, value, f"allowed is {allowed}")

    def note(self, column: str, value: str, remedy: str) -> None:
        """Note a wrong cell, and what to do about it."""
        self.faults.append(f"line {self.line}: {column} is {shown(value)}; {remedy}")

    def number(self, column: str) -> float | None:
        """The number in a cell; None for an empty cell, and for a wrong one, which is noted."""
        cell = self.cells.get(column)
        if cell is None:
            return None
        if COMMA_NUMBER.fullmatch(cell):
            self.comma_cells.append(f"line {self.line}, {column} {cell}")
            cell = cell.replace(",", ".")
        if NUMBER.fullmatch(cell) and math.isfinite(float(cell)):
            return float(cell)
        self.fault(column, cell, "a plain number, such as 72 or 0.38")
        return None


def rows_of(text: CsvText, columns: Sequence[str], needed: Sequence[str]) -> list[RowReader]:
    """The rows below the heads; what stands under a head that is not known is left out.

    Raises `PlanError` where a head is nearly one of `columns`, two are for one of them, or a
    `needed` one is missing: its message is the first fault, its notes are the others.
    """
    heads = heads_of(text.lines[0].cells, columns)
    faults = [*faults_of_heads(heads, columns, needed)]
    if faults:
        raise all_at_once([f"{text.path}: line {text.lines[0].number}: {f}" for f in faults])
    return [_row(line, heads) for line in text.lines[1:]]


def _row(line: Line, heads: Sequence[Head]) -> RowReader:
    given = zip(heads, line.cells, strict=False)
    cells = {head.column: cell for head, cell in given if head.column is not None and cell}
    row = RowReader(line=line.number, cells=cells)
    if len(line.cells) > len(heads):
        row.faults.append(
            f"line {line.number}: has {len(line.cells)} cells under {len(heads)} column names; "
            "put cells with a comma in quotes, or write decimals with a point"
        )
    return row


def guesses_of(text: CsvText, columns: Sequence[str], rows: Sequence[RowReader]) -> tuple[str, ...]:
    """What is to be told of a list that was read by guesses, one line each."""
    heads = heads_of(text.lines[0].cells, columns)
    guesses = (*text.guesses, *head_guesses(heads, columns), *_comma_guess(rows))
    return tuple(f"{text.path}: {guess}" for guess in guesses)


def _comma_guess(rows: Sequence[RowReader]) -> list[str]:
    cells = [cell for row in rows for cell in row.comma_cells]
    if not cells:
        return []
    others = f" and {len(cells) - 1} more" if len(cells) > 1 else ""
    return [f"commas in numbers are taken to be decimal points ({cells[0]}{others})"]
