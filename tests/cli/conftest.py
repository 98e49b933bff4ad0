from collections.abc import Callable
from pathlib import Path

import pytest

from gearsim.cli import main

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs a command and gives its exit code, standard output and standard error."""

    def command(*argv: str | Path) -> tuple[int, str, str]:
        code = main([str(argument) for argument in argv])
        out, err = capsys.readouterr()
        return code, out, err

    return command


@pytest.fixture
def flat_gpx() -> str:
    """A route of 3 km without a hill, with nothing on it that any gears could be warned of."""
    points = (f'<trkpt lat="{45 + n / 1e4:.4f}" lon="7"><ele>90</ele></trkpt>' for n in range(271))
    return (
        '<gpx version="1.1" creator="made" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><name>flat</name><trkseg>{''.join(points)}</trkseg></trk></gpx>"
    )


@pytest.fixture
def plan(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A new plan beside the example route that comes with it; no compile is told of."""
    monkeypatch.setattr("gearsim.cli.compare.kernel_ready", lambda: True)
    path = tmp_path / "plan.toml"
    assert run("new", path)[0] == 0
    return path
