"""What every command does with its results: files first, then what people or programs read."""

from __future__ import annotations

import json
from argparse import Namespace
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from gearsim.cli import console
from gearsim.cli.results import Files, refuse_unwritable, write_results


def before_work(arguments: Namespace, *, usual: Path) -> None:
    """Refuse a place where `present` could not write; a command calls it before it computes.

    Raises `FileError`.
    """
    if _writes(arguments):
        refuse_unwritable(usual, out=arguments.out)


def present(
    arguments: Namespace,
    *,
    usual: Path,
    files: Callable[[], Files],
    text: Callable[[], str],
    records: Callable[[], dict[str, Any]],
    ours: Sequence[str] = (),
) -> None:
    """Write and print what the options ask for, and work out nothing else.

    `ours` are patterns of every name that the command may give a file: what another run left under
    such a name is told, so that nobody reads it as this run's.

    Raises `FileError` where files cannot be written; then nothing is printed either.
    """
    place = ""
    if _writes(arguments):
        with console.doing("Drawing and writing", quiet=arguments.quiet):
            place = write_results(
                files(), usual, out=arguments.out, replace=arguments.replace, ours=ours
            )
    if arguments.json:
        console.say(json.dumps(records(), ensure_ascii=False, allow_nan=False, indent=2))
    elif not arguments.quiet:
        console.say(f"{text().rstrip()}\n\n{place}")


def _writes(arguments: Namespace) -> bool:
    return arguments.out is not None or not arguments.json
