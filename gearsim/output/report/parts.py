"""The plain pieces that report pages are made of: tables, lanes, profiles and bars as data.

Every text in them is final; templates only lay them out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row: what it is about, a remark beside that, and its cells, one a head."""

    title: str
    cells: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table: `corner` is the head of the rows' titles.

    In a `titled` one the title of a row stands above its cells, over the table's whole width, so
    that nine columns of numbers fit a phone.  `worded` heads (counted from 0) are over words.
    """

    caption: str
    corner: str
    heads: tuple[str, ...]
    rows: tuple[Row, ...]
    titled: bool = False
    worded: tuple[int, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Shape:
    """Part of a drawing: the name of its filling and its outline as an SVG path."""

    filling: str
    path: str


@dataclass(frozen=True, kw_only=True)
class Label:
    """A text at a place of a drawing, in % from its left edge and from its top.

    With `beside_px` it stands so far right of the place and below it, whatever the drawing's size.
    """

    text: str
    left_percent: float
    top_percent: float = 0.0
    beside_px: tuple[float, float] | None = None


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """A drawing `width` by `height` that is stretched to its place on the page.

    `about` says in words what it shows.  Its labels are laid over it, those of `below` under it.
    """

    title: str
    about: str
    width: int
    height: int
    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...] = ()
    below: tuple[Label, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Bar:
    """A number with a bar behind it, as long as `percent` of the longest."""

    text: str
    percent: float
    filling: str = "plain"
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class BarRow:
    """A row of bars and its title."""

    title: str
    bars: tuple[Bar, ...]


@dataclass(frozen=True, kw_only=True)
class BarTable:
    """A table of bars: `corner` is the head of the rows' titles, `heads` those of the bars."""

    caption: str
    corner: str
    heads: tuple[str, ...]
    rows: tuple[BarRow, ...]


def percent_of_longest(values: Sequence[float]) -> list[float]:
    """Each value in % of the largest; 0 where all are 0."""
    largest = max(values, default=0.0)
    return [100.0 * (value / largest) if largest > 0.0 else 0.0 for value in values]
