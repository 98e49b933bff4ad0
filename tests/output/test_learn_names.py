"""Rides are called by names that tell them apart."""

from dataclasses import replace

import pytest
from made_recordings import loop, recorded, ride_of

from gearsim.course.recorded.part import halves_of
from gearsim.course.recorded.recording import Recording
from gearsim.output.learn.names import names_of, some_of


@pytest.fixture(scope="module")
def ride() -> Recording:
    return recorded(ride_of(course=loop(4000.0)))


def called(ride: Recording, name: str, source: str) -> Recording:
    return replace(ride, name=name, source=source)


def test_own_name_that_says_something_is_kept(ride: Recording) -> None:
    assert names_of([called(ride, "Round the lake", "x/a.gpx")]) == ("Round the lake",)


@pytest.mark.parametrize("name", ["recorded ride", "Track 3", "2021-03-04", "Morning Ride"])
def test_own_name_that_says_nothing_gives_way_to_the_files(ride: Recording, name: str) -> None:
    assert names_of([called(ride, name, "x/sunday.gpx.gz")]) == ("sunday",)


def test_name_shared_by_two_files_gives_way_to_the_files(ride: Recording) -> None:
    rides = [called(ride, "Commute", "a.gpx"), called(ride, "Commute", "b.gpx")]
    assert names_of(rides) == ("a", "b")


def test_files_alike_are_told_apart_by_their_folders(ride: Recording) -> None:
    rides = [called(ride, "ride", "may/1.gpx"), called(ride, "ride", "june/1.gpx")]
    assert names_of(rides) == ("may/1", "june/1")


def test_halves_keep_the_rides_name_and_say_which_they_are(ride: Recording) -> None:
    halves = halves_of(called(ride, "recorded ride", "sunday.gpx"))
    assert names_of(halves) == ("sunday, first half", "sunday, second half")


def test_many_names_are_cut_short() -> None:
    assert some_of(["a", "b", "c"]) == "a, b and c"
    assert some_of(["a", "b", "c", "d", "e"]) == "a, b, c and 2 more"
