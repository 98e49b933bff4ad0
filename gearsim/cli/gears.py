"""`gearsim gears WHAT ...`: the gears of drivetrains, from a plan or typed, without a road."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from gearsim.cli import console
from gearsim.cli.csv_files import table_file
from gearsim.cli.present import before_work, present
from gearsim.cli.typed_gears import typed_drivetrains
from gearsim.errors import PlanError
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.gear_sheet.chart import gears_figure
from gearsim.output.gear_sheet.tables import (
    drivetrains_table,
    gear_order_table,
    gear_sheet_records,
    gears_table,
)
from gearsim.output.gear_sheet.text import gear_sheet_text
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gear_sheet import GearSheet, gear_sheets
from gearsim.setup.rider import Rider
from gearsim.setup.steps import SAME_GEAR_PERCENT

WRITTEN = ("drivetrains.csv", "gears.csv", "gear-order.csv", "gears.png")
USUAL = Path("gears")  # results of typed gears go into the folder that one is in

BIKE_OPTIONS = {"tyre": "tyre_mm", "rim": "rim_mm"}
RIDER_OPTIONS = {"target": "target_cadence_rpm", "band": "band_rpm", "limits": "limits_rpm"}
"""The options that stand for a value of the bike and of the rider, with its field."""

OPTION_WORDS = {
    **{f"bike.{field}": f"--{option}" for option, field in BIKE_OPTIONS.items()},
    **{f"rider.{field}": f"--{option}" for option, field in RIDER_OPTIONS.items()},
    "tolerance_percent": "--same",
}


@dataclass(frozen=True, kw_only=True)
class Asked:
    """Which drivetrains, on what, under whose legs; `assumed` tells what nobody gave.

    `cautions` are those of the plan, where there is one.
    """

    drivetrains: tuple[Drivetrain, ...]
    bike: Bike
    rider: Rider
    assumed: str
    usual: Path
    cautions: tuple[str, ...] = ()


def run(arguments: Namespace) -> None:
    """Work out the gears, write the files, and print the sheet."""
    asked = _asked(arguments)
    before_work(arguments, usual=asked.usual, ours=WRITTEN)
    with _in_option_words():
        sheets = gear_sheets(
            asked.drivetrains,
            asked.bike,
            asked.rider,
            tolerance_percent=SAME_GEAR_PERCENT if arguments.same is None else arguments.same,
        )
    present(
        arguments,
        usual=asked.usual,
        ours=WRITTEN,
        files=lambda: _files(sheets),
        text=lambda: gear_sheet_text(sheets, console.width(), console.colour(), asked.assumed),
        records=lambda: gear_sheet_records(sheets, asked.assumed),
        cautions=asked.cautions,
    )


def _asked(arguments: Namespace) -> Asked:
    plans = [word for word in arguments.what if _is_plan(word)]
    if len(plans) > 1:
        raise PlanError(f"{plans[1]}: is a second plan; give one, and type the other gears")
    typed = typed_drivetrains([word for word in arguments.what if word not in plans])
    if not plans:
        assumed = _assumed(arguments)
        return Asked(drivetrains=typed, assumed=assumed, usual=USUAL, **_ridden(arguments))
    from gearsim.plan.loading import load_plan

    plan = load_plan(plans[0])
    return Asked(
        drivetrains=plan.drivetrains + typed,
        assumed="",
        usual=plan.path.with_name(f"{plan.path.stem}-gears"),
        cautions=plan.cautions,
        **_ridden(arguments, plan.bike, plan.rider),
    )


def _is_plan(word: str) -> bool:
    return word.lower().endswith(".toml") or Path(word).is_file()


def _ridden(
    arguments: Namespace, bike: Bike | None = None, rider: Rider | None = None
) -> dict[str, Any]:
    """The bike and the rider with what the options say of them."""
    with _in_option_words():
        return {
            "bike": replace(bike or Bike(), **_said(arguments, BIKE_OPTIONS)),
            "rider": replace(rider or Rider(), **_said(arguments, RIDER_OPTIONS)),
        }


def _said(arguments: Namespace, options: dict[str, str]) -> dict[str, Any]:
    values = {field: getattr(arguments, option) for option, field in options.items()}
    return {field: value for field, value in values.items() if value is not None}


def _assumed(arguments: Namespace) -> str:
    """What stands for the options that were left out; empty when all were given."""
    bike, rider = Bike(), Rider()
    (low, high), (low_limit, high_limit) = rider.band_rpm, rider.limits_rpm
    stand_ins = {
        "tyre": f"{bike.tyre_mm:g} mm (--tyre)",
        "rim": f"{bike.rim_mm:g} mm (--rim)",
        "target": f"{rider.target_cadence_rpm:g} rpm (--target)",
        "band": f"{low:g}-{high:g} rpm (--band)",
        "limits": f"{low_limit:g}-{high_limit:g} rpm (--limits)",
    }
    missing = [f"{o} {said}" for o, said in stand_ins.items() if getattr(arguments, o) is None]
    return f"Assumed, since not given: {', '.join(missing)}." if missing else ""


@contextmanager
def _in_option_words() -> Iterator[None]:
    """Tell faults of the bike and the rider by the options that give them."""
    try:
        yield
    except PlanError as error:
        message = str(error)
        for field, option in OPTION_WORDS.items():
            message = message.replace(field, option)
        raise PlanError(message) from error


def _files(sheets: tuple[GearSheet, ...]) -> dict[str, bytes]:
    return {
        "drivetrains.csv": table_file(drivetrains_table(sheets)),
        "gears.csv": table_file(gears_table(sheets)),
        "gear-order.csv": table_file(gear_order_table(sheets)),
        "gears.png": figure_png(gears_figure(sheets)),
    }
