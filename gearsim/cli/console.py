"""What is said on the terminal, and how it looks there."""

from __future__ import annotations

import os
import shutil
import sys
import textwrap
import time
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from gearsim.errors import FileError, printable

WIDTH_OF_A_PIPE = 80
SHOWN_EVERY_S = 0.2
LEFT_AFTER_S = 1.0  # before, the time left is a poor guess
NO_BREAK = "\0"  # stands for a blank that no line may end at; no path has it


def width() -> int:
    """Columns to fill: the terminal's, or 80 where there is none."""
    if not sys.stdout.isatty():
        return WIDTH_OF_A_PIPE
    return shutil.get_terminal_size((WIDTH_OF_A_PIPE, 24)).columns


def colour() -> bool:
    """Whether colours reach a person: on a terminal, unless NO_COLOR is set (no-color.org)."""
    plain = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    return sys.stdout.isatty() and not plain


def paragraph(text: str, *whole: str) -> str:
    """The text in lines that fit the terminal, or on one line in a pipe.

    What is in `whole`, paths and commands to copy, is never broken.
    """
    if not sys.stdout.isatty():
        return text
    for part in whole:
        text = text.replace(part, part.replace(" ", NO_BREAK))
    lines = textwrap.fill(text, width(), break_long_words=False, break_on_hyphens=False)
    return lines.replace(NO_BREAK, " ")


def say(text: str) -> None:
    """Print on standard output.

    Raises `BrokenPipeError` where the reader has gone, `FileError` where nothing can be written.
    """
    try:
        sys.stdout.write(_writable(text) + "\n")
        sys.stdout.flush()
    except OSError as error:
        # What is still buffered would fail once more when the interpreter ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if isinstance(error, BrokenPipeError):
            raise
        raise FileError(f"standard output: cannot be written ({error.strerror})") from error


def note(text: str) -> None:
    """Print on standard error what is not a result, in lines that fit where it is a terminal."""
    lines = textwrap.fill(text, _columns_for_notes()) if sys.stderr.isatty() else text
    print(lines, file=sys.stderr, flush=True)


def complain(*faults: str) -> None:
    """Print faults on standard error, each on a line of its own."""
    for fault in faults:  # not broken into lines: what it says to type is to be copied
        print(f"gearsim: {printable(fault)}", file=sys.stderr, flush=True)


@contextmanager
def doing(what: str, *, quiet: bool) -> Iterator[None]:
    """Show on standard error what is being done, while it is done, where a person looks on."""
    shown = _watched(quiet)
    try:
        if shown:
            _show(f"{what} ...")
        yield
    finally:
        if shown:
            _wipe()


@contextmanager
def counting(what: str, total: int, *, quiet: bool) -> Iterator[Callable[[], None]]:
    """Like `doing`, for work of `total` equal parts: call what it gives after each of them.

    Shows how many are done and the time left, should the others take as long.
    """
    shown = _watched(quiet)
    began = time.monotonic()
    done, last_shown = 0, began

    def advance() -> None:
        nonlocal done, last_shown
        done += 1
        now = time.monotonic()
        if shown and now - last_shown >= SHOWN_EVERY_S:
            last_shown = now
            _show(f"{what}: {done} of {total}{_left(now - began, done, total)} ...")

    with doing(what, quiet=quiet):
        yield advance


def _watched(quiet: bool) -> bool:
    return sys.stderr.isatty() and not quiet


def _show(progress: str) -> None:
    """Put a line in place of the one before, without an escape code, which NO_COLOR may forbid."""
    room = _columns_for_notes()
    line = printable(progress)
    while cells(line) > room:
        line = line[:-1]
    blank = " " * (room - cells(line))  # over what is left of the line before
    print(f"\r{line}{blank}\r{line}", end="", file=sys.stderr, flush=True)


def _wipe() -> None:
    print(f"\r{' ' * _columns_for_notes()}\r", end="", file=sys.stderr, flush=True)


def _columns_for_notes() -> int:
    """Columns of the terminal that standard error is, but the last, where it may wrap."""
    try:
        columns = int(os.environ["COLUMNS"])
    except (KeyError, ValueError):
        try:
            columns = os.get_terminal_size(sys.stderr.fileno()).columns
        except (OSError, ValueError):
            columns = 0
    return (columns if columns > 0 else WIDTH_OF_A_PIPE) - 1


def cells(text: str) -> int:
    """Columns that a text takes: East Asian wide letters take two."""
    return sum(2 if unicodedata.east_asian_width(letter) in "WF" else 1 for letter in text)


def _left(spent_s: float, done: int, total: int) -> str:
    """The time left, in words, once it can be told."""
    if spent_s < LEFT_AFTER_S or done >= total:
        return ""
    left_s = round(spent_s / done * (total - done))
    minutes, seconds = divmod(max(left_s, 1), 60)
    hours, minutes = divmod(minutes, 60)
    if hours:
        return f", {hours} h {minutes:02d} min left"
    return f", {minutes} min {seconds:02d} s left" if minutes else f", {seconds} s left"


def _writable(text: str) -> str:
    """The text with marks in place of characters that standard output has no code for."""
    encoding = sys.stdout.encoding or "utf-8"
    return text.encode(encoding, "replace").decode(encoding)
