"""What every command does with its results: files first, then what people or programs read."""

from __future__ import annotations

import json
import unicodedata
from argparse import Namespace
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from gearsim.cli import console
from gearsim.cli.interrupts import stop_if_pressed
from gearsim.cli.results import Files, Written, refuse_unwritable, write_results
from gearsim.errors import printable
from gearsim.output.cautions import plan_cautions_text, with_plan_cautions
from gearsim.output.drawing.letters import noticing_lacking_letters

MOST_NAMED = 8  # of the files left from before


def before_work(arguments: Namespace, *, usual: Path, ours: Sequence[str]) -> None:
    """Refuse a place where `present` could not write; a command calls it before it computes.

    Raises `FileError`.
    """
    if _writes(arguments):
        out = usual if arguments.out is None and arguments.replace else arguments.out
        refuse_unwritable(usual, out=out, ours=ours)


def present(
    arguments: Namespace,
    *,
    usual: Path,
    ours: Sequence[str],
    files: Callable[[], Files],
    text: Callable[[], str],
    records: Callable[[], dict[str, Any]],
    cautions: Sequence[str] = (),
) -> Path | None:
    """Write and print what the options ask for, and work out nothing else.

    `ours` are patterns of every name that the command may give a file: what another run left under
    such a name is told, so that nobody reads it as this run's.  `cautions` are those of the plan
    that was read.  The folder that was written comes back.

    Raises `FileError` where files cannot be written; then nothing is printed either.
    """
    written = _write(arguments, usual, ours, files) if _writes(arguments) else None
    stop_if_pressed()
    if arguments.json:
        all_records = with_plan_cautions(records(), cautions)
        console.say(json.dumps(all_records, ensure_ascii=False, allow_nan=False, indent=2))
    elif not arguments.quiet:
        again = plan_cautions_text(cautions, console.width(), console.colour())
        told = f"{text().rstrip()}\n{again}".rstrip()
        console.say(f"{told}\n\n{_place(written)}")
    return None if written is None else written.folder


def _writes(arguments: Namespace) -> bool:
    return arguments.out is not None or not arguments.json


def _write(
    arguments: Namespace, usual: Path, ours: Sequence[str], files: Callable[[], Files]
) -> Written:
    drawing = console.doing("Drawing and writing", quiet=arguments.quiet)
    with noticing_lacking_letters() as lacking, drawing:
        made = files()
        stop_if_pressed()
        written = write_results(
            made, usual, out=arguments.out, replace=arguments.replace, ours=ours
        )
    if lacking and not arguments.quiet:
        console.note(_lacking_words(sorted(lacking)))
    return written


def _lacking_words(letters: Sequence[str]) -> str:
    letters = [each for each in letters if not unicodedata.combining(each)] or letters
    more = f" and {len(letters) - MOST_NAMED} more" if len(letters) > MOST_NAMED else ""
    return (
        f"No font on this computer has {' '.join(letters[:MOST_NAMED])}{more}: □ stands for them "
        "in the pictures. Install a font that has them and run this again."
    )


def _place(written: Written | None) -> str:
    """Where the results are, and what else is there."""
    if written is None:
        return ""
    folder = printable(str(written.folder))
    same = ", the same as before" if written.same_as_before else ""
    told = [console.paragraph(f"Results are in {folder}{same}.", folder)]
    if written.left:
        names = [printable(name) for name in written.left]
        more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
        told.append(
            console.paragraph(
                f"Left there from before, not of this run: {', '.join(names[:MOST_NAMED])}{more}.",
                *names,
            )
        )
    return "\n".join(told)
