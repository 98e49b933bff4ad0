import numpy as np
import pytest

from gearsim.course.geodesic import leg_bearings_rad, leg_distances_m, unrolled_m


@pytest.mark.parametrize(
    ("start", "end", "distance_m"),
    [
        # WGS84 geodesics recomputed with general-purpose libraries: check values, section 9
        ((45.0, 7.0), (45.001, 7.0), 111.131787),
        ((45.0, 7.0), (45.0, 7.001), 78.846835),
        ((52.0, 13.0), (52.5, 13.5), 65279.131662),
    ],
)
def test_distance_is_the_wgs84_geodesic(
    start: tuple[float, float], end: tuple[float, float], distance_m: float
) -> None:
    latitude, longitude = np.array([start[0], end[0]]), np.array([start[1], end[1]])
    assert leg_distances_m(latitude, longitude) == pytest.approx([distance_m], abs=1e-6)


def test_the_date_line_adds_no_distance() -> None:
    across = leg_distances_m(np.array([10.0, 10.0]), np.array([179.9995, -179.9995]))
    beside = leg_distances_m(np.array([10.0, 10.0]), np.array([100.0, 100.001]))
    assert across == pytest.approx(beside, rel=1e-9)


def test_bearings_run_clockwise_from_north() -> None:
    latitude = np.array([0.0, 0.1, 0.1, 0.0, 0.0])
    longitude = np.array([179.95, 179.95, -179.95, -179.95, 179.95])
    quarters = leg_bearings_rad(latitude, longitude) / (np.pi / 2)
    assert quarters == pytest.approx([0.0, 1.0, 2.0, 3.0], abs=2e-4)


def test_the_unrolled_path_keeps_the_length_of_every_leg() -> None:
    rng = np.random.default_rng(3)
    latitude = 60.0 + np.cumsum(rng.normal(0.0, 3e-4, 500))
    longitude = 179.9 + np.cumsum(rng.normal(0.0, 3e-4, 500))
    longitude = np.mod(longitude + 180.0, 360.0) - 180.0
    east_m, north_m = unrolled_m(latitude, longitude)
    legs_m = leg_distances_m(latitude, longitude)
    assert np.hypot(np.diff(east_m), np.diff(north_m)) == pytest.approx(legs_m, rel=1e-6)
