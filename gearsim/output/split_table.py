"""A table as wide as a page allows: names are cut, and what is too wide becomes several tables."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from gearsim.output.words import shorten

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Column, Table

KEPT = 2  # columns that every part begins with: the row's number, and its name or first number
NAME: Literal["fold"] = "fold"  # the overflow of a column of names
FULL = 80  # from this width on, names give way before a table is split
LEAST_NAME, LINES = 10, 2  # columns and lines of a name that gives way; what is longer is cut,
KEPT_NAME, NARROW_LINES = 20, 3  # and of one on a narrow page, or where the table is split
MOST_NAME = 48  # columns of a name, however wide the page


def within(width: int, table: Table) -> list[Table]:
    """The table where it fits, else parts that do, their columns as even as may be."""
    if _taken(table, table.columns, LEAST_NAME if width >= FULL else KEPT_NAME) <= width:
        return [_part(table, table.columns, width)]
    kept, others = table.columns[:KEPT], table.columns[KEPT:]
    for parts in range(2, len(others)):
        apiece = -(-len(others) // parts)
        runs = [[*kept, *others[first : first + apiece]] for first in range(0, len(others), apiece)]
        if all(_taken(table, run, KEPT_NAME) <= width for run in runs):
            return [_part(table, run, width) for run in runs]
    return [_part(table, [*kept, other], width) for other in others]


def _taken(table: Table, columns: Sequence[Column], name: int) -> int:
    """Width of some columns of a table side by side, those that may wrap squeezed to `name`."""
    widths = [
        _widest(column) if column.no_wrap else min(_widest(column), name) for column in columns
    ]
    _, gap, _, _ = table.padding
    return sum(widths) + (len(widths) - 1) * (gap + 1)


def _widest(column: Column) -> int:
    from rich.cells import cell_len

    return max(
        cell_len(line) for cell in (column.header, *column.cells) for line in str(cell).split("\n")
    )


def _part(table: Table, columns: Sequence[Column], width: int) -> Table:
    """Some columns of a table as a table, which wraps the last one if they are still too wide."""
    from rich.table import Table

    copies = [column.copy() for column in columns]
    free_lines = min(len(head) - len(head.lstrip("\n")) for head in _heads(copies))
    for copy, head in zip(copies, _heads(copies), strict=True):
        copy.header = head[free_lines:]
        copy.max_width = MOST_NAME if copy.overflow == NAME else copy.max_width
    if _taken(table, columns, LEAST_NAME) > width:
        copies[-1].no_wrap, copies[-1].overflow = False, "fold"
    part = Table(*copies, box=table.box, padding=table.padding, pad_edge=False, show_edge=False)
    cells = [_cells(table, columns, place, width) for place in range(len(columns))]
    for row, shown in zip(table.rows, zip(*cells, strict=True), strict=True):
        part.add_row(*shown, style=row.style, end_section=row.end_section)
    return part


def _heads(columns: Sequence[Column]) -> list[str]:
    return [str(column.header) for column in columns]


def _cells(table: Table, columns: Sequence[Column], place: int, width: int) -> list[RenderableType]:
    """A column's cells; names as long as what the others leave of the page, on a few lines."""
    from rich.text import Text

    column = columns[place]
    if column.overflow != NAME:
        return list(column.cells)
    room = min(max(LEAST_NAME, width - _taken(table, columns, 0)), MOST_NAME)
    lines = LINES if width >= FULL else NARROW_LINES
    return [Text(shorten(str(cell), lines * room)) for cell in column.cells]
