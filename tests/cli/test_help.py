import subprocess
import sys
import time
from pathlib import Path

import pytest
from conftest import Run
from pytest_benchmark.fixture import BenchmarkFixture

import gearsim
from gearsim.cli import STOPPED
from gearsim.cli.running import DEFECT, DONE, WRONG_INPUT

HEAVY = ("numpy", "pandas", "numba", "pydantic", "matplotlib", "rich", "gpxpy", "pyproj", "scipy")
REPOSITORY = Path(__file__).parents[2]


@pytest.mark.parametrize(
    "argv", [("--help",), ("compare", "--help"), ("route", "-h"), ("new", "-h")]
)
def test_help_is_readable_in_80_columns(
    run: Run, monkeypatch: pytest.MonkeyPatch, argv: tuple[str, ...]
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    code, out, err = run(*argv)
    assert (code, err) == (0, "")
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "gearsim" in out.partition("\n\n")[2]


def test_gearsim_alone_shows_the_help(run: Run) -> None:
    assert run() == run("--help")


def test_help_tells_every_exit_code_that_a_user_meets(run: Run) -> None:
    told = " ".join(run("--help")[1].split()).partition("Exit codes: ")[2].partition(".")[0]
    codes = [part.split()[0] for part in told.split(", ")]
    assert codes == [str(code) for code in (DONE, WRONG_INPUT, DEFECT, STOPPED)]


def test_version_is_that_of_the_package(run: Run) -> None:
    code, out, _ = run("--version")
    assert code == 0
    assert out.startswith("gearsim 0.")


def test_help_needs_no_heavy_library() -> None:
    code = (
        "import sys, gearsim\nfrom gearsim.cli import main\nmain(['--help'])\n"
        f"sys.exit([name for name in {HEAVY} if name in sys.modules] or 0)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=False, text=True, cwd=REPOSITORY
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_every_public_name_can_be_had() -> None:
    assert dir(gearsim) == sorted(gearsim.__all__)
    for name in gearsim.__all__:
        assert getattr(gearsim, name).__name__ == name


def test_unknown_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="no attribute 'gears'"):
        gearsim.gears  # noqa: B018


def test_help_takes_at_most_ten_times_what_python_takes(benchmark: BenchmarkFixture) -> None:
    def seconds(*argv: str) -> float:
        start = time.perf_counter()
        subprocess.run(
            [sys.executable, *argv], check=True, stdout=subprocess.DEVNULL, cwd=REPOSITORY
        )
        return time.perf_counter() - start

    def ratio() -> float:
        helping = min(seconds("-m", "gearsim", "--help") for _ in range(10))
        return helping / min(seconds("-c", "pass") for _ in range(10))

    found = benchmark.pedantic(ratio, rounds=1)
    print(f"gearsim --help takes {found:.1f} × python -c pass")
    assert found <= 10.0
