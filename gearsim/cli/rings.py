"""`gearsim rings PLAN`: one chainring or two, and what would change the verdict."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from gearsim.cli import console
from gearsim.cli.compare import COMPILING
from gearsim.cli.csv_files import ride_files, table_file
from gearsim.cli.present import before_work, present
from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.one_or_two.chart import one_or_two_figure
from gearsim.output.one_or_two.tables import levers_table, one_or_two_records, one_or_two_table
from gearsim.output.one_or_two.text import one_or_two_text
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.ride import kernel_ready
from gearsim.setup.parts.parts_list import PartsList, load_parts
from gearsim.studies.one_or_two.contender import Setting
from gearsim.studies.one_or_two.group_riding import PACES_MPS
from gearsim.studies.one_or_two.one_or_two import (
    Field,
    OneOrTwo,
    field_of_plan,
    field_of_search,
    rings_in_question,
    weigh,
)
from gearsim.studies.one_or_two.verdict_flips import values_of
from gearsim.studies.search.search import ride_builds, rides_of
from gearsim.units import MPS_PER_KMH

REPORT = "report.html"
WRITTEN = (
    "one-or-two.csv",
    "what-would-change.csv",
    "one-or-two.png",
    "ride-*.csv",
    "ride-*.csv.gz",
    REPORT,
)


def run(arguments: Namespace) -> None:
    """Ride both sides, find what turns the verdict, write the files, and print the answer."""
    plan = load_plan(arguments.plan)
    usual = plan.path.with_name(f"{plan.path.stem}-rings")
    before_work(arguments, usual=usual, ours=WRITTEN)
    found = _weigh(plan, arguments)
    present(
        arguments,
        usual=usual,
        ours=WRITTEN,
        files=lambda: _files(arguments, found, plan.cautions),
        text=lambda: one_or_two_text(found, console.width(), console.colour()),
        records=lambda: one_or_two_records(found),
        cautions=plan.cautions,
    )


def _weigh(plan: Plan, arguments: Namespace) -> OneOrTwo:
    quiet = arguments.quiet
    parts = load_parts(*plan.parts_files, *arguments.parts)
    with _naming(plan):
        field = (_of_plan if arguments.candidates else _of_list)(plan, parts, quiet)
        looked_at = len(values_of(field.setting, field.contenders))
        with console.counting("What would change it", looked_at, quiet=quiet) as done:
            return weigh(field, paces_mps=_paces_mps(arguments), done=done)


def _of_list(plan: Plan, parts: PartsList, quiet: bool) -> Field:
    with console.doing("Seeing what fits", quiet=quiet):
        question = rings_in_question(plan.drivetrain_now, parts, plan.bike, plan.frame, plan.wishes)
    course = _course(plan, quiet)
    with console.counting("Rides", len(rides_of(question.prospects)), quiet=quiet) as done:
        search = ride_builds(
            course,
            plan.rider,
            plan.bike,
            plan.conditions,
            question,
            weights=plan.weights,
            done=done,
        )
    if search.stopped:  # half of the builds are no ground for a choice
        raise KeyboardInterrupt
    return field_of_search(search, parts)


def _of_plan(plan: Plan, parts: PartsList, quiet: bool) -> Field:
    setting = Setting(
        course=_course(plan, quiet),
        rider=plan.rider,
        bike=plan.bike,
        conditions=plan.conditions,
        weights=plan.weights,
    )
    with console.doing(f"Riding {len(plan.drivetrains)} drivetrains", quiet=quiet):
        return field_of_plan(setting, plan.drivetrains, parts, plan.frame, has=plan.wishes.now)


def _course(plan: Plan, quiet: bool) -> Course:
    with console.doing(f"Loading {plan.route.name}", quiet=quiet):
        course = plan.load_course()
    if not kernel_ready() and not quiet:
        console.note(COMPILING)
    return course


def _paces_mps(arguments: Namespace) -> tuple[float, float]:
    if arguments.group is None:
        return PACES_MPS
    slowest, fastest = (MPS_PER_KMH * pace for pace in arguments.group)
    return slowest, fastest


@contextmanager
def _naming(plan: Plan) -> Iterator[None]:
    """Put the plan's name before what is wrong with it, unless it is there already."""
    try:
        yield
    except PlanError as error:
        if str(error).startswith(str(plan.path)):
            raise
        raise PlanError(f"{plan.path}: {error}") from error


def _files(arguments: Namespace, found: OneOrTwo, cautions: Sequence[str]) -> dict[str, bytes]:
    return {
        "one-or-two.csv": table_file(one_or_two_table(found)),
        "what-would-change.csv": table_file(levers_table(found)),
        "one-or-two.png": figure_png(one_or_two_figure(found)),
        **ride_files([found.one.ride, found.two.ride]),
        **_report_files(arguments, found, cautions),
    }


def _report_files(
    arguments: Namespace, found: OneOrTwo, cautions: Sequence[str]
) -> dict[str, bytes]:
    if not arguments.report:
        return {}
    from gearsim.output.one_or_two.page import one_or_two_page

    return {REPORT: one_or_two_page(found, cautions)}
