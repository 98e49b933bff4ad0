"""Real files, where they are at hand: they load sensibly or are refused with a reason."""

from pathlib import Path

import numpy as np
import pytest

from gearsim.course.choice import choose_track
from gearsim.course.climbs import total_climb_m
from gearsim.course.course import Course
from gearsim.course.geodesic import leg_distances_m
from gearsim.course.gpx_in import read_gpx
from gearsim.course.loading import load_course
from gearsim.course.repairs.repair import PLACE_REPAIRS
from gearsim.course.track import Floats
from gearsim.errors import InputError
from gearsim.units import GRAVITY_MPS2

DATA = Path(__file__).parents[3] / "shared" / "data"
FILES = sorted(path for folder in ("gpx", "rides") for path in DATA.glob(f"{folder}/*.gpx*"))
RIDES = [path for path in FILES if path.parent.name == "rides"]
NO_DATA = "the recorded files in ../shared/data are not at hand"

pytestmark = pytest.mark.skipif(not FILES, reason=NO_DATA)


def outcome(path: Path) -> Course | str:
    try:
        return load_course(path)
    except InputError as refused:
        return str(refused)


def recorded_climb_m(path: Path, dead_band_m: float) -> float:
    """Sum of all rises as recorded: noise only adds to it, so no course may climb more.

    A dead band takes away: up to its size at every top and at every bottom.
    """
    height_m = choose_track(read_gpx(path)).track.elevation_m
    rises_m = np.diff(height_m[~np.isnan(height_m)])
    turns = np.count_nonzero(np.diff(np.sign(rises_m[rises_m != 0.0])))
    return float(np.maximum(rises_m, 0.0).sum()) + dead_band_m * turns


def test_every_file_loads_sensibly_or_is_refused_in_one_line() -> None:
    for path in FILES:
        made = outcome(path)
        if isinstance(made, str):
            assert made.startswith(f"{path}: "), made
            assert "\n" not in made, made
            continue
        assert np.isfinite(made.elevation_m).all(), path
        assert np.isfinite(made.bearing_rad).all(), path
        assert (made.bend_radius_m >= 2.0).all(), path
        assert 50.0 <= made.length_m < 100_000.0, path
        noise = made.report.noise
        assert noise is not None, path
        recorded_m = recorded_climb_m(path, noise.dead_band_m)
        assert total_climb_m(made) <= 1.05 * recorded_m + 1.0, path


def test_every_recorded_ride_loads() -> None:
    for path in RIDES:
        assert isinstance(outcome(path), Course), path


def ridden_mps(path: Path, course: Course) -> Floats:
    """Speed over each interval of the course and its neighbours, from the recording's clock."""
    track = choose_track(read_gpx(path)).track
    for repair in PLACE_REPAIRS:
        track, _ = repair(track)
    legs_m = leg_distances_m(track.latitude_deg, track.longitude_deg)
    along_m = np.concatenate([[0.0], np.cumsum(legs_m)])
    time_s = np.interp(course.distance_m, along_m, track.time_s)
    first = np.maximum(np.arange(course.intervals) - 1, 0)
    last = np.minimum(np.arange(course.intervals) + 2, course.intervals)
    speed_mps: Floats = (last - first) * course.step_m / np.maximum(time_s[last] - time_s[first], 1)
    return speed_mps


def test_recorded_riders_could_ride_the_bends_that_are_found() -> None:
    # Riders lean hardest in tight bends: 85th percentile 0.61 g at 3.1 m radius (FHWA trail
    # study).  Bends invented by scatter would show as accelerations that no rider reaches.
    for path in RIDES:
        course = load_course(path)
        lateral_g = ridden_mps(path, course) ** 2 / course.bend_radius_m[1:] / GRAVITY_MPS2
        assert np.mean(lateral_g > 0.61) < 0.002, path


def test_gusts_in_a_recorded_ride_leave_no_walls() -> None:
    course = load_course(DATA / "rides" / "hilly-58km.gpx.gz")
    repairs = {repair.what: repair for repair in course.report.repairs}
    assert repairs["restless heights"].where_km == (11.8, 13.1)
    assert np.abs(course.grade).max() < 0.25


def test_one_recorded_ride_has_an_altimeter_with_a_dead_band() -> None:
    """Its heights stand still, then move by 2.0, 2.2 or 2.4 m within five seconds."""
    bands_m = {path.name: load_course(path).report.noise.dead_band_m for path in RIDES}
    assert bands_m.pop("short-30km.gpx.gz") == pytest.approx(2.0)
    assert set(bands_m.values()) == {0.0}
