"""Where waypoints lie on a course, and how often."""

import numpy as np
import pytest

from gearsim.course.gpx_in import Waypoint
from gearsim.course.places import places_on_course
from gearsim.course.track import EARTH_RADIUS_M, Floats

STEP_M = 10.0
DEGREE_M = np.radians(1.0) * EARTH_RADIUS_M


def placed(name: str, east_m: Floats, north_m: Floats, at_m: tuple[float, float]) -> list[float]:
    """Distances at which a waypoint `at_m` east and north is a place, near 0° 0°."""
    waypoint = Waypoint(
        name=name, longitude_deg=at_m[0] / DEGREE_M, latitude_deg=at_m[1] / DEGREE_M
    )
    distance_m = STEP_M * np.arange(len(east_m))
    places, left_out = places_on_course(
        [waypoint], distance_m, north_m / DEGREE_M, east_m / DEGREE_M
    )
    assert left_out == (() if places else (name,))
    assert {place.name for place in places} <= {name}
    return [place.distance_m for place in places]


def loop(laps: int = 1, gap_m: float = 0.0) -> tuple[Floats, Floats]:
    """Laps of 2 km on a circle, that end `gap_m` short of where they began."""
    along_m = np.arange(0.0, 2_000.0 * laps - gap_m + 1.0, STEP_M)
    angle = 2.0 * np.pi * along_m / 2_000.0
    radius_m = 2_000.0 / (2.0 * np.pi)
    return radius_m * np.sin(angle), radius_m * (1.0 - np.cos(angle))


@pytest.mark.parametrize("name", ["Finish", "FINISH line", "Ziel", "Arrivée", "race end", "Mål"])
@pytest.mark.parametrize("gap_m", [0.0, 60.0])
def test_finish_where_the_start_is_lies_at_the_end(name: str, gap_m: float) -> None:
    east_m, north_m = loop(gap_m=gap_m)
    assert placed(name, east_m, north_m, (0.0, 0.0)) == [2_000.0 - gap_m]


@pytest.mark.parametrize("name", ["Start", "Départ", "start (old town)"])
def test_start_where_the_finish_is_lies_at_the_beginning(name: str) -> None:
    assert placed(name, *loop(), (0.0, 0.0)) == [0.0]


@pytest.mark.parametrize("name", ["Start / Finish", "Car park", "Startling view", "Weekend market"])
def test_other_places_at_both_ends_lie_at_both(name: str) -> None:
    assert placed(name, *loop(), (0.0, 0.0)) == [0.0, 2_000.0]


def test_feed_on_a_lap_is_passed_on_every_lap() -> None:
    east_m, north_m = loop(laps=3)
    assert placed("feed", east_m, north_m, (east_m[70], north_m[70])) == [700.0, 2_700.0, 4_700.0]


def test_finish_of_laps_is_at_the_end_of_the_last() -> None:
    assert placed("finish", *loop(laps=3), (0.0, 0.0)) == [6_000.0]


def test_hairpin_beside_a_place_is_one_pass() -> None:
    # up to the bend, round it within 30 m, and back 15 m beside
    east_m = np.concatenate([STEP_M * np.arange(100), STEP_M * np.arange(100)[::-1]])
    north_m = np.concatenate([np.zeros(100), np.full(100, 15.0)])
    assert placed("chapel", east_m, north_m, (900.0, 5.0)) == [900.0]
    assert placed("chapel", east_m, north_m, (500.0, 5.0)) == [500.0, 1_490.0]


@pytest.mark.parametrize(("away_m", "passes"), [(240.0, 1), (260.0, 0)])
def test_place_farther_than_250_m_is_left_out(away_m: float, passes: int) -> None:
    east_m = STEP_M * np.arange(200)
    assert len(placed("view", east_m, np.zeros(200), (1_000.0, away_m))) == passes


@pytest.mark.parametrize(
    ("farther_m", "passes"), [(20.0, [500.0, 1_490.0]), (30.0, [1_490.0]), (60.0, [1_490.0])]
)
def test_place_that_is_passed_nearer_later_is_only_there_unless_both_are_as_near(
    farther_m: float, passes: list[float]
) -> None:
    east_m = np.concatenate([STEP_M * np.arange(100), STEP_M * np.arange(100)[::-1]])
    north_m = np.concatenate([np.zeros(100), np.full(100, farther_m)])
    assert placed("feed", east_m, north_m, (500.0, farther_m)) == passes
