"""Running a command, and telling what went wrong with it.

`gearsim --help` must stay quick, so a command's own module, and with it every heavy library, is
imported only once the command is known.
"""

from __future__ import annotations

import atexit
import gc
import os
import sys
import traceback
from collections.abc import Sequence
from importlib import import_module

from gearsim.cli import console
from gearsim.cli.interrupts import noting_ctrl_c
from gearsim.cli.parser import parser
from gearsim.errors import InputError

DONE, DEFECT, WRONG_INPUT = 0, 1, 2
READER_GONE = 141  # 128 + SIGPIPE


def exit_code(argv: Sequence[str] | None) -> int:
    """Run a command; what goes wrong is told on standard error.

    Raises `KeyboardInterrupt` where Ctrl-C was pressed, whatever came of it.
    """
    if argv is None:
        _spare_the_garbage_collector()
        _spare_idle_threads()
    with noting_ctrl_c() as pressed:
        try:
            return _run(argv)
        except Exception as error:
            if pressed.is_set():  # a library that is stopped while it loads calls it a fault
                raise KeyboardInterrupt from error
            return _told(error)


def _run(argv: Sequence[str] | None) -> int:
    top = parser()
    try:
        arguments = top.parse_args(argv)
    except SystemExit as stop:  # argparse's way to end help and wrong usage
        return int(stop.code or DONE)
    if arguments.command is None:
        console.say(top.format_help().rstrip())
    else:
        import_module(f"gearsim.cli.{arguments.command}").run(arguments)
    return DONE


def _told(error: Exception) -> int:
    """Tell what went wrong; the exit code for it."""
    if isinstance(error, InputError):
        console.complain(str(error), *getattr(error, "__notes__", ()))
        return WRONG_INPUT
    if isinstance(error, BrokenPipeError):
        return READER_GONE
    if isinstance(error, OSError):
        console.complain(f"{error.filename or 'this computer'}: {error.strerror}")
        return WRONG_INPUT
    traceback.print_exception(error, file=sys.stderr)
    console.complain(
        f"this is a defect of gearsim, not of your input ({type(error).__name__}); "
        "please report it with the lines above and the files that you gave"
    )
    return DEFECT


def _spare_the_garbage_collector() -> None:
    """Look for no garbage: a command needs what it makes, and looking took a fifth of its time."""
    gc.disable()
    atexit.register(gc.freeze)  # nor once more when the interpreter ends


def _spare_idle_threads() -> None:
    """One thread for linear algebra, unless told otherwise.

    Our matrices are narrow bands: more threads only wait for each other, a tenth of a command's
    time, and round sums in another order on a machine with other cores.  Read as it is imported.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
