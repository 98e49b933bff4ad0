import threading
import time

import pytest

from gearsim.studies.over_cores import over_cores


def test_results_stand_in_the_order_of_the_jobs() -> None:
    jobs = list(range(50))
    for workers in (1, 2, 7):
        assert over_cores(lambda job: job * job, jobs, workers=workers) == [j * j for j in jobs]


def test_every_job_is_counted_where_the_caller_is() -> None:
    counted: list[int] = []
    over_cores(str, range(9), done=lambda: counted.append(threading.get_ident()))
    assert counted == [threading.get_ident()] * 9


def test_jobs_not_begun_are_dropped_when_one_fails() -> None:
    begun: list[int] = []

    def work(job: int) -> None:
        begun.append(job)
        time.sleep(0.001)  # else a worker may be through them all before the caller is told
        raise ValueError

    with pytest.raises(ValueError, match=r"^$"):
        over_cores(work, range(1000), workers=1)
    assert len(begun) < 1000


def test_jobs_not_begun_are_dropped_when_the_program_is_stopped() -> None:
    begun: list[int] = []

    def stop() -> None:
        raise KeyboardInterrupt

    def work(job: int) -> None:
        time.sleep(0.001)
        begun.append(job)

    with pytest.raises(KeyboardInterrupt):
        over_cores(work, range(1000), workers=1, done=stop)
    assert len(begun) < 1000
