"""Gear sheets as text: the drivetrains side by side, then each one gear by gear."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from gearsim.output.gear_sheet.words import (
    GEAR_CAUTIONS,
    at_a_glance,
    in_short,
    overlap_words,
    shifts_words,
)
from gearsim.output.page import Page
from gearsim.output.words import at_least_shown, clean, gear_name
from gearsim.setup.gear_sheet import GearSheet
from gearsim.units import KMH_PER_MPS

if TYPE_CHECKING:
    from rich.table import Table

STEPS_READ = (
    "Slowest is the lowest gear at the low limit of cadence; gears run out in the highest one at "
    "the high limit. A step is how much faster the legs turn after a shift to the next lower gear "
    "of the table. Gears with one number (#) count as one. Ring by ring: distinct gears when each "
    "ring is used in one stretch."
)


def gear_sheet_text(
    sheets: Sequence[GearSheet], width: int, colour: bool, assumed: str = ""
) -> str:
    """The gears for people: side by side, and then each drivetrain gear by gear.

    `assumed` is a sentence on what nobody gave.  No line is wider than `width` columns (from 60
    on); without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    page.heading(_title(sheets))
    page.prose(at_a_glance(sheets[0]), style="dim")
    if assumed:
        page.prose(assumed, style="dim")
    if len(sheets) > 1:
        page.gap()
        page.prose(in_short(sheets), style="bold")
    page.section("Side by side" if len(sheets) > 1 else "In all")
    page.table(_whole_table(page, sheets))
    for number, sheet in enumerate(sheets, start=1):
        _add_sheet(page, number, sheet)
    page.section("To read it")
    page.item("-", STEPS_READ)
    page.section("Cautions")
    for caution in GEAR_CAUTIONS:
        page.item("-", caution)
    return page.text()


def _title(sheets: Sequence[GearSheet]) -> str:
    if len(sheets) == 1:
        return f"Gears of {clean(sheets[0].name)}"
    return f"Gears of {len(sheets)} drivetrains"


def _whole_table(page: Page, sheets: Sequence[GearSheet]) -> Table:
    heads = [
        "range\n%",
        "gears",
        "dis-\ntinct",
        "ring\nby\nring",
        "larg-\nest\nstep %",
        "median\nstep %",
        "slow-\nest\nkm/h",
        "runs\nout\nkm/h",
    ]
    table = page.ranked(heads, named="drivetrain")
    for number, sheet in enumerate(sheets, start=1):
        table.add_row(str(number), clean(sheet.name), *_whole_cells(sheet))
    return table


def _whole_cells(sheet: GearSheet) -> list[str]:
    return [
        f"{sheet.range_percent:.0f}",
        str(len(sheet.gears.ratio)),
        str(sheet.distinct_ratios),
        str(sheet.ring_by_ring_ratios),
        _step(sheet.largest_step_percent),
        _step(sheet.median_step_percent),
        at_least_shown(sheet.slowest_mps * KMH_PER_MPS, 1),
        at_least_shown(sheet.fastest_mps * KMH_PER_MPS),
    ]


def _step(percent: float | None) -> str:
    if percent is None or np.isnan(percent):
        return "-"
    return at_least_shown(percent, 1 if percent < 100.0 else 0)


def _add_sheet(page: Page, number: int, sheet: GearSheet) -> None:
    name, label = clean(sheet.name), sheet.drivetrain.label
    page.gap()
    page.item(str(number), name, style="bold")
    if label != name:
        page.indented(label, style="dim")
    page.gap()
    page.table(_gears_table(page, sheet))
    if sheet.overlaps:
        page.gap()
        for overlap in sheet.overlaps:
            page.item("-", overlap_words(sheet, overlap))
        page.item("-", shifts_words(sheet))
        page.gap()
        page.table(_order_table(page, sheet))


def _gears_table(page: Page, sheet: GearSheet) -> Table:
    """A row a gear; gears that count as one share their number."""
    toothed = bool(sheet.drivetrain.chainrings)
    speeds = [f"km/h\nat\n{cadence:g}" for cadence in sheet.cadences_rpm]
    heads = [*(["gear"] if toothed else []), "ratio", "m a\nturn", "gear\ninch", *speeds]
    table = page.numbered([*heads, "step\n%"])
    for gear in range(len(sheet.gears.ratio)):
        ends_ring = bool(np.isnan(sheet.step_below_percent[gear]))
        table.add_row(*_gear_cells(sheet, gear, toothed), end_section=ends_ring)
    return table


def _gear_cells(sheet: GearSheet, gear: int, toothed: bool) -> list[str]:
    gears = sheet.gears
    return [
        str(sheet.place[gear]),
        *([gear_name(gears, gear)] if toothed else []),
        f"{gears.ratio[gear]:.2f}",
        f"{gears.development_m[gear]:.2f}",
        f"{sheet.gear_inches[gear]:.1f}",
        *(f"{sheet.speeds_mps(rpm)[gear] * KMH_PER_MPS:.1f}" for rpm in sheet.cadences_rpm),
        _step(float(sheet.step_below_percent[gear])),
    ]


def _order_table(page: Page, sheet: GearSheet) -> Table:
    table = page.numbered(["gear", "ratio", "step\n%", "front\nshifts", "rear\nclicks"])
    for number, each in enumerate(sheet.order, start=1):
        last = each.step_percent is None
        table.add_row(
            str(number),
            gear_name(sheet.gears, each.gear),
            f"{sheet.gears.ratio[each.gear]:.2f}",
            _step(each.step_percent),
            "" if last else str(each.front_shifts),
            "" if last else str(each.rear_clicks),
        )
    return table
