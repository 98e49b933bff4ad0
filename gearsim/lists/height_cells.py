"""The cells of a row that tell how tall somebody is, cm."""

from __future__ import annotations

from gearsim.lists.columns import RowReader
from gearsim.setup.possible import BODY_HEIGHT_CM

CM_PER_M = 100.0


def check_height(row: RowReader, column: str, height_cm: float | None) -> None:
    """Note a height that nobody has, and what it is in cm where it was told in m."""
    low, high = BODY_HEIGHT_CM
    if height_cm is None or low <= height_cm <= high:
        return
    told_cm = CM_PER_M * height_cm
    in_m = f"; is {told_cm:g} cm meant?" if low <= told_cm <= high else ""
    row.fault(column, row.cells[column], f"{low:g} to {high:g}{in_m}")
