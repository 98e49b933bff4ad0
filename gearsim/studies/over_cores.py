"""Independent jobs shared over the cores."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from typing import TypeVar

Job = TypeVar("Job")
Result = TypeVar("Result")


def over_cores(
    work: Callable[[Job], Result],
    jobs: Sequence[Job],
    *,
    workers: int | None = None,
    done: Callable[[], None] | None = None,
) -> list[Result]:
    """The results of the jobs in their order; `done` is called after each as it is finished.

    Threads share the cores, because the compiled loops release the interpreter lock.  When one job
    fails, or the program is stopped, those not begun are dropped.
    """
    pool = ThreadPoolExecutor(max_workers=workers or os.cpu_count())
    try:
        futures = [pool.submit(work, job) for job in jobs]
        for future in as_completed(futures):
            future.result()
            if done is not None:
                done()
        return [future.result() for future in futures]
    finally:
        pool.shutdown(cancel_futures=True)
