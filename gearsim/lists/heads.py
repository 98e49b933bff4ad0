"""The heads of a CSV list → its columns, however they are written, and what was guessed."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Container, Iterator, Sequence
from difflib import get_close_matches
from typing import NamedTuple

UNITS = frozenset(("kg", "w", "kj", "rpm", "m2", "mm", "cm", "kmh"))
OTHER_WORDS = {"weight": "mass", "tire": "tyre", "cda": "drag_area"}
"""Words for a column that are not ours, by which the column that is meant is found."""

NEAR = 0.75  # how alike a head and a column must be for the one to be the other, misspelt
NEAR_WITHOUT_UNIT = 0.8  # the same for shorter words, which are sooner alike by chance
LONGEST_SHOWN = 40  # letters of a cell that a message repeats


class Head(NamedTuple):
    """A head as written, and the column that it stands for: None where it is left out."""

    written: str
    column: str | None
    guessed: bool = False


def heads_of(cells: Sequence[str], columns: Sequence[str]) -> tuple[Head, ...]:
    """The heads in the cells of a line: `Mass (kg)` and `mass` both stand for `mass_kg`."""
    return tuple(_head(cell, columns) for cell in cells)


def _head(written: str, columns: Sequence[str]) -> Head:
    plain = _plain(written)
    if plain in columns:
        return Head(written, plain)
    without_unit = [column for column in columns if _without_unit(column) == plain]
    if plain and len(without_unit) == 1:
        return Head(written, without_unit[0], guessed=True)
    return Head(written, None)


def _plain(head: str) -> str:
    return re.sub(r"\W+", "_", head.lower().replace("²", "2")).strip("_")


def _without_unit(column: str) -> str:
    quantity, _, unit = column.rpartition("_")
    return quantity if unit in UNITS else column


def faults_of_heads(
    heads: Sequence[Head], columns: Sequence[str], needed: Sequence[str]
) -> Iterator[str]:
    """Heads that are empty, misspelt or there twice, and `needed` columns that are missing.

    Where heads are not known and nothing is told but what is needed, none of them can be meant to
    be left out.  With a head that is not known the last fault names the columns that are.
    """
    counts = Counter(head.column for head in heads if head.column is not None)
    near = {head: _near(head, columns) or _of_its_unit(head, columns, counts) for head in heads}
    nothing_told = bool(counts) and not counts.keys() - {*needed}
    for place, head in enumerate(heads, start=1):
        if not head.written:
            yield f"column {place} has no name; name it or delete it"
        elif near[head]:
            yield f"there is no column {shown(head.written)}; did you mean {near[head]}?"
        elif head.column is None and nothing_told:
            yield f"there is no column {shown(head.written)}; rename or delete it"
    for column, count in counts.items():
        if count > 1:
            yield f"column {column} is there {count} times; keep one"
    if not counts:
        yield f"has no column names that are known; known are {', '.join(columns)}"
        return
    yield from (f"column {name} is missing; add it" for name in needed if name not in counts)
    unknown = [head for head in heads if head.column is None and head.written]
    if any(near[head] or nothing_told for head in unknown):
        yield f"the columns that are known are {', '.join(columns)}"


def _near(head: Head, columns: Sequence[str]) -> str | None:
    """The column that a head left out was probably meant for."""
    if head.column is not None:
        return None
    plain = _plain(head.written)
    quantity = _without_unit(plain)
    quantity = OTHER_WORDS.get(quantity, quantity)
    for column in columns:
        known = _without_unit(column)
        if known != column and (quantity == known or quantity.startswith(f"{known}_")):
            return column
    near = get_close_matches(plain, columns, n=1, cutoff=NEAR)
    if near:
        return near[0]
    bare = {_without_unit(column): column for column in columns}
    alike = get_close_matches(quantity, bare, n=1, cutoff=NEAR_WITHOUT_UNIT)
    return bare[alike[0]] if alike else None


def _of_its_unit(head: Head, columns: Sequence[str], known: Container[str]) -> str:
    """The columns in the unit of a head that is not known, in whatever tongue; "" for none.

    Where one of them is there too, the head may well tell something else, and is left out.
    """
    unit = _plain(head.written).rpartition("_")[2]
    alike = [column for column in columns if column.rpartition("_")[2] == unit]
    if head.column is not None or unit not in UNITS or any(column in known for column in alike):
        return ""
    return " or ".join(alike)


def head_guesses(heads: Sequence[Head], columns: Sequence[str]) -> Iterator[str]:
    """What is to be told of heads that were guessed, and of those left out."""
    for head in heads:
        if head.guessed:
            yield f"column {shown(head.written)} is taken for {head.column}"
    left_out = [shown(head.written) for head in heads if head.column is None]
    if left_out:
        which = "column {} is" if len(left_out) == 1 else "columns {} are"
        yield (
            f"{which.format(', '.join(left_out))} not known and left out; "
            f"known are {', '.join(columns)}"
        )


def shown(text: str) -> str:
    """A cell as a message repeats it."""
    return repr(text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}...")
