"""What is said on the terminal, and how it looks there."""

from __future__ import annotations

import os
import shutil
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from gearsim.errors import FileError, printable

WIDTH_OF_A_PIPE = 80
CLEAR_LINE = "\r\x1b[K"
SHOWN_EVERY_S = 0.2
LEFT_AFTER_S = 1.0  # before, the time left is a poor guess


def width() -> int:
    """Columns to fill: the terminal's, or 80 where there is none."""
    if not sys.stdout.isatty():
        return WIDTH_OF_A_PIPE
    return shutil.get_terminal_size((WIDTH_OF_A_PIPE, 24)).columns


def colour() -> bool:
    """Whether colours reach a person: on a terminal, unless NO_COLOR is set (no-color.org)."""
    plain = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    return sys.stdout.isatty() and not plain


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
    """Print on standard error what is not a result."""
    print(text, file=sys.stderr, flush=True)


def complain(*faults: str) -> None:
    """Print faults on standard error, each on a line of its own."""
    for fault in faults:
        note(f"gearsim: {printable(fault)}")


@contextmanager
def doing(what: str, *, quiet: bool) -> Iterator[None]:
    """Show on standard error what is being done, while it is done, where a person looks on."""
    shown = sys.stderr.isatty() and not quiet
    if shown:
        print(f"{CLEAR_LINE}{what} ...", end="", file=sys.stderr, flush=True)
    try:
        yield
    finally:
        if shown:
            print(CLEAR_LINE, end="", file=sys.stderr, flush=True)


@contextmanager
def counting(what: str, total: int, *, quiet: bool) -> Iterator[Callable[[], None]]:
    """Like `doing`, for work of `total` equal parts: call what it gives after each of them.

    Shows how many are done and the time left, should the others take as long.
    """
    shown = sys.stderr.isatty() and not quiet
    began = time.monotonic()
    done, last_shown = 0, began

    def advance() -> None:
        nonlocal done, last_shown
        done += 1
        now = time.monotonic()
        if shown and now - last_shown >= SHOWN_EVERY_S:
            last_shown = now
            told = f"{what}: {done} of {total}{_left(now - began, done, total)}"
            print(f"{CLEAR_LINE}{told} ...", end="", file=sys.stderr, flush=True)

    with doing(what, quiet=quiet):
        yield advance


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
