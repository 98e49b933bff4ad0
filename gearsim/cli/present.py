"""What every command does with its results: files first, then what people or programs read."""

from __future__ import annotations

import json
from argparse import Namespace
from collections.abc import Callable
from pathlib import Path
from typing import Any

from gearsim.cli import console
from gearsim.cli.results import Files, write_results


def present(
    arguments: Namespace,
    *,
    usual: Path,
    files: Callable[[], Files],
    text: Callable[[], str],
    records: Callable[[], dict[str, Any]],
) -> None:
    """Write and print what the options ask for, and work out nothing else.

    Raises `FileError` where files cannot be written; then nothing is printed either.
    """
    place = ""
    if arguments.out is not None or not arguments.json:
        with console.doing("Drawing and writing", quiet=arguments.quiet):
            place = write_results(files(), usual, out=arguments.out, replace=arguments.replace)
    if arguments.json:
        console.say(json.dumps(records(), ensure_ascii=False, allow_nan=False, indent=2))
    elif not arguments.quiet:
        console.say(f"{text().rstrip()}\n\n{place}")
