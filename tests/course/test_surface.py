import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.course.surface import SURFACES, SurfaceStretch, assign_surfaces, surface_named
from gearsim.errors import PlanError

NODES_M = np.linspace(0.0, 10_000.0, 1001)


def stretch(from_km: float, to_km: float, surface: str = "gravel") -> SurfaceStretch:
    return SurfaceStretch(from_km=from_km, to_km=to_km, surface=surface)


# Bands of rolling resistance from memory (check values, section 3): a wide plausibility band.
@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("tarmac", 0.003, 0.006),
        ("hard-packed gravel", 0.006, 0.012),
        ("loose gravel", 0.012, 0.03),
        ("grass", 0.01, 0.03),
    ],
)
def test_rolling_coefficients_are_in_their_bands(name: str, low: float, high: float) -> None:
    assert low <= SURFACES[name].rolling_coefficient <= high


# Engineering table (check values, section 3, published): bicycle tyre on a bare track of each.
@pytest.mark.parametrize(("name", "bare"), [("concrete", 0.002), ("tarmac", 0.004)])
def test_a_road_rolls_no_easier_than_a_bare_track(name: str, bare: float) -> None:
    assert bare <= SURFACES[name].rolling_coefficient <= 0.006


def test_rough_paved_road_is_that_of_the_table() -> None:
    assert SURFACES["rough tarmac"].rolling_coefficient == 0.008


def test_single_track_costs_what_was_measured_over_a_sealed_road() -> None:
    # Macdermid PW, Fink PW, Stannard SR (2015), Int J Sports Med 36(10):783-788, published: one
    # climb at one speed, 280 W sealed, 312 W single track.  The mass and the speeds that those
    # 32 W mean are judgement: 85 kg, 8 to 18 km/h.
    more = SURFACES["single track"].rolling_coefficient - SURFACES["tarmac"].rolling_coefficient
    speed_kmh = 3.6 * (312.0 - 280.0) / (more * 85.0 * 9.80665)
    assert 8.0 < speed_kmh < 18.0


@pytest.mark.parametrize("name", SURFACES)
def test_every_surface_says_where_its_values_are_from(name: str) -> None:
    surface = surface_named(name)
    assert surface.name == name
    assert surface.standing.startswith("Crr: ")
    # 85th percentile of 142 bicycles in their tightest bends, 3.1 m: 0.61 g (FHWA trail study);
    # design values of unpaved roads: 0.15 to 0.11 (textbook, after AASHTO).
    assert surface.side_grip >= 0.15
    assert 0.11 <= surface.side_grip * surface.wet_grip_factor <= surface.side_grip * 1.1 < 0.61


def test_the_middle_of_an_interval_decides_its_surface() -> None:
    surfaces, index = assign_surfaces([stretch(1.004, 2.006)], "tarmac", NODES_M)
    assert [surface.name for surface in surfaces] == ["tarmac", "gravel"]
    assert list(np.flatnonzero(index)) == list(range(100, 201))


def test_stretches_may_come_in_any_order_and_touch() -> None:
    table = [stretch(5, 7, "grass"), stretch(2, 5), stretch(8, 9, "tarmac")]
    surfaces, index = assign_surfaces(table, "tarmac", NODES_M)
    assert [surface.name for surface in surfaces] == ["tarmac", "gravel", "grass"]
    assert list(np.bincount(index)) == [500, 300, 200]


@given(st.lists(st.floats(0.0, 10.0), min_size=2, max_size=8, unique=True))
def test_the_lengths_of_stretches_add_up(ends_km: list[float]) -> None:
    ends = sorted(ends_km)
    pairs = list(zip(ends[::2], ends[1::2], strict=False))
    _, index = assign_surfaces([stretch(a, b) for a, b in pairs], "tarmac", NODES_M)
    asked_m = sum(1000.0 * (b - a) for a, b in pairs)
    assert 10.0 * index.sum() == pytest.approx(asked_m, abs=10.0 * len(pairs))


def test_an_end_a_little_after_the_finish_is_the_finish() -> None:
    _, index = assign_surfaces([stretch(9, 10.05)], "tarmac", NODES_M)
    assert index.sum() == 100


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ([stretch(1, 2, "gravle")], "surface 'gravle' is unknown; did you mean 'gravel'"),
        ([stretch(1, 2, "Tarmac")], "did you mean 'tarmac'"),
        ([stretch(1, 2, "zzz")], "allowed are tarmac, rough tarmac"),
        ([stretch(1, 2, "schotter")], "'schotter' is unknown; allowed are tarmac, rough tarmac"),
        ([stretch(1, 3), stretch(2.5, 4)], "from_km 2.5 to_km 4 overlaps .* from_km 1 to_km 3"),
        ([stretch(3, 2)], "ends before it begins"),
        ([stretch(2, 2)], "ends before it begins"),
        ([stretch(float("nan"), 2)], "ends before it begins"),
        ([stretch(-1, 2)], "outside the course; allowed is 0 to 10.0 km"),
        ([stretch(9, 11)], "outside the course"),
        ([stretch(9, 10.15)], "outside the course"),
        ([stretch(0.4999999, 1), stretch(0, 0.5)], "from_km 0.4999999 to_km 1 overlaps"),
    ],
)
def test_an_impossible_table_is_refused(table: list[SurfaceStretch], said: str) -> None:
    with pytest.raises(PlanError, match=said):
        assign_surfaces(table, "tarmac", NODES_M)


def test_an_unknown_default_is_refused() -> None:
    with pytest.raises(PlanError, match="did you mean 'cobbles'"):
        assign_surfaces([], "cobble", NODES_M)
