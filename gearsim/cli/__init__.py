"""The command line: the only place that prints or writes.

`gearsim --help` must stay quick, so a command's own module, and with it every heavy library, is
imported only once the command is known.
"""

from __future__ import annotations

import atexit
import gc
import sys
import traceback
from collections.abc import Sequence
from importlib import import_module

from gearsim.cli import console
from gearsim.cli.parser import parser
from gearsim.errors import InputError

DONE, DEFECT, WRONG_INPUT = 0, 1, 2
STOPPED = 130  # 128 + SIGINT, as shells count
READER_GONE = 141  # 128 + SIGPIPE


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command and return its exit code: 0 done, 2 wrong input, 1 a defect of ours.

    Without `argv` the process is taken to be the command's own.
    """
    if argv is None:
        _spare_the_garbage_collector()
    try:
        _run(argv)
    except InputError as error:
        console.complain(str(error), *getattr(error, "__notes__", ()))
        return WRONG_INPUT
    except SystemExit as stop:  # argparse's way to end help and wrong usage
        return int(stop.code or DONE)
    except KeyboardInterrupt:
        console.complain("stopped")
        return STOPPED
    except BrokenPipeError:
        return READER_GONE
    except OSError as error:
        console.complain(f"{error.filename or 'this computer'}: {error.strerror}")
        return WRONG_INPUT
    except Exception as error:
        traceback.print_exc(file=sys.stderr)
        console.complain(
            f"this is a defect of gearsim, not of your input ({type(error).__name__}); "
            "please report it with the lines above and the files that you gave"
        )
        return DEFECT
    return DONE


def _spare_the_garbage_collector() -> None:
    """Look for no garbage: a command needs what it makes, and looking took a fifth of its time."""
    gc.disable()
    atexit.register(gc.freeze)  # nor once more when the interpreter ends


def _run(argv: Sequence[str] | None) -> None:
    top = parser()
    arguments = top.parse_args(argv)
    if arguments.command is None:
        console.say(top.format_help().rstrip())
    else:
        import_module(f"gearsim.cli.{arguments.command}").run(arguments)
