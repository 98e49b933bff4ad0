"""`gearsim squad PLAN`: every athlete of a list with every drivetrain of a plan."""

from __future__ import annotations

from argparse import Namespace

from gearsim.cli import console
from gearsim.cli.compare import COMPILING
from gearsim.cli.csv_files import table_file
from gearsim.cli.present import before_work, present
from gearsim.course.course import Course
from gearsim.lists.athletes import AthleteList, load_athletes
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.squad.chart import squad_figure
from gearsim.output.squad.tables import matrix_table, squad_records, squad_table
from gearsim.output.squad.text import squad_text
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.ride import kernel_ready
from gearsim.studies.squad import Squad, ride_squad, with_break_even
from gearsim.units import SECONDS_PER_MINUTE

REPORT = "report.html"


def run(arguments: Namespace) -> None:
    """Ride, write the files, and print the matrix; rows that are wrong are told and left out."""
    plan = load_plan(arguments.plan)
    usual = plan.path.with_name(f"{plan.path.stem}-squad")
    before_work(arguments, usual=usual)
    read = load_athletes(plan)
    console.complain(*(f"{fault}; left out" for fault in read.faults))
    with console.doing(f"Loading {plan.route.name}", quiet=arguments.quiet):
        course = plan.load_course()
    squad = _ride(plan, read, course, arguments)
    console.complain(*(f"{fault}; left out" for fault in squad.left_out))
    present(
        arguments,
        usual=usual,
        files=lambda: _files(squad) | _report_files(arguments, squad, read),
        text=lambda: squad_text(squad, read, console.width(), console.colour()),
        records=lambda: squad_records(squad, read),
    )


def _ride(plan: Plan, read: AthleteList, course: Course, arguments: Namespace) -> Squad:
    quiet = arguments.quiet
    if not kernel_ready() and not quiet:
        console.note(COMPILING)
    rides = len(read.athletes) * len(plan.drivetrains)
    with console.counting("Rides", rides, quiet=quiet) as done:
        squad = ride_squad(
            course,
            read.athletes,
            plan.drivetrains,
            plan.conditions,
            weights=plan.weights,
            done=done,
        )
    with console.counting("Power needed", len(squad.standings), quiet=quiet) as done:
        most_below_s = arguments.below * SECONDS_PER_MINUTE
        return with_break_even(squad, most_below_s=most_below_s, done=done)


def _files(squad: Squad) -> dict[str, bytes]:
    return {
        "squad.csv": table_file(squad_table(squad)),
        "squad-matrix.csv": table_file(matrix_table(squad)),
        "squad.png": figure_png(squad_figure(squad)),
    }


def _report_files(arguments: Namespace, squad: Squad, read: AthleteList) -> dict[str, bytes]:
    if not arguments.report:
        return {}
    from gearsim.output.squad.report import squad_report

    return {REPORT: squad_report(squad, read)}
