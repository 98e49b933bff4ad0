"""The cells of a row that tell gears: `46-30`, `11-13-15-17-19-21-24-28-32`, ratios."""

from __future__ import annotations

import re

from gearsim.errors import PlanError
from gearsim.lists.columns import NUMBER, RowReader
from gearsim.setup.drivetrain import Drivetrain

WIDEST_PAIR = 1.6
"""Two sprockets further apart than this times are the ends of a cassette, not all of it."""

BETWEEN_TEETH = re.compile(r"\s*[-–/,;]\s*|\s+")
BETWEEN_RATIOS = re.compile(r"\s*[-–/;]\s*|\s+")
WHOLE = re.compile("[0-9]{1,4}")
TEETH = "whole numbers with - between, such as 46-30 or 11-13-15-17-19-21-24-28-32"
RATIOS = "numbers with - between, such as 0.6-0.8-1.0-1.3"
OR_RATIOS = f"; or, for a hub gear or gearbox, the column ratios alone: {RATIOS}"
EVERY_SPROCKET = "every sprocket with - between, such as 11-13-15-17-19-21-24-28-32"
DATE = re.compile(r"[^\W\d]{3,}|\d{1,4}([-/.])\d{1,2}\1\d{4}|\d{4}-\d{2}-\d{2}.*")
MADE_A_DATE = "; a spreadsheet may have made a date of it: format the column as text, write it anew"


def gears_of_row(row: RowReader, name: str, *, or_ratios: bool = False) -> Drivetrain | None:
    """The gears of a row; None where they are wrong, which is noted in it.

    `or_ratios` says that the list has a column for the ratios of a hub gear.
    """
    chainrings, sprockets = (_teeth(row, column) for column in ("chainrings", "sprockets"))
    ratios, efficiency = _ratios(row), row.number("efficiency")
    if len(sprockets) == 2 and max(sprockets) > WIDEST_PAIR * min(sprockets):
        row.fault("sprockets", row.cells["sprockets"], EVERY_SPROCKET)
    if not row.faults and not ratios:
        _note_missing(row, (chainrings, sprockets), OR_RATIOS if or_ratios else "")
    if row.faults:
        return None
    try:
        return Drivetrain(
            name=name,
            chainrings=chainrings,
            sprockets=sprockets,
            ratios=ratios,
            efficiency=efficiency,
        )
    except PlanError as error:
        told = str(error).removeprefix(f"drivetrain {name!r}").lstrip(": ")
        row.faults.append(f"line {row.line}: {told}")
        return None


def _note_missing(row: RowReader, teeth: tuple[tuple[int, ...], tuple[int, ...]], or_: str) -> None:
    """Note the teeth that a row lacks, and what may stand in their place."""
    columns = ("chainrings", "sprockets")
    lacking = [column for column, told in zip(columns, teeth, strict=True) if not told]
    if lacking:
        what = " and ".join(lacking)
        row.faults.append(f"line {row.line}: has no {what}; fill in {TEETH}{or_}")


def _teeth(row: RowReader, column: str) -> tuple[int, ...]:
    cell = row.cells.get(column)
    if cell is None:
        return ()
    parts = BETWEEN_TEETH.split(cell)
    if DATE.search(cell) or not all(WHOLE.fullmatch(part) for part in parts):
        row.fault(column, cell, TEETH + (MADE_A_DATE if DATE.search(cell) else ""))
        return ()
    return tuple(int(part) for part in parts)


def _ratios(row: RowReader) -> tuple[float, ...]:
    cell = row.cells.get("ratios")
    if cell is None:
        return ()
    parts = BETWEEN_RATIOS.split(cell)
    if any("," in part for part in parts):
        row.comma_cells.append(f"line {row.line}, ratios {cell}")
        parts = [part.replace(",", ".") for part in parts]
    if not all(NUMBER.fullmatch(part) for part in parts):
        row.fault("ratios", cell, RATIOS)
        return ()
    return tuple(float(part) for part in parts)
