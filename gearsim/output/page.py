"""A page of plain text that keeps to a width: headings, prose, lists and tables."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

from gearsim.output.split_table import LEAST_NAME, NAME, within

if TYPE_CHECKING:
    from rich.table import Table

INDENT = 3
NARROWEST = 60  # laid out for this where the terminal is narrower
WIDEST_PROSE = 100  # longer lines are hard to read
ROOMY = 100  # from this width on, columns stand two blanks apart


class Page:
    """Text gathered piece by piece; nothing is printed.

    `width` in columns, 60 or more; without `colour` the text has no escape codes,
    whatever the terminal.
    """

    def __init__(self, *, width: int, colour: bool) -> None:
        from rich.console import Console

        self._file = io.StringIO()
        self.width = max(width, NARROWEST)
        self._console = Console(
            file=self._file,
            width=self.width,
            force_terminal=colour,
            force_jupyter=False,
            force_interactive=False,
            color_system="standard" if colour else None,
            no_color=not colour,
            legacy_windows=False,
            highlight=False,
            markup=False,
            emoji=False,
        )

    def text(self) -> str:
        """The page so far, without blanks at the ends of its lines."""
        return "\n".join(line.rstrip() for line in self._file.getvalue().splitlines()) + "\n"

    def gap(self) -> None:
        """An empty line."""
        self._console.print()

    def heading(self, text: str) -> None:
        """The title of the page."""
        self.prose(text, style="bold underline")

    def section(self, text: str) -> None:
        """The title of a part, after an empty line."""
        self.gap()
        self.prose(text.upper(), style="bold")

    def prose(self, text: str, style: str = "") -> None:
        """A paragraph."""
        self._add(text, left=0, style=style)

    def indented(self, text: str, level: int = 1, style: str = "") -> None:
        """A paragraph with a margin at its left."""
        self._add(text, left=level * INDENT, style=style)

    def item(self, mark: str, text: str, style: str = "") -> None:
        """A paragraph that hangs on a mark."""
        from rich.table import Table
        from rich.text import Text

        grid = Table.grid(padding=0)
        grid.add_column(width=INDENT)
        grid.add_column(max_width=WIDEST_PROSE - INDENT)
        grid.add_row(Text(mark, style=style), Text(text, style=style))
        self._console.print(grid)

    def table(self, table: Table) -> None:
        """A table; where the page is too narrow for it, in parts that begin with the same names."""
        for number, part in enumerate(within(self.width, table)):
            if number:
                self.gap()
            self._console.print(part)

    def whole(self, table: Table) -> None:
        """A table whose columns belong side by side; its cells wrap where the page is narrow."""
        self._console.print(table)

    def ranked(self, heads: Sequence[str], named: str = "candidate") -> Table:
        """An empty table: rank, name, then one column of numbers for each head."""
        number, name, *numbers = _lowered(["#", named, *heads])
        table = self._empty_table(1 if self.width >= ROOMY else 0)
        table.add_column(number, justify="right", no_wrap=True)
        table.add_column(name, overflow=NAME, min_width=LEAST_NAME)
        for head in numbers:
            table.add_column(head, justify="right", no_wrap=True)
        return table

    def numbered(self, heads: Sequence[str]) -> Table:
        """An empty table of numbers, with the row's own number first."""
        table = self._empty_table(2)
        for head in _lowered(["#", *heads]):
            table.add_column(head, justify="right", no_wrap=True)
        return table

    def _empty_table(self, gap: int) -> Table:
        from rich import box
        from rich.table import Table

        return Table(box=box.SIMPLE_HEAD, padding=(0, gap, 0, 0), pad_edge=False, show_edge=False)

    def ranked_row(self, table: Table, rank: int, name: str, cells: Sequence[str]) -> None:
        """One candidate's row; the first stands out."""
        from rich.text import Text

        style = "bold green" if rank == 1 else ""
        table.add_row(str(rank), Text(name), *cells, style=style)

    def _add(self, text: str, left: int, style: str) -> None:
        from rich.padding import Padding
        from rich.text import Text

        width = min(self.width, WIDEST_PROSE)
        self._console.print(Padding(Text(text, style=style), (0, 0, 0, left)), width=width)


def _lowered(heads: Sequence[str]) -> list[str]:
    """Heads of a table, each pushed down to the same last line."""
    deepest = max(head.count("\n") for head in heads)
    return ["\n" * (deepest - head.count("\n")) + head for head in heads]
