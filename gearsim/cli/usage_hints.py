"""What was probably meant by words that the command line has no use for."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Iterator, Sequence
from difflib import get_close_matches
from itertools import combinations
from pathlib import Path

ENDINGS = (".toml", ".gpx", ".gpx.gz", ".csv")


def told_unknown(word: str, commands: Iterable[str]) -> str:
    """That a command is unknown, and the nearest that there is, or all of them."""
    names = tuple(commands)
    near = get_close_matches(word.lower(), names, n=1)
    meant = f"did you mean {near[0]}?" if near else f"allowed are {', '.join(names)}"
    return f"{word!r} is no command; {meant}"


def quotes_hint(words: Sequence[str]) -> str:
    """The name of a file that was typed with blanks and without quotes; empty where none was.

    Such a name is there as a file, or its last word alone ends as files that we take do.
    """
    found = next((name for run in _runs(words) for name in _names_in(run)), None)
    return "" if found is None else f"put a name with blanks in quotes: {shlex.quote(found)}"


def _runs(words: Sequence[str]) -> Iterator[list[str]]:
    """The words between options."""
    run: list[str] = []
    for word in words:
        if word.startswith("-"):
            yield run
            run = []
        else:
            run.append(word)
    yield run


def _names_in(run: Sequence[str]) -> Iterator[str]:
    """What words in a row may be as one name, those that are there as files first."""
    for first, last in combinations(range(len(run) + 1), 2):
        name = " ".join(run[first:last])
        if last - first > 1 and _is_file(name):
            yield name
    begun = 0
    for place, word in enumerate(run, start=1):
        if word.lower().endswith(ENDINGS):
            if place - begun > 1:
                yield " ".join(run[begun:place])
            begun = place


def _is_file(name: str) -> bool:
    try:
        return Path(name).is_file()
    except (OSError, ValueError):  # a name that no file can have
        return False
