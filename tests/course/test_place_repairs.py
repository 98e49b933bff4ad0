import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_gpx import track_of

from gearsim.course.repairs.places import (
    in_order,
    jump_limit_m,
    without_duplicates,
    without_lost_fixes,
    without_spikes,
    without_stray_ends,
)
from gearsim.course.track import Track, leg_lengths_m


def ridden(count: int = 200, timed: bool = True) -> Track:
    """A ride at 6 m/s in a wide curve, a point a second."""
    along = 6.0 * np.arange(count)
    times = np.arange(count, dtype=float) if timed else None
    return track_of(2000 * np.sin(along / 2000), 2000 * (1 - np.cos(along / 2000)), time_s=times)


def shifted(track: Track, points: slice, north_deg: float) -> Track:
    latitude = track.latitude_deg.copy()
    latitude[points] += north_deg
    return Track(
        latitude_deg=latitude,
        longitude_deg=track.longitude_deg,
        elevation_m=track.elevation_m,
        time_s=track.time_s,
        number=track.number,
    )


def length_m(track: Track) -> float:
    return float(leg_lengths_m(track.xyz_m).sum())


def test_a_clean_ride_is_left_as_it_is() -> None:
    ride = ridden()
    for repair in (without_lost_fixes, in_order, without_duplicates, without_spikes):
        repaired, found = repair(ride)
        assert repaired.points == ride.points
        assert found == []


@given(st.permutations(range(12)))
@settings(max_examples=30, deadline=None)
def test_points_out_of_order_are_put_in_the_order_of_time(order: list[int]) -> None:
    ride = ridden(12)
    repaired, found = in_order(ride.at(np.array(order)))
    assert list(repaired.time_s) == list(ride.time_s)
    assert length_m(repaired) == pytest.approx(length_m(ride))
    assert bool(found) == (order != list(range(12)))


def test_a_clock_set_back_does_not_shuffle_the_places() -> None:
    ride = ridden()
    clock = ride.time_s.copy()
    clock[100:] -= 60.0
    set_back = Track(**{**ride.__dict__, "time_s": clock})
    repaired, found = in_order(set_back)
    assert list(repaired.latitude_deg) == list(ride.latitude_deg)
    assert not repaired.timed
    assert found[0].what == "clock backwards"


def test_a_clock_that_stands_still_is_not_used() -> None:
    ride = ridden()
    repaired, _ = in_order(Track(**{**ride.__dict__, "time_s": np.full(200, 5.0)}))
    assert not repaired.timed


def test_few_missing_times_are_filled_in() -> None:
    ride = ridden()
    clock = ride.time_s.copy()
    clock[[0, 50, 51]] = np.nan
    repaired, _ = in_order(Track(**{**ride.__dict__, "time_s": clock}))
    assert repaired.time_s[50:52] == pytest.approx(ride.time_s[50:52])


def test_times_that_half_of_the_points_lack_are_not_used() -> None:
    ride = ridden()
    clock = ride.time_s.copy()
    clock[::2] = np.nan
    repaired, _ = in_order(Track(**{**ride.__dict__, "time_s": clock}))
    assert not repaired.timed


def test_duplicates_are_merged_and_their_heights_averaged() -> None:
    track = track_of([0, 0, 0, 10, 10, 0], [0, 0, 0, 0, 0, 0], [100, 103, np.nan, 5, np.nan, 7])
    repaired, found = without_duplicates(track)
    assert list(repaired.elevation_m) == [101.5, 5.0, 7.0]
    assert found[0].count == 3


@pytest.mark.parametrize("code", [-32768.0, -999.0, 1e308, np.inf])
def test_a_height_that_cannot_be_spoils_no_other_at_its_place(code: float) -> None:
    track = track_of([0, 0, 10, 10, 20], [0, 0, 0, 0, 0], [100, code, code, code, 7])
    assert list(without_duplicates(track)[0].elevation_m) == [100.0, code, 7.0]


def test_a_place_visited_again_later_is_no_duplicate() -> None:
    lap = track_of([0, 100, 0, 100, 0], [0, 0, 0, 0, 0])
    assert without_duplicates(lap)[0].points == 5


@pytest.mark.parametrize("timed", [True, False])
@pytest.mark.parametrize("points", [1, 3, 8])
@pytest.mark.parametrize("north_deg", [0.001, 0.5])
def test_a_spike_is_taken_out(timed: bool, points: int, north_deg: float) -> None:
    ride = ridden(timed=timed)
    away = slice(100, 100 + points)
    repaired, found = without_spikes(shifted(ride, away, north_deg))
    assert repaired.points == 200 - points
    assert not set(range(200)[away]) & set(repaired.number)
    assert found[0].count == 1


@pytest.mark.parametrize("timed", [True, False])
def test_nine_points_elsewhere_are_no_spike(timed: bool) -> None:
    away = shifted(ridden(timed=timed), slice(100, 109), 0.5)
    assert without_spikes(away)[0].points == 200


def test_a_dash_out_and_back_at_three_times_the_pace_is_no_spike() -> None:
    # A point every 10 s at 4 m/s, and 120 m out and back at 12 m/s in the midst of it.
    north = np.concatenate(
        [np.arange(0.0, 2000.0, 40.0), [2120.0], np.arange(2000.0, 4000.0, 40.0)]
    )
    track = track_of(np.zeros(len(north)), north, time_s=10.0 * np.arange(len(north)))
    assert without_spikes(track)[0].points == track.points


def test_two_spikes_side_by_side_are_both_taken_out() -> None:
    ride = shifted(shifted(ridden(), slice(100, 101), 0.002), slice(102, 103), -0.002)
    repaired, found = without_spikes(ride)
    assert set(range(200)) - set(repaired.number) == {100, 102}
    assert found[0].count == 2


def test_out_and_back_survives() -> None:
    out = np.concatenate([np.arange(0, 600, 6.0), np.arange(600, -1, -6.0)])
    for times in (None, np.arange(len(out), dtype=float)):
        track = track_of(np.zeros(len(out)), out, time_s=times)
        assert without_spikes(track)[0].points == track.points


def test_a_drawn_spur_to_a_viewpoint_survives() -> None:
    along = np.arange(0.0, 600.0, 15.0)
    east = np.concatenate([along[:21], [300.0, 300.0], along[21:]])
    north = np.concatenate([np.zeros(21), [400.0, 0.0], np.zeros(len(along) - 21)])
    assert without_spikes(track_of(east, north))[0].points == len(east)


def test_a_pause_that_went_somewhere_is_no_spike() -> None:
    ride = ridden()
    clock = ride.time_s.copy()
    clock[100:] += 600.0
    clock[101:] += 600.0
    away = shifted(Track(**{**ride.__dict__, "time_s": clock}), slice(100, 101), 0.005)
    assert without_spikes(away)[0].points == 200


def test_points_without_a_fix_are_taken_out() -> None:
    ride = ridden()
    latitude, longitude = ride.latitude_deg.copy(), ride.longitude_deg.copy()
    latitude[[0, 1, 77]] = longitude[[0, 1, 77]] = 0.0
    lost = Track(**{**ride.__dict__, "latitude_deg": latitude, "longitude_deg": longitude})
    repaired, found = without_lost_fixes(lost)
    assert repaired.points == 197
    assert found[0].count == 3


def test_a_ride_on_the_equator_keeps_its_points() -> None:
    ride = track_of(6.0 * np.arange(100), np.zeros(100), origin=(0.0, 0.0))
    assert without_lost_fixes(ride)[0].points == 100


@pytest.mark.parametrize("points", [slice(0, 2), slice(198, 200)])
@pytest.mark.parametrize(("timed", "north_deg"), [(True, 1.0), (False, 1.0), (True, 0.003)])
def test_stray_points_at_an_end_are_taken_out(points: slice, timed: bool, north_deg: float) -> None:
    repaired, found = without_stray_ends(shifted(ridden(timed=timed), points, north_deg))
    assert repaired.points == 198
    assert found[0].count == 2


def test_the_longest_leg_allowed_follows_how_sparse_the_file_is() -> None:
    assert jump_limit_m(np.full(1000, 6.0)) == 2000.0
    assert jump_limit_m(np.full(50, 700.0)) == 3500.0
    assert jump_limit_m(np.full(50, 24_000.0)) == 5000.0
