"""Ctrl-C, noted beside what Python does of itself.

A compiled library can swallow it and go on with numbers half made: then nothing is written.  The
note is of the process, as the signal is.
"""

from __future__ import annotations

import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

_pressed = threading.Event()


@contextmanager
def noting_ctrl_c() -> Iterator[threading.Event]:
    """Note whether Ctrl-C is pressed while a command runs."""
    _pressed.clear()
    ours = threading.current_thread() is threading.main_thread()
    if not ours or signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        yield _pressed  # whoever is in charge of the signal stays so
        return
    hook, sys.unraisablehook = sys.unraisablehook, _without_swallowed
    signal.signal(signal.SIGINT, _note)
    try:
        yield _pressed
    finally:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        sys.unraisablehook = hook


def stop_if_pressed() -> None:
    """Stop before anything is written, though what was interrupted went on.

    Raises `KeyboardInterrupt` where Ctrl-C was pressed and no work was ended for it.
    """
    if _pressed.is_set():
        raise KeyboardInterrupt


def work_ended() -> None:
    """The command has ended its work for the Ctrl-C, and goes on to what there is of it."""
    _pressed.clear()


def _note(number: int, frame: FrameType | None) -> None:
    _pressed.set()
    signal.default_int_handler(number, frame)


def _without_swallowed(fault: sys.UnraisableHookArgs) -> None:
    if not issubclass(fault.exc_type, KeyboardInterrupt):
        sys.__unraisablehook__(fault)
