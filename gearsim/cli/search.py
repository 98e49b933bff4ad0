"""`gearsim search PLAN`: of all that fits the bike, what to fit."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from gearsim.cli import console
from gearsim.cli.compare import COMPILING
from gearsim.cli.csv_files import file_names, ride_files, table_file
from gearsim.cli.interrupts import work_ended
from gearsim.cli.present import before_work, present
from gearsim.errors import PlanError
from gearsim.output.comparison.chart import comparison_figure
from gearsim.output.comparison.tables import worst_places_table
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.search.chart import search_figure
from gearsim.output.search.tables import search_records, search_table
from gearsim.output.search.text import search_text
from gearsim.output.search.words import ridden_by_told
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.ride import kernel_ready
from gearsim.setup.parts.parts_list import load_parts
from gearsim.studies.search.answer import Answer, answer_of
from gearsim.studies.search.builds_in_question import builds_in_question
from gearsim.studies.search.search import Search, ride_builds, rides_of

if TYPE_CHECKING:
    from gearsim.studies.days.days import Days

RIDES_WRITTEN = 3  # of the best, beside that of what the rider has
REPORT = "report.html"

WRITTEN = (
    "search.csv",
    "search.png",
    "comparison.png",
    "worst-places.csv",
    "ride-*.csv",
    "ride-*.csv.gz",
    "days.csv",
    "days-summary.csv",
    "days.png",
    REPORT,
    "places-*.gpx",
)
"""Every name that this command may give a file."""


def run(arguments: Namespace) -> None:
    """Ride all that fits, write the files, and print the answer; stopped, what there is so far."""
    plan = load_plan(arguments.plan)
    usual = plan.path.with_name(f"{plan.path.stem}-search")
    before_work(arguments, usual=usual, ours=WRITTEN)
    search = _search(plan, arguments)
    answer = answer_of(search, plan.cautions)
    days, stopped = _over_days(arguments, plan, answer)
    if stopped:
        work_ended()
    present(
        arguments,
        usual=usual,
        files=lambda: _files(answer) | _report_files(arguments, answer, days) | _days_files(days),
        ours=WRITTEN,
        text=lambda: search_text(answer, console.width(), console.colour(), days),
        records=lambda: search_records(answer, days),
        cautions=plan.cautions,
    )
    if stopped:  # what there is stands written; the exit code says that it is not all
        raise KeyboardInterrupt


def _search(plan: Plan, arguments: Namespace) -> Search:
    quiet = arguments.quiet
    parts = load_parts(*plan.parts_files, *arguments.parts)
    with _naming(plan), console.doing("Seeing what fits", quiet=quiet):
        question = builds_in_question(
            plan.drivetrain_now, parts, plan.bike, plan.frame, plan.wishes
        )
    with console.doing(f"Loading {plan.route.name}", quiet=quiet):
        course = plan.load_course()
    if not kernel_ready() and not quiet:
        console.note(COMPILING)
    rides = len(rides_of(question.prospects))
    with _naming(plan), console.counting("Rides", rides, quiet=quiet) as done:
        return ride_builds(
            course,
            plan.rider,
            plan.bike,
            plan.conditions,
            question,
            weights=plan.weights,
            done=done,
        )


@contextmanager
def _naming(plan: Plan) -> Iterator[None]:
    """Put the plan's name before what is wrong with it."""
    try:
        yield
    except PlanError as error:
        raise PlanError(f"{plan.path}: {error}") from error


def _over_days(arguments: Namespace, plan: Plan, answer: Answer) -> tuple[Days | None, bool]:
    """The days, where asked for and not stopped, and whether anything was stopped."""
    if answer.search.stopped or arguments.days is None:
        return None, answer.search.stopped
    from gearsim.cli.over_days import ride_over_days

    try:
        return ride_over_days(arguments, plan, answer.comparison), False
    except KeyboardInterrupt:  # the search itself is done and need not be lost
        return None, True


def _files(answer: Answer) -> dict[str, bytes]:
    rides = [each.ride for each in (answer.now, *answer.best[:RIDES_WRITTEN])]
    return {
        "search.csv": table_file(search_table(answer.search)),
        "search.png": figure_png(search_figure(answer)),
        "comparison.png": figure_png(comparison_figure(answer.comparison, ridden_by_told(answer))),
        "worst-places.csv": table_file(worst_places_table(answer.comparison)),
        **ride_files(rides),
    }


def _report_files(arguments: Namespace, answer: Answer, days: Days | None) -> dict[str, bytes]:
    """The page, and the best one's places on the road for a head unit, if it has any."""
    if not arguments.report:
        return {}
    from gearsim.output.places.gpx_out import places_gpx
    from gearsim.output.search.page import search_page
    from gearsim.studies.cue_sheet import cue_sheet

    best = answer.best[0].ride
    sheet = cue_sheet(best)
    (name,) = file_names([best.drivetrain.name])
    places = f"places-{name}.gpx" if sheet.cues else ""
    gpx = {places: places_gpx([best], [sheet])[0]} if places else {}
    return {REPORT: search_page(answer, places, days), **gpx}


def _days_files(days: Days | None) -> dict[str, bytes]:
    if days is None:
        return {}
    from gearsim.cli.over_days import days_files

    return days_files(days)
