"""`gearsim learn RIDE ...`: what past rides tell about rider, bike and gears."""

from __future__ import annotations

import os
from argparse import Namespace
from pathlib import Path

from gearsim.cli import console
from gearsim.cli.csv_files import table_file
from gearsim.cli.present import present
from gearsim.course.recording import Recording, load_recording
from gearsim.course.surface import surface_named
from gearsim.errors import PlanError
from gearsim.output.charts import figure_png, learnt_figure
from gearsim.output.learn_plan import learnt_plan
from gearsim.output.learn_tables import gears_table, learnt_records
from gearsim.output.terminal import learnt_text
from gearsim.setup.checked import require_between
from gearsim.setup.parts.parts_list import load_parts
from gearsim.studies.learn import Given, Learnt, learn

MILLIMETRES = (1000.0, 2600.0)  # circumferences of wheels of 12 to 29 inches


def run(arguments: Namespace) -> None:
    """Load the rides, learn, write the files, and print what was found."""
    given = given_of(arguments)
    recordings = loaded(arguments.rides, quiet=arguments.quiet)
    with console.doing("Learning", quiet=arguments.quiet):
        learnt = learn_from(recordings, given)
    ride: Path = arguments.rides[0]
    usual = ride.with_name(f"{stem(ride)}-learnt")
    present(
        arguments,
        usual=usual,
        files=lambda: _files(learnt, ride, arguments.out or usual),
        text=lambda: learnt_text(learnt, console.width(), console.colour()),
        records=lambda: learnt_records(learnt),
    )


def given_of(arguments: Namespace) -> Given:
    """What was told by options.

    Raises `PlanError` for what no rider, bike or surface can be.
    """
    for option, value, low, high in (
        ("--rider-mass", arguments.rider_mass, 20.0, 250.0),
        ("--bike-mass", arguments.bike_mass, 3.0, 150.0),
        ("--circumference", arguments.circumference, *MILLIMETRES),
    ):
        if value is not None:
            require_between(option, value, low, high)
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
    for path in paths:
        with console.doing(f"Loading {path.name}", quiet=quiet):
            recordings.append(load_recording(path))
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
        "learnt.toml": plan.encode(),
        "gears.csv": table_file(gears_table(learnt)),
        "learnt.png": figure_png(learnt_figure(learnt)),
    }


def _from_folder(path: Path, folder: Path) -> str:
    try:
        return Path(os.path.relpath(path, folder)).as_posix()
    except ValueError:  # another drive
        return path.absolute().as_posix()
