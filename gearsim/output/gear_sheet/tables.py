"""Gear sheets as tables for people and as records for programs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from gearsim.output.gear_sheet.words import GEAR_CAUTIONS
from gearsim.setup.gear_sheet import GearSheet, RingOverlap
from gearsim.units import KMH_PER_MPS

if TYPE_CHECKING:
    import pandas as pd

Row = dict[str, Any]

CADENCES = ("low_limit", "band_low", "target", "band_high", "high_limit")
"""What the cadences of a sheet are called in a column's name, in the sheet's order."""


def gears_table(sheets: Sequence[GearSheet]) -> pd.DataFrame:
    """One row a gear, drivetrain by drivetrain; the unit of every column is in its name.

    `chainring` and `sprocket` are teeth, 0 for a hub gear or gearbox.  `place` counts from the
    highest gear down; gears that count as one share it.  `step_percent` is the step to the next
    lower gear on the ring, NaN for the ring's lowest.
    """
    import pandas as pd

    return pd.DataFrame([row for sheet in sheets for row in _named(sheet, _gear_rows(sheet))])


def drivetrains_table(sheets: Sequence[GearSheet]) -> pd.DataFrame:
    """One row a drivetrain, in the order given; the unit of every column is in its name."""
    import pandas as pd

    return pd.DataFrame([_drivetrain_row(sheet) for sheet in sheets])


def gear_order_table(sheets: Sequence[GearSheet]) -> pd.DataFrame:
    """One row a distinct ratio from the highest down, drivetrain by drivetrain.

    Step and shifts are those to the next row of the drivetrain; its last row has no step.
    """
    import pandas as pd

    return pd.DataFrame([row for sheet in sheets for row in _named(sheet, _order_rows(sheet))])


def gear_sheet_records(sheets: Sequence[GearSheet], assumed: str = "") -> Row:
    """Everything of the three tables, with what was assumed, in plain types ready for JSON.

    Numbers that do not exist (the step below the lowest gear) are None.
    """
    first = sheets[0]
    return {
        "wheel": {
            "rim_mm": first.bike.rim_mm,
            "tyre_mm": first.bike.tyre_mm,
            "circumference_m": first.bike.circumference_m,
        },
        "cadence_rpm": dict(zip(CADENCES, first.cadences_rpm, strict=True)),
        "assumed": assumed,
        "drivetrains": [
            {
                **_drivetrain_row(sheet),
                "gear_list": _gear_rows(sheet),
                "overlaps": [_overlap_row(sheet, overlap) for overlap in sheet.overlaps],
                "order": _order_rows(sheet),
            }
            for sheet in sheets
        ],
        "cautions": list(GEAR_CAUTIONS),
    }


def _named(sheet: GearSheet, rows: Sequence[Row]) -> list[Row]:
    return [{"drivetrain": sheet.name, **row} for row in rows]


def _drivetrain_row(sheet: GearSheet) -> Row:
    gears = sheet.gears
    return {
        "name": sheet.name,
        "gears_label": sheet.drivetrain.label,
        "chainrings": len(sheet.drivetrain.chainrings),
        "gears": len(gears.ratio),
        "distinct_ratios": sheet.distinct_ratios,
        "tolerance_percent": sheet.tolerance_percent,
        "ring_by_ring_ratios": sheet.ring_by_ring_ratios,
        "range_percent": sheet.range_percent,
        "largest_step_percent": sheet.largest_step_percent,
        "median_step_percent": sheet.median_step_percent,
        "lowest_development_m": float(gears.development_m[gears.lowest]),
        "highest_development_m": float(gears.development_m[gears.highest]),
        "lowest_speed_kmh": sheet.slowest_mps * KMH_PER_MPS,
        "top_speed_kmh": sheet.fastest_mps * KMH_PER_MPS,
        "front_shifts_in_order": sheet.front_shifts,
        "double_shifts_in_order": sheet.double_shifts,
        "rear_clicks_in_order": sheet.rear_clicks,
        "mass_kg": sheet.drivetrain.mass_kg,
    }


def _gear_rows(sheet: GearSheet) -> list[Row]:
    speeds_kmh = {
        f"{called}_kmh": sheet.speeds_mps(cadence_rpm) * KMH_PER_MPS
        for called, cadence_rpm in zip(CADENCES, sheet.cadences_rpm, strict=True)
    }
    return [
        {
            **_gear_columns(sheet, gear),
            **{called: float(speed[gear]) for called, speed in speeds_kmh.items()},
            "step_percent": _number(sheet.step_below_percent[gear]),
        }
        for gear in range(len(sheet.gears.ratio))
    ]


def _gear_columns(sheet: GearSheet, gear: int) -> Row:
    gears = sheet.gears
    return {
        "place": int(sheet.place[gear]),
        "chainring": int(gears.chainring[gear]),
        "sprocket": int(gears.sprocket[gear]),
        "ratio": float(gears.ratio[gear]),
        "development_m": float(gears.development_m[gear]),
        "gear_inches": float(sheet.gear_inches[gear]),
    }


def _order_rows(sheet: GearSheet) -> list[Row]:
    return [
        {
            **_gear_columns(sheet, each.gear),
            "step_percent": each.step_percent,
            "front_shifts": each.front_shifts,
            "rear_clicks": each.rear_clicks,
        }
        for each in sheet.order
    ]


def _overlap_row(sheet: GearSheet, overlap: RingOverlap) -> Row:
    sprocket = sheet.gears.sprocket
    return {
        "larger_ring": overlap.larger_teeth,
        "smaller_ring": overlap.smaller_teeth,
        "larger_ring_sprockets_inside": sprocket[list(overlap.larger_inside)].tolist(),
        "smaller_ring_sprockets_inside": sprocket[list(overlap.smaller_inside)].tolist(),
        "same_gears": [
            {"larger_ring_sprocket": int(sprocket[a]), "smaller_ring_sprocket": int(sprocket[b])}
            for a, b in overlap.twins
        ],
    }


def _number(value: float) -> float | None:
    return None if np.isnan(value) else float(value)
