import dataclasses
from pathlib import Path

import numpy as np
import pytest
from made_gpx import track_of

from gearsim.course.choice import choose_track
from gearsim.course.gpx_in import NamedTrack, RouteFile
from gearsim.course.track import Track
from gearsim.errors import RouteError


def line(start_m: float, end_m: float, start_s: float | None = None) -> Track:
    """Due north from one distance to another at 5 m/s, with times when a start is given."""
    north = np.linspace(start_m, end_m, 21)
    times = None if start_s is None else start_s + np.abs(north - start_m) / 5.0
    return track_of(np.zeros(21), north, time_s=times)


def file_of(*tracks: Track, routes: tuple[Track, ...] = ()) -> RouteFile:
    def named(some: tuple[Track, ...], letters: str) -> tuple[NamedTrack, ...]:
        return tuple(
            NamedTrack(name=name, track=track) for name, track in zip(letters, some, strict=False)
        )

    return RouteFile(
        path=Path("f.gpx"),
        title="f",
        tracks=named(tracks, "ABCDEFGH"),
        routes=named(routes, "RS"),
        waypoints=(),
    )


def test_the_only_track_is_taken() -> None:
    choice = choose_track(file_of(line(0, 1000)))
    assert choice.sentence == "track 'A' taken, the only one"


def test_an_unnamed_track_is_called_as_its_file_is() -> None:
    unnamed = NamedTrack(name="track 1", track=line(0, 1000), given=False)
    file = dataclasses.replace(file_of(), tracks=(unnamed,))
    assert choose_track(file).name == "f"


def test_tracks_that_continue_one_another_are_joined() -> None:
    choice = choose_track(file_of(line(0, 1000, 0), line(1050, 3000, 900)))
    assert choice.track.points == 42
    assert "'A', 'B' taken as one" in choice.sentence


def test_tracks_without_times_are_joined_where_one_begins_at_the_others_end() -> None:
    assert choose_track(file_of(line(0, 1000), line(1010, 3000))).track.points == 42


def test_of_tracks_apart_the_longest_is_taken_and_the_others_are_named() -> None:
    choice = choose_track(file_of(line(0, 1000, 0), line(9000, 12000, 900)))
    assert choice.name == "B"
    assert choice.sentence == "track 'B' taken, the longest; left out: 'A'"


def test_the_same_ride_recorded_twice_is_not_ridden_twice() -> None:
    there_and_back = line(0, 100, 0)
    assert choose_track(file_of(there_and_back, there_and_back)).track.points == 21


def test_loops_from_one_start_are_alternatives() -> None:
    angle = np.linspace(0.0, 2.0 * np.pi, 50)
    small, large = (
        track_of(radius * np.sin(angle), radius - radius * np.cos(angle)) for radius in (300, 900)
    )
    choice = choose_track(file_of(small, large))
    assert choice.name == "B"
    assert choice.track.points == 50


@pytest.mark.parametrize(("pause_h", "points"), [(23.0, 42), (25.0, 21), (7 * 24.0, 21)])
def test_a_track_that_goes_on_after_more_than_a_day_is_another_ride(
    pause_h: float, points: int
) -> None:
    first = line(0, 2000, 0)
    begins_s = 400.0 + 3600.0 * pause_h
    choice = choose_track(file_of(first, line(2010, 3000, begins_s)))
    assert (choice.name, choice.track.points) == ("A", points)


def test_the_parts_taken_are_those_of_the_file() -> None:
    file = file_of(line(0, 100), line(5000, 6000), line(6010, 9000))
    assert choose_track(file).parts == file.tracks[1:]


def test_of_many_names_only_some_are_listed() -> None:
    file = file_of(*(line(9000.0 * n, 9000.0 * n + 1000 + n) for n in range(8)))
    assert choose_track(file).sentence.endswith("left out: 'A', 'B', 'C', 'D', 'E' and 2 more")


def test_one_stray_point_does_not_make_a_track_the_longest() -> None:
    stray = track_of([0.0, 0.0, 900_000.0], [0.0, 50.0, 0.0])
    assert choose_track(file_of(stray, line(0, 9000))).name == "B"


def test_a_route_is_taken_only_where_there_is_no_track() -> None:
    assert choose_track(file_of(line(0, 100), routes=(line(0, 900),))).name == "A"
    choice = choose_track(file_of(routes=(line(0, 900),)))
    assert choice.sentence == "route 'R' taken, the only one"


@pytest.mark.parametrize(
    ("file", "said"),
    [
        (file_of(), "no track or route with points"),
        (file_of(line(0, 100).at(np.array([0]))), "only one point"),
    ],
)
def test_nothing_to_ride_is_refused(file: RouteFile, said: str) -> None:
    with pytest.raises(RouteError, match=said):
        choose_track(file)
