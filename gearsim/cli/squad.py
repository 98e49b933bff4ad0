"""`gearsim squad PLAN`: every athlete of a list with the plan's drivetrains or all that fits."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from typing import Any

from gearsim.cli import console
from gearsim.cli.compare import COMPILING
from gearsim.cli.csv_files import table_file
from gearsim.cli.present import before_work, present
from gearsim.errors import PlanError
from gearsim.lists.athletes import AthleteList, load_athletes
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.squad.chart import squad_figure
from gearsim.output.squad.tables import builds_table, matrix_table, squad_records, squad_table
from gearsim.output.squad.text import squad_text
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.ride import kernel_ready
from gearsim.setup.parts.parts_list import PartsList, load_parts
from gearsim.studies.squad.open_builds import OpenBuilds, open_builds
from gearsim.studies.squad.power_needed import with_break_even
from gearsim.studies.squad.ride_squad import ride_count, ride_squad
from gearsim.studies.squad.search_squad import search_squad
from gearsim.studies.squad.squad import Squad
from gearsim.units import SECONDS_PER_MINUTE

REPORT = "report.html"
BUILDS = "squad-builds.csv"
WRITTEN = ("squad.csv", "squad-matrix.csv", "squad.png", BUILDS, REPORT)


def run(arguments: Namespace) -> None:
    """Ride, write the files, and print the matrix; rows that are wrong are told and left out."""
    plan = load_plan(arguments.plan)
    usual = plan.path.with_name(f"{plan.path.stem}-squad")
    before_work(arguments, usual=usual, ours=WRITTEN)
    _require_drivetrains(arguments, plan)
    parts = load_parts(*plan.parts_files, *arguments.parts)
    read = load_athletes(plan, parts)
    console.complain(*(f"{fault}; left out" for fault in read.faults))
    squad = _with_break_even(_squad(plan, read, parts, arguments), arguments)
    console.complain(*(f"{fault}; left out" for fault in squad.left_out))
    present(
        arguments,
        usual=usual,
        ours=WRITTEN,
        files=lambda: _files(squad) | _report_files(arguments, squad, read, plan.cautions),
        text=lambda: squad_text(squad, read, console.width(), console.colour()),
        records=lambda: squad_records(squad, read),
        cautions=plan.cautions,
    )


def _require_drivetrains(arguments: Namespace, plan: Plan) -> None:
    """Refuse to ride nothing."""
    if not plan.drivetrains and not arguments.search:
        raise PlanError(
            f"{plan.path}: has no [[drivetrain]] to ride; give at least one, or ride all that fits "
            "with --search"
        )


def _squad(plan: Plan, read: AthleteList, parts: PartsList, arguments: Namespace) -> Squad:
    quiet = arguments.quiet
    builds = _builds(plan, read, parts, arguments) if arguments.search else None
    with console.doing(f"Loading {plan.route.name}", quiet=quiet):
        course = plan.load_course()
    if not kernel_ready() and not quiet:
        console.note(COMPILING)
    rides = ride_count(read.athletes, plan.drivetrains) if builds is None else builds.rides
    with console.counting("Rides", rides, quiet=quiet) as done:
        options: Any = {"weights": plan.weights, "most_kinds": arguments.kinds, "done": done}
        if builds is not None:
            return search_squad(course, builds, plan.conditions, **options)
        return ride_squad(course, read.athletes, plan.drivetrains, plan.conditions, **options)


def _builds(plan: Plan, read: AthleteList, parts: PartsList, arguments: Namespace) -> OpenBuilds:
    now = plan.drivetrain_now if plan.drivetrains else None
    with console.doing("Seeing what fits", quiet=arguments.quiet):
        try:
            return open_builds(read.athletes, now, parts, plan.frame, plan.wishes)
        except PlanError as error:
            raise PlanError(f"{plan.path}: {error}") from error


def _with_break_even(squad: Squad, arguments: Namespace) -> Squad:
    told = len(squad.standings)
    with console.counting("Power needed", told, quiet=arguments.quiet) as done:
        most_below_s = arguments.below * SECONDS_PER_MINUTE
        return with_break_even(squad, most_below_s=most_below_s, done=done)


def _files(squad: Squad) -> dict[str, bytes]:
    builds = {} if squad.sought is None else {BUILDS: table_file(builds_table(squad.sought))}
    return {
        "squad.csv": table_file(squad_table(squad)),
        "squad-matrix.csv": table_file(matrix_table(squad)),
        **builds,
        "squad.png": figure_png(squad_figure(squad)),
    }


def _report_files(
    arguments: Namespace, squad: Squad, read: AthleteList, cautions: Sequence[str]
) -> dict[str, bytes]:
    if not arguments.report:
        return {}
    from gearsim.output.squad.report import squad_report

    return {REPORT: squad_report(squad, read, cautions)}
