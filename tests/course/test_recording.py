"""Recorded rides: what the instruments told, stops, and what is refused."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from made_recordings import Faults, as_gpx, loop, recorded, ride_of

from gearsim.course.recorded.part import halves_of, part_of
from gearsim.course.recorded.recording import RecordedStop, Recording, load_recording
from gearsim.errors import RouteError


@pytest.fixture(scope="module")
def truth() -> Recording:
    return recorded(ride_of(course=loop(6000.0)), 0, Faults())


@pytest.fixture(scope="module")
def path(truth: Recording, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("ride") / "made.gpx"
    file.write_text(as_gpx(truth))
    return file


@pytest.fixture(scope="module")
def loaded(path: Path) -> Recording:
    return load_recording(path)


def test_readings_come_back_second_by_second(truth: Recording, loaded: Recording) -> None:
    assert len(loaded.time_s) == len(truth.time_s)
    assert loaded.power_w == pytest.approx(truth.power_w, abs=0.5)
    assert loaded.cadence_rpm == pytest.approx(truth.cadence_rpm, abs=0.5)
    assert loaded.speed_mps == pytest.approx(truth.speed_mps, abs=1e-3)
    assert loaded.has_power
    assert loaded.has_cadence
    assert loaded.speed_recorded


def test_distance_is_the_courses(truth: Recording, loaded: Recording) -> None:
    assert loaded.distance_m[-1] == pytest.approx(loaded.course.length_m, abs=0.1)
    assert loaded.distance_m == pytest.approx(truth.distance_m, abs=3.0)


def test_moving_all_the_time_has_no_stops(loaded: Recording) -> None:
    assert loaded.moving_s == pytest.approx(loaded.elapsed_s, abs=15.0)  # it starts from rest


def test_missing_readings_are_nan(truth: Recording, tmp_path: Path) -> None:
    file = tmp_path / "bare.gpx"
    file.write_text(as_gpx(truth, ()))
    bare = load_recording(file)
    assert np.isnan(bare.power_w).all()
    assert (bare.has_power, bare.has_cadence, bare.speed_recorded) == (False,) * 3


def test_speed_without_a_sensor_is_from_places(truth: Recording, tmp_path: Path) -> None:
    file = tmp_path / "bare.gpx"
    file.write_text(as_gpx(truth, ()))
    bare = load_recording(file)
    assert bare.speed_mps[10:-10] == pytest.approx(truth.speed_mps[10:-10], abs=0.6)


def paused(text: str) -> str:
    """The file with the clock of its second half put forward by an hour."""
    lines = text.splitlines()
    middle = len(lines) // 2
    return "\n".join(
        line if number < middle else line.replace("2021-03-04T09", "2021-03-04T10", 1)
        for number, line in enumerate(lines)
    )


def test_recorder_off_in_one_place_is_a_stop(truth: Recording, tmp_path: Path) -> None:
    file = tmp_path / "paused.gpx"
    file.write_text(paused(as_gpx(truth)))
    ride = load_recording(file)
    assert ride.elapsed_s == pytest.approx(truth.elapsed_s + 3600.0, abs=1.0)
    assert max(stop.duration_s for stop in ride.stops) == pytest.approx(3600.0, abs=3.0)
    assert ride.moving_s == pytest.approx(truth.elapsed_s, abs=20.0)


def rearranged(text: str, order: Callable[[list[str]], list[str]]) -> str:
    """The file with its points, a line each, in another order."""
    head, body = text.split("<trkseg>")
    points, tail = body.split("</trkseg>")
    return f"{head}<trkseg>{chr(10).join(order(points.splitlines()))}</trkseg>{tail}"


def blocks_swapped(points: list[str]) -> list[str]:
    third = len(points) // 3
    return points[third : 2 * third] + points[:third] + points[2 * third :]


@pytest.mark.parametrize("order", [blocks_swapped, lambda points: points[::-1]])
def test_points_out_of_order_are_ridden_in_the_order_of_their_times(
    truth: Recording, loaded: Recording, tmp_path: Path, order: Callable[[list[str]], list[str]]
) -> None:
    file = tmp_path / "mixed.gpx"
    file.write_text(rearranged(as_gpx(truth), order))
    mixed = load_recording(file)
    assert mixed.distance_m == pytest.approx(loaded.distance_m, abs=0.1)
    assert list(mixed.power_w) == list(loaded.power_w)
    assert list(mixed.speed_mps) == list(loaded.speed_mps)


def test_readings_are_those_of_the_track_taken_though_another_has_the_same_times(
    truth: Recording, tmp_path: Path
) -> None:
    weaker = replace(truth, power_w=np.full(len(truth.time_s), 50.0))
    short = rearranged(as_gpx(weaker), lambda points: points[: len(points) // 2])
    (track,) = re.findall("<trk>.*</trk>", short, re.DOTALL)
    file = tmp_path / "two.gpx"
    file.write_text(as_gpx(truth).replace("<trk>", f"{track}<trk>", 1))
    assert load_recording(file).power_w == pytest.approx(truth.power_w, abs=0.5)


@pytest.mark.parametrize("year", ["1970", "2099"])
def test_a_point_of_another_age_is_refused(truth: Recording, tmp_path: Path, year: str) -> None:
    def astray(points: list[str]) -> list[str]:
        wrong = points[0 if year < "2021" else -1].replace("2021-", f"{year}-")
        return [wrong, *points[1:]] if year < "2021" else [*points[:-1], wrong]

    file = tmp_path / "astray.gpx"
    file.write_text(rearranged(as_gpx(truth), astray))
    with pytest.raises(RouteError, match=rf"times run from .*{year}-03-04.*; allowed is 30, take"):
        load_recording(file)


def test_a_clock_that_stands_still_is_refused(truth: Recording, tmp_path: Path) -> None:
    file = tmp_path / "still.gpx"
    file.write_text(re.sub("<time>.*?</time>", "<time>2021-03-04T09:00:00Z</time>", as_gpx(truth)))
    with pytest.raises(RouteError, match="the clock stands still or runs backwards: 1 point later"):
        load_recording(file)


def test_planned_route_is_refused(tmp_path: Path) -> None:
    points = "".join(
        f'<trkpt lat="{45 + n / 9000:.6f}" lon="7"><ele>{n}</ele></trkpt>' for n in range(80)
    )
    file = tmp_path / "plan.gpx"
    file.write_text(
        '<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>{points}</trkseg></trk></gpx>"
    )
    with pytest.raises(RouteError, match=r"0 of 80 points have a time.*give a recorded ride"):
        load_recording(file)


def test_cadence_that_no_legs_reach_is_a_fault(truth: Recording, tmp_path: Path) -> None:
    wild = truth.cadence_rpm.copy()
    wild[500] = 239.0
    file = tmp_path / "wild.gpx"
    file.write_text(as_gpx(replace(truth, cadence_rpm=wild)))
    assert np.nanmax(load_recording(file).cadence_rpm) < 150.0


def test_halves_make_the_whole(loaded: Recording) -> None:
    first, second = halves_of(loaded)
    assert first.moving.sum() == pytest.approx(second.moving.sum(), abs=2)
    assert first.course.length_m + second.course.length_m == pytest.approx(
        loaded.course.length_m, abs=2 * loaded.course.step_m
    )
    assert second.distance_m[0] < loaded.course.step_m
    assert second.elevation_m[-1] == loaded.elevation_m[-1]
    assert len(second.course.elevation_m) == second.course.intervals + 1
    assert len(second.course.bend_radius_m) == second.course.intervals + 1


@pytest.mark.parametrize(
    ("first", "last", "start_s", "duration_s"), [(0, 150, 100.0, 51.0), (150, 400, 0.0, 50.0)]
)
def test_a_part_has_as_much_of_a_stop_as_is_in_it(
    loaded: Recording, first: int, last: int, start_s: float, duration_s: float
) -> None:
    # The second 150 is in both parts.
    seconds = np.arange(len(loaded.time_s))
    standing = replace(
        loaded,
        stops=(RecordedStop(start_s=100.0, duration_s=100.0, distance_m=loaded.distance_m[100]),),
        moving=(seconds < 100) | (seconds >= 200),
    )
    part = part_of(standing, first, last, "part")
    (stop,) = part.stops
    assert (stop.start_s, stop.duration_s) == (start_s, duration_s)
    assert stop.duration_s == np.count_nonzero(~part.moving)
    assert part.moving_s == pytest.approx(np.count_nonzero(part.moving), abs=1.0)


@pytest.mark.parametrize(
    ("speed_mps", "seconds", "stops"), [(0.5, 8, 1), (0.5, 4, 0), (1.0, 30, 0)]
)
def test_slower_than_anyone_rides_for_5_s_and_more_is_a_stop(
    truth: Recording, tmp_path: Path, speed_mps: float, seconds: int, stops: int
) -> None:
    slow = truth.speed_mps.copy()
    slow[:10], slow[300 : 300 + seconds] = 5.0, speed_mps
    file = tmp_path / "slow.gpx"
    file.write_text(as_gpx(replace(truth, speed_mps=slow)))
    found = load_recording(file).stops
    assert [(stop.start_s, stop.duration_s) for stop in found] == [(300.0, seconds)] * stops


def test_speed_that_half_of_the_points_lack_is_from_places(
    truth: Recording, tmp_path: Path
) -> None:
    half = np.where(np.arange(len(truth.time_s)) < 350, truth.speed_mps, np.nan)
    file = tmp_path / "half.gpx"
    file.write_text(as_gpx(replace(truth, speed_mps=half)))
    assert not load_recording(file).speed_recorded


@pytest.mark.parametrize(("power_w", "taken"), [(2400.0, True), (2600.0, False)])
def test_power_that_no_legs_reach_is_a_fault(
    truth: Recording, tmp_path: Path, power_w: float, taken: bool
) -> None:
    power = truth.power_w.copy()
    power[400] = power_w
    file = tmp_path / "power.gpx"
    file.write_text(as_gpx(replace(truth, power_w=power)))
    assert (load_recording(file).power_w.max() == power_w) == taken
