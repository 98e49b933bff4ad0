"""`gearsim compare PLAN --days N`: the comparison ridden again on drawn days, and its files."""

from __future__ import annotations

from argparse import Namespace

from gearsim.cli import console
from gearsim.cli.csv_files import table_file
from gearsim.errors import PlanError
from gearsim.output.days.chart import days_figure
from gearsim.output.days.tables import days_summary_table, days_table
from gearsim.output.drawing.sheet import figure_png
from gearsim.plan.plan import Plan
from gearsim.studies.compare import Comparison
from gearsim.studies.days.days import Days, ride_days


def ride_over_days(arguments: Namespace, plan: Plan, comparison: Comparison) -> Days:
    """The comparison over the days that the plan makes likely.

    Raises `PlanError`, naming the plan, where a drawn day cannot be ridden.
    """
    try:
        with console.counting("Days", arguments.days, quiet=arguments.quiet) as done:
            return ride_days(
                comparison,
                plan.uncertain,
                most_days=arguments.days,
                weights=plan.weights,
                done=done,
            )
    except PlanError as error:
        raise PlanError(f"{plan.path}: {error}") from error


def days_files(days: Days) -> dict[str, bytes]:
    """The tables and the picture of the days, by file name."""
    return {
        "days.csv": table_file(days_table(days)),
        "days-summary.csv": table_file(days_summary_table(days)),
        "days.png": figure_png(days_figure(days)),
    }
