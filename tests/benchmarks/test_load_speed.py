"""Loading a GPX against the parser's own time, both measured in the same run."""

import time
from collections.abc import Callable
from pathlib import Path

import gpxpy
import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from gearsim.course.loading import load_course

POINTS = 50_000
ROUNDS = 3


def recorded(path: Path, points: int) -> Path:
    """A ride as a recorder writes it: a point a second, 6 m apart, heights to 0.1 m, times."""
    rng = np.random.default_rng(1)
    heading = np.cumsum(rng.normal(0.0, 0.02, points))
    north, east = np.cumsum(6.0 * np.cos(heading)), np.cumsum(6.0 * np.sin(heading))
    height = 300.0 + 100.0 * np.sin(np.arange(points) / 300.0) + rng.normal(0.0, 0.3, points)
    stamps = np.datetime_as_string(
        np.datetime64("2024-05-01T08:00:00") + np.arange(points), unit="s"
    )
    lines = [
        f'<trkpt lat="{45 + n / 111_132:.7f}" lon="{7 + e / 78_847:.7f}">'
        f"<ele>{h:.1f}</ele><time>{stamp}Z</time></trkpt>"
        for n, e, h, stamp in zip(north, east, height, stamps, strict=True)
    ]
    path.write_text(f'<gpx version="1.1"><trk><trkseg>{"".join(lines)}</trkseg></trk></gpx>')
    return path


def parse(path: Path) -> None:
    """What the parser does by itself."""
    with path.open(encoding="utf-8") as file:
        gpxpy.parse(file)


def least_s(*jobs: Callable[[], object]) -> list[float]:
    """Least processor time of each job, the jobs taken in turn so that a slow spell hits all."""
    spent = [[] for _ in jobs]
    for _ in range(ROUNDS):
        for job, times in zip(jobs, spent, strict=True):
            start = time.process_time()
            job()
            times.append(time.process_time() - start)
    return [min(times) for times in spent]


def test_loading_takes_little_more_than_parsing(
    benchmark: BenchmarkFixture, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = recorded(tmp_path / "ride.gpx", POINTS)
    load_course(path)
    parse_s, load_s = benchmark.pedantic(
        least_s, args=(lambda: parse(path), lambda: load_course(path)), rounds=1
    )
    benchmark.extra_info["ratio"] = load_s / parse_s
    with capsys.disabled():
        print(f"\n{POINTS} points: load {load_s:.2f} s = {load_s / parse_s:.2f} × parse")
    assert load_s / parse_s <= 1.25


def test_time_grows_linearly_with_the_points(
    benchmark: BenchmarkFixture, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    short = recorded(tmp_path / "short.gpx", POINTS // 4)
    long = recorded(tmp_path / "long.gpx", POINTS)
    short_s, long_s = benchmark.pedantic(
        least_s, args=(lambda: load_course(short), lambda: load_course(long)), rounds=1
    )
    benchmark.extra_info["ratio"] = long_s / short_s
    with capsys.disabled():
        print(f"\nfour times the points: {long_s / short_s:.2f} × the time")
    assert long_s / short_s <= 5.0
