"""Whether the compiled loops are on disk already, and fresh."""

from __future__ import annotations

from pathlib import Path

import gearsim.physics
import gearsim.ride

ENTRY_POINTS = (
    "counting.count",
    "counting.places_passed",
    "kernel.close_books",
    "kernel.ride_pass",
    "road.meet",
    "settling.settle",
    "shifting.least_cost_rows",
    "shifting.trace_back",
    "shifting.take_gains",
    "telling.tell",
)
"""The compiled functions that are kept on disk; the others are compiled into them."""


def drop_stale_code() -> None:
    """Delete compiled loops that are older than any source they were made from.

    The compiler's own check looks at the file of each function alone, not at the files of the
    functions that it calls.
    """
    newest = max(source.stat().st_mtime for source in _sources())
    for index in _indexes():
        if index.stat().st_mtime < newest:
            index.unlink(missing_ok=True)


def kernel_ready() -> bool:
    """Whether every compiled loop is on disk: if not, the next ride waits for the compiler."""
    found = {index.name.rsplit("-", 1)[0] for index in _indexes()}
    return set(ENTRY_POINTS) <= found


def _sources() -> list[Path]:
    folders = [Path(path) for path in (*gearsim.ride.__path__, *gearsim.physics.__path__)]
    return [source for folder in folders for source in folder.glob("*.py")]


def _indexes() -> list[Path]:
    from gearsim.ride import kernel

    # Where the package's folder cannot be written, the compiler keeps its files in the user's own;
    # where compiling is switched off (NUMBA_DISABLE_JIT), there are none.
    stats = getattr(kernel.ride_pass, "stats", None)
    return [] if stats is None else list(Path(stats.cache_path).glob("*.nbi"))
