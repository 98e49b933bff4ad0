"""`gearsim learn RIDE ...`: what past rides tell about rider, bike and gears."""

from __future__ import annotations

import os
import shlex
from argparse import Namespace
from pathlib import Path

from gearsim.cli import console
from gearsim.cli.csv_files import table_file
from gearsim.cli.present import before_work, present
from gearsim.course.recorded.recording import Recording, load_recording
from gearsim.course.surface import surface_named
from gearsim.errors import InputError, PlanError, printable
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.learn.chart import learnt_figure
from gearsim.output.learn.plan import learnt_plan
from gearsim.output.learn.tables import gears_table, learnt_records
from gearsim.output.learn.text import learnt_text
from gearsim.plan.loading import load_plan
from gearsim.setup.parts.parts_list import load_parts
from gearsim.studies.learn.learn import Given, Learnt, learn
from gearsim.studies.learn.setup import SEEN_NAME

PLAN = "learnt.toml"
WRITTEN = (PLAN, "gears.csv", "learnt.png")


def run(arguments: Namespace) -> None:
    """Load the rides, learn, write the files, and print what was found."""
    ride: Path = arguments.rides[0]
    usual = ride.with_name(f"{stem(ride)}-learnt")
    before_work(arguments, usual=usual, ours=WRITTEN)
    given = given_of(arguments)
    recordings = loaded(arguments.rides, quiet=arguments.quiet)
    with console.doing("Learning", quiet=arguments.quiet):
        learnt = learn_from(recordings, given)
    folder = present(
        arguments,
        usual=usual,
        ours=WRITTEN,
        files=lambda: _files(learnt, ride, arguments.out or usual),
        text=lambda: learnt_text(learnt, console.width(), console.colour()),
        records=lambda: learnt_records(learnt),
    )
    if folder is not None and not (arguments.json or arguments.quiet):
        console.say(_next_step(folder / PLAN))


def _next_step(plan: Path) -> str:
    """What to do with the plan that was written, and what it lacks where it is not ready."""
    command = f"gearsim compare {shlex.quote(str(plan))}"
    try:
        first = load_plan(plan).drivetrains[0]
    except InputError as error:
        told = console.paragraph(f"It is not ready to ride: {error}", str(plan))
        return f"{told}\n{console.paragraph(f'Then: {command}', command)}"
    add = "It has only the gears seen; add" if first.name == SEEN_NAME else "Add"
    shown = printable(str(plan))
    return "\n".join(
        (
            console.paragraph(f"A plan to ride: {shown}", shown),
            console.paragraph(f"{add} drivetrains to compare, then:"),
            f"  {command}",
        )
    )


def given_of(arguments: Namespace) -> Given:
    """What was told by options.

    Raises `PlanError` for an unknown surface; the parser refuses impossible masses and wheels.
    """
    surface = arguments.surface or "tarmac"
    try:
        surface_named(surface)
    except PlanError as error:
        raise PlanError(f"--surface: {error}") from error
    circumference = arguments.circumference
    return Given(
        rider_mass_kg=arguments.rider_mass,
        bike_mass_kg=arguments.bike_mass,
        surface=surface,
        surface_told=arguments.surface is not None,
        circumference_m=None if circumference is None else circumference / 1000.0,
    )


def loaded(paths: list[Path], *, quiet: bool) -> list[Recording]:
    """The recordings in the files; raises as `load_recording`."""
    recordings = []
    what = f"Loading {paths[0].name}" if len(paths) == 1 else "Loading rides"
    with console.counting(what, len(paths), quiet=quiet) as done:
        for path in paths:
            recordings.append(load_recording(path))
            done()
    return recordings


def learn_from(recordings: list[Recording], given: Given) -> Learnt:
    """What the recordings tell, with the package's own parts list."""
    parts = load_parts()
    return learn(recordings, given, parts.chainsets, parts.cassettes)


def stem(path: Path) -> str:
    """The file's name without `.gpx` or `.gpx.gz`."""
    return Path(path.name.removesuffix(".gz")).stem


def _files(learnt: Learnt, ride: Path, folder: Path) -> dict[str, bytes]:
    plan = learnt_plan(learnt, _from_folder(ride, folder))
    return {
        PLAN: plan.encode(),
        "gears.csv": table_file(gears_table(learnt)),
        "learnt.png": figure_png(learnt_figure(learnt)),
    }


def _from_folder(path: Path, folder: Path) -> str:
    try:
        return Path(os.path.relpath(path, folder)).as_posix()
    except ValueError:  # another drive
        return path.absolute().as_posix()
