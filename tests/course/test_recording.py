"""Recorded rides: what the instruments told, stops, and what is refused."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from made_recordings import Faults, as_gpx, loop, recorded, ride_of

from gearsim.course.recorded.part import halves_of
from gearsim.course.recorded.recording import Recording, load_recording
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
