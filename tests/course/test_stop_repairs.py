import numpy as np
import pytest
from made_gpx import track_of

from gearsim.course.repairs.stops import without_stops
from gearsim.course.track import Floats, Track, leg_lengths_m


def scribble_m(seconds: int, spread_m: float, seed: int) -> Floats:
    """A receiver at rest: a path that wanders within about `spread_m`, m east and north, (2, n)."""
    rng = np.random.default_rng(seed)
    wander = np.zeros((2, seconds))
    for i in range(1, seconds):
        wander[:, i] = 0.98 * wander[:, i - 1] + rng.normal(0.0, 0.2 * spread_m, 2)
    return wander


def ride_with_stop(seconds: int, spread_m: float, timed: bool, seed: int = 1) -> Track:
    """500 m north at 5 m/s, a stop, 500 m more; a point a second."""
    before, after = np.arange(0.0, 500.0, 5.0), np.arange(505.0, 1005.0, 5.0)
    wander = scribble_m(seconds, spread_m, seed)
    east = np.concatenate([np.zeros(100), wander[0], np.zeros(100)])
    north = np.concatenate([before, 500.0 + wander[1], after])
    times = np.arange(len(east), dtype=float) if timed else None
    return track_of(east, north, time_s=times)


def length_m(track: Track) -> float:
    return float(leg_lengths_m(track.xyz_m).sum())


@pytest.mark.parametrize("timed", [True, False])
@pytest.mark.parametrize(("seconds", "spread_m"), [(60, 1.0), (600, 2.0), (3600, 3.0)])
def test_a_stop_adds_no_distance(timed: bool, seconds: int, spread_m: float) -> None:
    ride = ride_with_stop(seconds, spread_m, timed)
    repaired, found = without_stops(ride)
    assert length_m(ride) > 1000.0 + 0.1 * seconds  # the scribble is there
    assert length_m(repaired) == pytest.approx(1000.0, abs=25.0)
    assert sum(repair.count for repair in found) >= 1


def test_the_height_of_a_stop_is_the_median_of_its_heights() -> None:
    ride = ride_with_stop(600, 1.0, timed=True)
    height = np.full(ride.points, 200.0)
    height[300:320] = 260.0
    repaired, _ = without_stops(Track(**{**ride.__dict__, "elevation_m": height}))
    assert repaired.elevation_m.max() == 200.0


def test_heights_that_cannot_be_do_not_count_at_a_stop() -> None:
    ride = ride_with_stop(600, 1.0, timed=True)
    height = np.full(ride.points, 200.0)
    height[150:650] = -999.0
    repaired, _ = without_stops(Track(**{**ride.__dict__, "elevation_m": height}))
    assert set(repaired.elevation_m) == {200.0}


def test_a_stop_without_heights_stays_without() -> None:
    ride = ride_with_stop(600, 1.0, timed=True)
    repaired, _ = without_stops(Track(**{**ride.__dict__, "elevation_m": ride.time_s * np.nan}))
    assert np.isnan(repaired.elevation_m).all()


def test_drift_over_a_wide_place_is_thinned() -> None:
    slow = 0.15 * np.arange(2000)
    wobble = 2.0 * np.sin(np.arange(2000) / 3.0)
    track = track_of(wobble, slow, time_s=np.arange(2000.0))
    repaired, _ = without_stops(track)
    assert length_m(repaired) == pytest.approx(300.0, rel=0.1)
    assert repaired.points > 10


@pytest.mark.parametrize("speed_mps", [0.6, 1.0, 5.0, 15.0])
def test_riding_and_pushing_are_no_stop(speed_mps: float) -> None:
    along = speed_mps * np.arange(400)
    noise = np.random.default_rng(2).normal(0.0, 0.2, (2, 400))
    track = track_of(noise[0], along + noise[1], time_s=np.arange(400.0))
    assert without_stops(track)[0].points == 400


@pytest.mark.parametrize("timed", [True, False])
def test_laps_and_out_and_back_are_no_stop(timed: bool) -> None:
    angle = np.arange(600) * 10.0 / 40.0  # laps of 250 m at 10 m/s
    times = np.arange(600.0) if timed else None
    laps = track_of(40.0 * np.sin(angle), 40.0 * np.cos(angle), time_s=times)
    assert without_stops(laps)[0].points == 600
    out = 3.0 * np.concatenate([np.arange(300), np.arange(299, -1, -1)])
    back = track_of(np.zeros(600), out, time_s=times)
    assert without_stops(back)[0].points == 600


def test_a_hairpin_at_walking_pace_is_no_stop() -> None:
    along = 0.8 * np.arange(200)
    angle = np.clip((along - 80.0) / 6.0, 0.0, np.pi)
    east = 6.0 * (1.0 - np.cos(angle))
    straight = np.minimum(along, 80.0) - np.maximum(along - 80.0 - 6.0 * np.pi, 0.0)
    track = track_of(east, straight + 6.0 * np.sin(angle), time_s=np.arange(200.0))
    assert without_stops(track)[0].points == 200


def test_a_dense_drawn_line_is_no_stop() -> None:
    assert without_stops(track_of(np.zeros(3000), 0.2 * np.arange(3000)))[0].points == 3000
