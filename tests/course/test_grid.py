import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.course.grid import interval_bearings_rad, node_distances_m, places_at


@given(st.floats(min_value=51.0, max_value=1e6), st.floats(min_value=1.0, max_value=200.0))
def test_the_grid_ends_exactly_at_the_finish(length_m: float, step_m: float) -> None:
    nodes = node_distances_m(length_m, step_m)
    assert nodes[0] == 0.0
    assert nodes[-1] == length_m
    assert len(nodes) - 1 == max(1, round(length_m / step_m))
    assert np.ptp(np.diff(nodes)) < 1e-9 * length_m


def test_places_between_points_are_on_the_short_side_of_the_date_line() -> None:
    distance = np.array([0.0, 100.0, 200.0])
    longitude = np.array([179.999, -179.999, -179.997])
    latitude = np.array([-17.0, -17.0, -17.0])
    at, turned = places_at(distance, latitude, longitude, np.array([25.0, 75.0, 150.0]))
    assert list(at) == [-17.0, -17.0, -17.0]
    assert turned == pytest.approx([179.9995, -179.9995, -179.998])


def test_nodes_that_coincide_keep_the_bearing_before() -> None:
    latitude = np.array([0.0, 0.001, 0.001, 0.0])
    quarters = interval_bearings_rad(latitude, np.zeros(4)) / np.pi
    assert quarters == pytest.approx([0.0, 0.0, 1.0])
