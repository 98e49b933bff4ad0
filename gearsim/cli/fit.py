"""`gearsim fit PLAN`: whether each drivetrain of a plan fits the bike, and why not."""

from __future__ import annotations

from argparse import Namespace

from gearsim.cli import console
from gearsim.cli.csv_files import table_file
from gearsim.cli.present import before_work, present
from gearsim.errors import PlanError, all_at_once
from gearsim.output.fit.text import fitment_records, fitment_table, fitment_text
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.setup.fit.fitment import Fit, fits_of
from gearsim.setup.parts.parts_list import PartsList, load_parts

WRITTEN = ("fit.csv",)


def run(arguments: Namespace) -> None:
    """Check every drivetrain, write the file, and print the findings."""
    plan = load_plan(arguments.plan)
    usual = plan.path.with_name(f"{plan.path.stem}-fit")
    before_work(arguments, usual=usual, ours=WRITTEN)
    fits = _fits(plan, load_parts(*arguments.parts))
    present(
        arguments,
        usual=usual,
        ours=WRITTEN,
        files=lambda: {"fit.csv": table_file(fitment_table(fits))},
        text=lambda: fitment_text(fits, plan.bike, console.width(), console.colour()),
        records=lambda: fitment_records(fits),
        cautions=plan.cautions,
    )


def _fits(plan: Plan, parts: PartsList) -> tuple[Fit, ...]:
    fits: list[Fit] = []
    faults: list[str] = []
    if not plan.drivetrains:
        raise PlanError(
            f"{plan.path}: has no [[drivetrain]] to check; give at least one, with chainrings and "
            "sprockets"
        )
    for drivetrain in plan.drivetrains:
        try:
            fits += fits_of([drivetrain], parts, plan.bike, plan.frame)
        except PlanError as error:
            faults.append(f"{plan.path}: drivetrain {drivetrain.name!r}: {error}")
    if faults:
        raise all_at_once(faults)
    return tuple(fits)
