"""What the command settles for its own process, and leaves alone in another's."""

import os
import subprocess
import sys

import pytest

from gearsim.cli import main

AS_THE_COMMAND = """
import os, sys
from gearsim.cli import main
sys.argv = ["gearsim", "--help"]
main()
print(os.environ["OPENBLAS_NUM_THREADS"])
"""


@pytest.mark.parametrize(("given", "threads"), [(None, "1"), ("3", "3")])
def test_linear_algebra_has_one_thread_unless_told_otherwise(
    given: str | None, threads: str
) -> None:
    own = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    told = {} if given is None else {"OPENBLAS_NUM_THREADS": given}
    ran = subprocess.run(
        [sys.executable, "-c", AS_THE_COMMAND], env=own | told, capture_output=True, text=True
    )
    assert ran.stdout.splitlines()[-1] == threads


def test_a_program_that_calls_it_keeps_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("OPENBLAS_NUM_THREADS", raising=False)
    assert main(["--help"]) == 0
    assert "OPENBLAS_NUM_THREADS" not in os.environ
