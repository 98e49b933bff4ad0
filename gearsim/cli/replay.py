"""`gearsim replay RIDE`: a recorded ride predicted with what was learnt elsewhere."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from gearsim.cli import console
from gearsim.cli.compare import COMPILING
from gearsim.cli.csv_files import table_file
from gearsim.cli.learn import given_of, learn_from, loaded, stem
from gearsim.cli.present import present
from gearsim.course.recorded.part import halves_of
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.learn.tables import replay_records, replay_table
from gearsim.output.replay.chart import replay_figure
from gearsim.output.replay.text import replay_text
from gearsim.ride import kernel_ready
from gearsim.studies.replay.replay import Replay, replay


def run(arguments: Namespace) -> None:
    """Learn, replay, write the files, and print predicted against recorded."""
    replays = _replays(arguments)
    ride: Path = arguments.ride
    present(
        arguments,
        usual=ride.with_name(f"{stem(ride)}-replay"),
        files=lambda: _files(replays),
        text=lambda: replay_text(replays, console.width(), console.colour()),
        records=lambda: replay_records(replays),
    )


def _replays(arguments: Namespace) -> tuple[Replay, ...]:
    """The ride by what the other rides taught, else each half by what the other half taught."""
    given = given_of(arguments)
    (recording,) = loaded([arguments.ride], quiet=arguments.quiet)
    others = loaded(arguments.taught_by or [], quiet=arguments.quiet)
    if not kernel_ready() and not arguments.quiet:
        console.note(COMPILING)
    with console.doing("Learning and riding", quiet=arguments.quiet):
        if others:
            return (replay(recording, learn_from(others, given)),)
        first, second = halves_of(recording)
        return (
            replay(second, learn_from([first], given), same_day=True),
            replay(first, learn_from([second], given), same_day=True),
        )


def _files(replays: tuple[Replay, ...]) -> dict[str, bytes]:
    names = ("replay.png",) if len(replays) == 1 else ("second-half.png", "first-half.png")
    pictures = {
        name: figure_png(replay_figure(one)) for name, one in zip(names, replays, strict=True)
    }
    return {"replay.csv": table_file(replay_table(replays)), **pictures}
