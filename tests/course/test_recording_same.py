"""One ride given twice is found by its times and places, not by its file's name."""

from dataclasses import replace

import numpy as np
import pytest
from made_recordings import loop, recorded, ride_of

from gearsim.course.recorded.part import halves_of, part_of
from gearsim.course.recorded.recording import Recording
from gearsim.course.recorded.same import refuse_same_ride, same_ride
from gearsim.errors import RouteError

DAY_S = 86_400.0


@pytest.fixture(scope="module")
def ride() -> Recording:
    return recorded(ride_of(course=loop(8000.0)))


def test_copy_under_another_name_is_the_same_ride(ride: Recording) -> None:
    copy = replace(ride, name="other", source="copy.gpx")
    assert same_ride(ride, copy)
    with pytest.raises(
        RouteError, match=r"the same ride twice: made\.gpx and copy\.gpx; give each once"
    ):
        refuse_same_ride([ride, copy])


def test_ride_cut_short_is_the_same_ride(ride: Recording) -> None:
    last = len(ride.time_s) - 1
    assert same_ride(part_of(ride, last // 3, last, "rest"), ride)


@pytest.mark.parametrize(("shared", "same"), [(0.4, False), (0.6, True)])
def test_recordings_of_which_half_was_together_are_the_same_ride(
    ride: Recording, shared: float, same: bool
) -> None:
    last = len(ride.time_s) - 1
    length = round(last / (2.0 - shared))  # of two parts that share so much of either
    first, second = part_of(ride, 0, length, "a"), part_of(ride, last - length, last, "b")
    assert same_ride(first, second) == same


def test_same_road_on_another_day_is_another_ride(ride: Recording) -> None:
    assert not same_ride(ride, replace(ride, began_s=ride.began_s + DAY_S))


def test_same_hours_elsewhere_are_another_ride(ride: Recording) -> None:
    north = replace(ride.course, latitude_deg=ride.course.latitude_deg + 0.01)
    assert not same_ride(ride, replace(ride, course=north))


def test_halves_are_two_rides(ride: Recording) -> None:
    first, second = halves_of(ride)
    assert not same_ride(first, second)
    assert second.began_s == pytest.approx(first.ended_s)
    refuse_same_ride([first, second])


def test_two_recorders_of_one_ride_are_found(ride: Recording) -> None:
    aside = replace(ride.course, longitude_deg=ride.course.longitude_deg + 1e-4)
    assert same_ride(ride, replace(ride, course=aside, power_w=np.full(len(ride.time_s), np.nan)))
