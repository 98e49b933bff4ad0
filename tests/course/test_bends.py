import numpy as np
import pytest

from gearsim.course.bends import bend_radii_m, scatter_m
from gearsim.course.course import METRES_PER_DEGREE_EAST, METRES_PER_DEGREE_NORTH
from gearsim.course.grid import node_distances_m
from gearsim.course.track import Floats


def road(*parts: tuple[float, float]) -> Floats:
    """A path of stretches (length m, curvature 1/m), a point every half metre, m, (2, n)."""
    heading = np.concatenate([np.full(round(length / 0.5), bend) for length, bend in parts])
    heading = np.cumsum(heading * 0.5)
    return np.cumsum(0.5 * np.stack([np.sin(heading), np.cos(heading)]), axis=1)


def radii_of(
    path_m: Floats, apart_m: float, scatter: float = 0.0, seed: int = 0, step_m: float = 10.0
) -> Floats:
    """Bend radii every `step_m` when points stand so far apart and scatter so much."""
    points = path_m[:, :: max(1, round(apart_m / 0.5))]
    points = points + np.random.default_rng(seed).normal(0.0, scatter, points.shape)
    distance_m = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=1)))])
    nodes_m = node_distances_m(float(distance_m[-1]), step_m)
    latitude, longitude = points[1] / METRES_PER_DEGREE_NORTH, points[0] / METRES_PER_DEGREE_EAST
    return bend_radii_m(distance_m, latitude, longitude, nodes_m)


@pytest.mark.parametrize("apart_m", [3.0, 5.0, 10.0, 20.0])
@pytest.mark.parametrize("scatter", [0.5, 1.0, 2.0])
@pytest.mark.parametrize("seed", range(3))
def test_scattered_points_on_a_straight_invent_no_bend(
    apart_m: float, scatter: float, seed: int
) -> None:
    assert radii_of(road((5000.0, 0.0)), apart_m, scatter, seed).min() > 100.0


@pytest.mark.parametrize("apart_m", [3.0, 5.0, 10.0])
def test_strong_scatter_invents_no_hairpin(apart_m: float) -> None:
    assert radii_of(road((5000.0, 0.0)), apart_m, scatter=3.0).min() > 25.0


@pytest.mark.parametrize("apart_m", [2.0, 5.0, 8.0])
@pytest.mark.parametrize("scatter", [0.0, 1.0])
def test_a_hairpin_of_10_m_is_seen_as_one(apart_m: float, scatter: float) -> None:
    path = road((300.0, 0.0), (np.pi * 10.0, 0.1), (300.0, 0.0))
    radii = radii_of(path, apart_m, scatter)
    assert 5.0 < radii.min() < 14.0
    assert np.argmin(radii) == pytest.approx(len(radii) / 2, abs=3)


@pytest.mark.parametrize("radius_m", [25.0, 50.0, 100.0, 200.0])
@pytest.mark.parametrize("apart_m", [2.0, 5.0, 20.0])
def test_clean_bends_have_their_radius(radius_m: float, apart_m: float) -> None:
    path = road((300.0, 0.0), (np.pi / 2 * radius_m, -1.0 / radius_m), (300.0, 0.0))
    assert radii_of(path, apart_m).min() == pytest.approx(radius_m, rel=0.15)


@pytest.mark.parametrize(("radius_m", "straight"), [(500.0, False), (3000.0, True)])
def test_a_bend_that_slows_nobody_is_straight(radius_m: float, straight: bool) -> None:
    path = road((300.0, 0.0), (400.0, 1.0 / radius_m), (300.0, 0.0))
    assert np.isinf(radii_of(path, 5.0)).all() == straight


@pytest.mark.parametrize(("before_m", "tight"), [(300.0, True), (335.0, False)])
def test_a_bend_slows_at_nodes_no_farther_from_it_than_a_quarter_interval(
    before_m: float, tight: bool
) -> None:
    # A bend of 31 m on a grid of 100 m: beside the node at 300 m, or halfway to the next.
    path = road((before_m, 0.0), (np.pi / 2 * 20.0, 1.0 / 20.0), (1000.0 - before_m, 0.0))
    nearest = radii_of(path, 2.0, step_m=100.0)[3:5]
    assert (nearest.min() < 30.0) == tight


def test_the_corner_of_a_sparse_line_is_rounded_by_how_sharp_it_is() -> None:
    def corner(turn_deg: float) -> float:
        turn = np.radians(turn_deg)
        ends = np.array([[0.0, 0.0, 200 * np.sin(turn)], [0.0, 200.0, 200 * (1 + np.cos(turn))]])
        return float(radii_of(ends, 0.5).min())

    assert corner(90.0) < 12.0
    assert corner(10.0) > 300.0
    assert corner(90.0) < corner(45.0) < corner(20.0) < corner(10.0)


def test_a_turn_on_the_spot_is_the_tightest_bend() -> None:
    out_and_back = np.array([[0.0, 0.0, 0.0], [0.0, 300.0, 0.0]])
    assert radii_of(out_and_back, 0.5).min() == 2.0


def test_a_straight_is_infinite() -> None:
    assert np.isinf(radii_of(road((500.0, 0.0)), 10.0)).all()


@pytest.mark.parametrize("scatter", [0.3, 1.0, 3.0])
def test_the_scatter_of_points_is_estimated(scatter: float) -> None:
    rng = np.random.default_rng(1)
    along = np.arange(0.0, 10_000.0, 8.0)
    north, east = along + rng.normal(0, scatter, 1250), rng.normal(0, scatter, 1250)
    assert scatter_m(along, east, north) == pytest.approx(scatter, rel=0.15)


def test_sparse_points_show_no_scatter() -> None:
    along = np.arange(0.0, 10_000.0, 50.0)
    assert scatter_m(along, np.sin(along), along) == 0.0
