"""`gearsim replay RIDE`: a recorded ride predicted with what was learnt elsewhere."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from gearsim.cli import console
from gearsim.cli.compare import COMPILING
from gearsim.cli.csv_files import table_file
from gearsim.cli.learn import given_of, learn_from, loaded, stem
from gearsim.cli.present import before_work, present
from gearsim.course.recorded.part import halves_of
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.replay.chart import replay_figure
from gearsim.output.replay.tables import replay_records, replay_table, use_table
from gearsim.output.replay.text import replay_text
from gearsim.ride import kernel_ready
from gearsim.studies.replay.replay import Replay, replay

WRITTEN = ("replay.csv", "cadence-and-gears.csv", "replay.png", "second-half.png", "first-half.png")


def run(arguments: Namespace) -> None:
    """Learn, replay, write the files, and print predicted against recorded."""
    ride: Path = arguments.ride
    usual = ride.with_name(f"{stem(ride)}-replay")
    before_work(arguments, usual=usual, ours=WRITTEN)
    replays = _replays(arguments)
    present(
        arguments,
        usual=usual,
        ours=WRITTEN,
        files=lambda: _files(replays),
        text=lambda: replay_text(replays, console.width(), console.colour()),
        records=lambda: replay_records(replays),
    )


def _replays(arguments: Namespace) -> tuple[Replay, ...]:
    """The ride by what the other rides taught, else each half by what the other half taught."""
    given = given_of(arguments)
    (recording,) = loaded([arguments.ride], quiet=arguments.quiet)
    taught_by = arguments.taught_by
    others = loaded(taught_by, quiet=arguments.quiet) if taught_by else []
    if not kernel_ready() and not arguments.quiet:
        console.note(COMPILING)
    if others:
        with console.doing("Learning and riding", quiet=arguments.quiet):
            return (replay(recording, learn_from(others, given)),)
    halves = halves_of(recording)
    replays = []
    with console.counting("Halves", len(halves), quiet=arguments.quiet) as done:
        for ridden, taught_by in (halves[::-1], halves):
            replays.append(replay(ridden, learn_from([taught_by], given), same_day=True))
            done()
    return tuple(replays)


def _files(replays: tuple[Replay, ...]) -> dict[str, bytes]:
    names = ("replay.png",) if len(replays) == 1 else ("second-half.png", "first-half.png")
    pictures = {
        name: figure_png(replay_figure(one)) for name, one in zip(names, replays, strict=True)
    }
    return {
        "replay.csv": table_file(replay_table(replays)),
        "cadence-and-gears.csv": table_file(use_table(replays)),
        **pictures,
    }
