"""`gearsim compare PLAN`: every drivetrain of a plan, ridden and ranked."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gearsim.cli import console
from gearsim.cli.csv_files import ride_files, table_file
from gearsim.cli.present import before_work, present
from gearsim.errors import PlanError
from gearsim.output.comparison.chart import comparison_figure
from gearsim.output.comparison.tables import (
    comparison_records,
    comparison_table,
    worst_places_table,
)
from gearsim.output.comparison.text import comparison_text
from gearsim.output.drawing.sheet import figure_png
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.ride import kernel_ready
from gearsim.setup.frame import Frame
from gearsim.studies.compare import Comparison, compare_rides, with_fits
from gearsim.studies.finish_band import with_ends

if TYPE_CHECKING:
    from gearsim.setup.fit.fitment import Fit
    from gearsim.studies.days.days import Days

COMPILING = "Compiling the ride, once on this machine; some ten seconds or more ..."

WRITTEN = (
    "comparison.csv",
    "worst-places.csv",
    "comparison.png",
    "ride-*.csv",
    "ride-*.csv.gz",
    "days.csv",
    "days-summary.csv",
    "days.png",
    "report.html",
    "places-*.gpx",
)
"""Every name that this command may give a file."""


def run(arguments: Namespace) -> None:
    """Ride, write the files, and print the ranking."""
    plan = load_plan(arguments.plan)
    plan.require_drivetrains()
    usual = plan.path.with_name(f"{plan.path.stem}-results")
    before_work(arguments, usual=usual, ours=WRITTEN)
    fits = _fits(plan, arguments.parts)
    comparison = with_fits(_ride(plan, quiet=arguments.quiet), fits)
    days = _over_days(arguments, plan, comparison)
    present(
        arguments,
        usual=usual,
        ours=WRITTEN,
        files=lambda: (
            _files(comparison)
            | _report_files(arguments, plan, comparison, fits, days)
            | _days_files(days)
        ),
        text=lambda: _text(comparison, days),
        records=lambda: _records(comparison, days),
        cautions=plan.cautions,
    )


def _ride(plan: Plan, *, quiet: bool) -> Comparison:
    with console.doing(f"Loading {plan.route.name}", quiet=quiet):
        course = plan.load_course()
    if not kernel_ready() and not quiet:
        console.note(COMPILING)
    with console.counting("Rides", len(plan.drivetrains), quiet=quiet) as done:
        comparison = compare_rides(
            course,
            plan.rider,
            plan.bike,
            plan.drivetrains,
            plan.conditions,
            weights=plan.weights,
            done=done,
        )
        return replace(with_ends(comparison, plan.weights), cautions=plan.cautions)


def _files(comparison: Comparison) -> dict[str, bytes]:
    """The tables and the picture; the rides' tables are made while it is drawn."""
    with ThreadPoolExecutor(max_workers=1) as pool:
        rides = pool.submit(ride_files, [each.ride for each in comparison.candidates])
        return {
            "comparison.csv": table_file(comparison_table(comparison)),
            "worst-places.csv": table_file(worst_places_table(comparison)),
            "comparison.png": figure_png(comparison_figure(comparison)),
            **rides.result(),
        }


def _over_days(arguments: Namespace, plan: Plan, comparison: Comparison) -> Days | None:
    if arguments.days is None:
        return None
    from gearsim.cli.over_days import ride_over_days

    return ride_over_days(arguments, plan, comparison)


def _days_files(days: Days | None) -> dict[str, bytes]:
    if days is None:
        return {}
    from gearsim.cli.over_days import days_files

    return days_files(days)


def _text(comparison: Comparison, days: Days | None) -> str:
    text = comparison_text(comparison, console.width(), console.colour())
    if days is None:
        return text
    from gearsim.output.days.text import days_text

    return f"{text}\n\n{days_text(days, console.width(), console.colour())}"


def _records(comparison: Comparison, days: Days | None) -> dict[str, Any]:
    records = comparison_records(comparison)
    if days is None:
        return records
    from gearsim.output.days.tables import days_records

    return {**records, "over_days": days_records(days)}


def _report_files(
    arguments: Namespace,
    plan: Plan,
    comparison: Comparison,
    fits: tuple[Fit, ...],
    days: Days | None,
) -> dict[str, bytes]:
    if not arguments.report:
        return {}
    from gearsim.cli.report_files import report_files

    return report_files(comparison, plan.weights, fits, days)


def _fits(plan: Plan, parts: Sequence[Path]) -> tuple[Fit, ...]:
    """What fits, where the plan tells anything to go by; without that all is a caution."""
    if not _tells_of_fit(plan):
        return ()
    from gearsim.setup.fit.fitment import fits_of
    from gearsim.setup.parts.parts_list import load_parts

    try:
        return fits_of(plan.drivetrains, load_parts(*parts), plan.bike, plan.frame)
    except PlanError as error:
        raise PlanError(f"{plan.path}: {error}") from error


def _tells_of_fit(plan: Plan) -> bool:
    parts = (
        part
        for each in plan.drivetrains
        for part in (
            each.chainset,
            each.rear_mech,
            each.front_mech,
            each.driver_body,
            each.internal_gear,
        )
    )
    return plan.frame != Frame() or any(part is not None for part in parts)
