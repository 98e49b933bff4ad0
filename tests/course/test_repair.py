import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_gpx import track_of

from gearsim.course.repairs.repair import repair_track
from gearsim.course.track import Floats, Track
from gearsim.errors import RouteError


def north(distances_m: Floats, heights_m: Floats | None = None) -> Track:
    return track_of(np.zeros(len(distances_m)), distances_m, heights_m)


def test_a_clean_track_has_nothing_to_report() -> None:
    along = np.arange(0.0, 1000.0, 10.0)
    repaired = repair_track(north(along, 100.0 + 0.05 * along), "f.gpx")
    assert repaired.repairs == ()
    assert repaired.distance_m == pytest.approx(along, abs=1e-6)


def test_every_repair_says_where_on_the_repaired_track() -> None:
    along = np.arange(0.0, 5000.0, 10.0)
    heights = 100.0 + 0.05 * along
    heights[[100, 300]] += 500.0
    heights[450] = np.nan
    repairs = repair_track(north(along, heights), "f.gpx").repairs
    assert [repair.what for repair in repairs] == ["spikes in height", "missing heights"]
    assert repairs[0].where_km == (1.0, 3.0)
    assert repairs[1].count == 3
    assert repairs[1].sentence.endswith("at km 1.0, 3.0, 4.5")


def test_laps_keep_their_length() -> None:
    angle = np.arange(0.0, 8.0 * np.pi, 0.05)
    track = track_of(200.0 * np.sin(angle), 200.0 * np.cos(angle))
    length_m = repair_track(track, "f.gpx").distance_m[-1]
    assert length_m == pytest.approx(200.0 * angle[-1], rel=1e-3)


@pytest.mark.parametrize("apart_m", [500.0, 1500.0, 4000.0])
def test_points_far_apart_are_no_jump_where_the_whole_file_is_sparse(apart_m: float) -> None:
    along = apart_m * np.arange(30)
    repaired = repair_track(north(along), "f.gpx")
    assert repaired.distance_m[-1] == pytest.approx(29 * apart_m, rel=1e-6)


def test_a_hole_is_told_and_crossed() -> None:
    along = np.concatenate([np.arange(0.0, 3000.0, 10.0), np.arange(4500.0, 8000.0, 10.0)])
    (repair,) = repair_track(north(along, 100.0 + along * 0.01), "f.gpx").repairs
    assert "1 hole without points, up to 1510 m" in repair.sentence
    assert repair.where_km == (3.0,)


def test_a_gap_that_needs_no_word_has_none() -> None:
    along = np.concatenate([np.arange(0.0, 3000.0, 10.0), np.arange(3230.0, 8000.0, 10.0)])
    assert repair_track(north(along, 100.0 + along * 0.01), "f.gpx").repairs == ()


def test_of_many_places_the_first_five_are_told() -> None:
    along = np.arange(0.0, 8000.0, 10.0)
    heights = 100.0 + 0.05 * along
    heights[100:700:100] += 500.0
    (spikes, _) = repair_track(north(along, heights), "f.gpx").repairs
    assert spikes.count == 6
    assert spikes.where_km == (1.0, 2.0, 3.0, 4.0, 5.0)
    assert spikes.sentence.endswith("at km 1.0, 2.0, 3.0, 4.0, 5.0 and on")


def refusal(track: Track) -> str:
    with pytest.raises(RouteError) as caught:
        repair_track(track, "f.gpx")
    message = str(caught.value)
    assert message.startswith("f.gpx: ")
    assert "\n" not in message
    return message


def test_a_jump_of_kilometres_is_refused_with_its_place_and_the_way_out() -> None:
    along = np.concatenate([np.arange(0.0, 3000.0, 10.0), np.arange(7000.0, 9000.0, 10.0)])
    message = refusal(north(along))
    assert "at km 3.0 the route jumps 4.0 km" in message
    assert "allowed here is 2.0 km" in message


def test_points_tens_of_kilometres_apart_are_refused() -> None:
    assert "jumps 20.0 km" in refusal(north(20_000.0 * np.arange(12)))


def test_one_place_is_no_route() -> None:
    assert "the route is 0 m long (1 point" in refusal(north(np.zeros(10)))


@pytest.mark.parametrize("length_m", [49.0, 51.0])
def test_a_route_of_less_than_50_m_is_refused(length_m: float) -> None:
    track = north(np.linspace(0.0, length_m, 11), np.linspace(100.0, 101.0, 11))
    if length_m < 50.0:
        assert "the route is 49 m long (11 points apart from repeats); allowed is 50" in refusal(
            track
        )
    else:
        assert repair_track(track, "f.gpx").repairs == ()


def test_no_heights_are_refused() -> None:
    along = np.arange(0.0, 1000.0, 10.0)
    assert "has no heights" in refusal(north(along, np.full(100, np.nan)))


def test_heights_that_are_all_zero_are_no_heights() -> None:
    assert "every height is 0 m" in refusal(north(np.arange(0.0, 1000.0, 10.0), np.zeros(100)))


def test_heights_that_are_all_the_same_are_a_flat_road_and_told() -> None:
    (repair,) = repair_track(north(np.arange(0.0, 1000.0, 10.0)), "f.gpx").repairs
    assert "taken as a flat road" in repair.sentence


def test_mostly_missing_heights_are_refused() -> None:
    heights = np.full(100, np.nan)
    heights[::4] = 100.0
    assert "heights are missing or impossible on" in refusal(
        north(np.arange(0.0, 1000.0, 10.0), heights)
    )


@pytest.mark.parametrize(("missing", "refused"), [(450, False), (550, True)])
def test_heights_missing_on_more_than_half_of_the_route_are_refused(
    missing: int, refused: bool
) -> None:
    along = np.arange(0.0, 1001.0, 1.0)
    heights = 100.0 + 0.01 * along
    heights[100 : 100 + missing - 1] = np.nan
    if refused:
        assert "missing or impossible on 55 % of the route" in refusal(north(along, heights))
    else:
        (repair,) = repair_track(north(along, heights), "f.gpx").repairs
        assert (repair.what, repair.count) == ("missing heights", missing - 1)


def test_heights_missing_for_kilometres_are_refused() -> None:
    along = np.arange(0.0, 20_000.0, 10.0)
    heights = 100.0 + 0.01 * along
    heights[500:750] = np.nan
    assert "heights are missing or impossible for 2.5 km (first at km 5.0)" in refusal(
        north(along, heights)
    )


def test_the_other_way_round_mirrors_the_repair() -> None:
    rng = np.random.default_rng(4)
    along = np.cumsum(rng.uniform(3.0, 20.0, 400))
    heights = 100.0 + 20.0 * np.sin(along / 300.0)
    heights[[50, 51, 200]] = np.nan
    heights[120] += 80.0
    track = north(along, heights)
    forth = repair_track(track, "f.gpx")
    back = repair_track(
        Track(**{**track.at(np.arange(399, -1, -1)).__dict__, "number": np.arange(400)}), "f.gpx"
    )
    assert back.elevation_m[::-1] == pytest.approx(forth.elevation_m)
    assert back.distance_m[-1] - back.distance_m[::-1] == pytest.approx(forth.distance_m)


@given(
    seed=st.integers(0, 10_000),
    apart_m=st.sampled_from([0.3, 5.0, 300.0]),
    faults=st.lists(st.integers(0, 6), max_size=5),
)
@settings(max_examples=60, deadline=None)
def test_whatever_came_in_it_is_made_fit_or_refused(
    seed: int, apart_m: float, faults: list[int]
) -> None:
    try:
        repaired = repair_track(faulty(np.random.default_rng(seed), apart_m, faults), "f.gpx")
    except RouteError:
        return
    assert (np.diff(repaired.distance_m) > 0.0).all()
    assert np.isfinite(repaired.elevation_m).all()
    assert repaired.distance_m[-1] >= 50.0


def faulty(rng: np.random.Generator, apart_m: float, faults: list[int]) -> Track:
    """A winding ride of 300 points with some of the faults that recordings have."""
    heading = np.cumsum(rng.normal(0.0, 0.2, 300))
    east, along = np.cumsum(apart_m * np.sin(heading)), np.cumsum(apart_m * np.cos(heading))
    track = track_of(east, along, 100.0 + np.cumsum(rng.normal(0.0, 0.3, 300)), np.arange(300.0))
    for fault in faults:
        some = slice(start := int(rng.integers(0, 300)), start + int(rng.integers(1, 12)))
        track.latitude_deg[some] += 0.01 * (fault == 0)
        track.latitude_deg[some] *= fault != 1
        track.longitude_deg[some] *= fault != 1
        track.elevation_m[some] += np.nan if fault == 2 else 300.0 * (fault == 3)
        track.elevation_m[some] *= fault != 4
        track.time_s[some] -= 50.0 * (fault == 5)
        track.time_s[some] += np.nan if fault == 6 else 0.0
    return track
