"""The command line: the only place that prints or writes.

Nothing is imported here but what every Python has loaded, so that Ctrl-C is understood as soon as
the command begins.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

STOPPED = 130  # 128 + SIGINT, as shells count


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command and return its exit code: 0 done, 2 wrong input, 1 a defect, 130 stopped.

    Without `argv` the process is taken to be the command's own.
    """
    try:
        from gearsim.cli.running import exit_code

        return exit_code(argv)
    except KeyboardInterrupt:
        print("gearsim: stopped", file=sys.stderr, flush=True)
        return STOPPED
