"""`gearsim search PLAN`: of all that fits the bike, what to fit."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager

from gearsim.cli import console
from gearsim.cli.compare import COMPILING
from gearsim.cli.csv_files import ride_files, table_file
from gearsim.cli.present import before_work, present
from gearsim.errors import PlanError
from gearsim.output.comparison.chart import comparison_figure
from gearsim.output.comparison.tables import worst_places_table
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.search.chart import search_figure
from gearsim.output.search.tables import search_records, search_table
from gearsim.output.search.text import search_text
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.ride import kernel_ready
from gearsim.setup.parts.parts_list import load_parts
from gearsim.studies.search.builds_in_question import builds_in_question
from gearsim.studies.search.search import Search, best_rides, ride_builds, rides_of

RIDES_WRITTEN = 3  # of the best, beside that of what the rider has


def run(arguments: Namespace) -> None:
    """Ride all that fits, write the files, and print the answer; stopped, what there is so far."""
    plan = load_plan(arguments.plan)
    usual = plan.path.with_name(f"{plan.path.stem}-search")
    before_work(arguments, usual=usual)
    search = _search(plan, arguments)
    present(
        arguments,
        usual=usual,
        files=lambda: _files(search),
        text=lambda: search_text(search, console.width(), console.colour()),
        records=lambda: search_records(search),
    )
    if search.stopped:  # what there is stands written; the exit code says that it is not all
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


def _files(search: Search) -> dict[str, bytes]:
    comparison = best_rides(search)
    others = {search.options[place].name for place in search.ranking.best[RIDES_WRITTEN:]}
    rides = [each.ride for each in comparison.candidates if each.name not in others]
    return {
        "search.csv": table_file(search_table(search)),
        "search.png": figure_png(search_figure(search)),
        "comparison.png": figure_png(comparison_figure(comparison)),
        "worst-places.csv": table_file(worst_places_table(comparison)),
        **ride_files(rides),
    }
