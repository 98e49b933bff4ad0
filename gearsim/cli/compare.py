"""`gearsim compare PLAN`: every drivetrain of a plan, ridden and ranked."""

from __future__ import annotations

from argparse import Namespace

from gearsim.cli import console
from gearsim.cli.csv_files import ride_files, table_file
from gearsim.cli.present import present
from gearsim.output.charts import comparison_figure, figure_png
from gearsim.output.tables import comparison_records, comparison_table, worst_places_table
from gearsim.output.terminal import comparison_text
from gearsim.plan import Plan, load_plan
from gearsim.ride import kernel_ready
from gearsim.studies.compare import Comparison, compare_rides

COMPILING = "Compiling the ride, once on this machine; some ten seconds or more ..."


def run(arguments: Namespace) -> None:
    """Ride, write the files, and print the ranking."""
    plan = load_plan(arguments.plan)
    comparison = _ride(plan, quiet=arguments.quiet)
    present(
        arguments,
        usual=plan.path.with_name(f"{plan.path.stem}-results"),
        files=lambda: _files(comparison),
        text=lambda: comparison_text(comparison, console.width(), console.colour()),
        records=lambda: comparison_records(comparison),
    )


def _ride(plan: Plan, *, quiet: bool) -> Comparison:
    with console.doing(f"Loading {plan.route.name}", quiet=quiet):
        course = plan.load_course()
    if not kernel_ready() and not quiet:
        console.note(COMPILING)
    with console.doing(f"Riding {len(plan.drivetrains)} drivetrains", quiet=quiet):
        return compare_rides(
            course,
            plan.rider,
            plan.bike,
            plan.drivetrains,
            plan.conditions,
            weights=plan.weights,
        )


def _files(comparison: Comparison) -> dict[str, bytes]:
    return {
        "comparison.csv": table_file(comparison_table(comparison)),
        "worst-places.csv": table_file(worst_places_table(comparison)),
        "comparison.png": figure_png(comparison_figure(comparison)),
        **ride_files([candidate.ride for candidate in comparison.candidates]),
    }
