import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.physics.forces import road_power_w
from gearsim.physics.walking import minetti_cost_j_per_kg_m, tobler_speed_mps


@pytest.mark.parametrize(("grade", "kmh"), [(0.0, 5.04), (0.10, 3.55), (0.20, 2.50), (0.30, 1.76)])
def test_walking_speed_is_that_of_tobler(grade, kmh):
    # Tobler 1993, to the printed digits.
    assert tobler_speed_mps(grade) * 3.6 == pytest.approx(kmh, abs=5e-3)


@given(grade=st.floats(-0.6, 0.6))
def test_walking_is_fastest_at_five_percent_downhill(grade):
    assert tobler_speed_mps(grade) <= tobler_speed_mps(-0.05) == pytest.approx(6.0 / 3.6)


@pytest.mark.parametrize(
    ("grade", "cost"), [(0.0, 2.5), (0.10, 4.8991), (0.20, 7.8774), (0.30, 11.1835)]
)
def test_cost_of_walking_is_that_of_minetti(grade, cost):
    # Minetti et al. 2002, J Appl Physiol 93:1039-1046, to the digits computed from its polynomial.
    assert minetti_cost_j_per_kg_m(grade) == pytest.approx(cost, abs=5e-5)


@pytest.mark.parametrize("muscle_efficiency", [0.20, 0.25])
def test_above_a_steep_enough_slope_walking_costs_less_than_riding(muscle_efficiency):
    # Ardigò LP, Saibene F, Minetti AE (2003), Eur J Appl Physiol 90:365-371, published: above a
    # steep enough slope walking beats riding.  Efficiency of legs on pedals: from memory.  Rider 75
    # kg, bike 10 kg, at walking pace; the walker has no bike, as where the cost was measured.
    grade = np.linspace(0.0, 0.40, 41)
    road = {"mass_kg": 85.0, "rolling_coefficient": 0.010, "air_factor_kgpm": 0.5 * 1.225 * 0.36}
    pedalled_w = road_power_w(1.2, grade, efficiency=0.97, **road).pedal_w
    riding = pedalled_w / (1.2 * muscle_efficiency * 75.0)
    walk = minetti_cost_j_per_kg_m(grade) < riding
    assert not walk[grade <= 0.03].any()
    assert walk[grade >= 0.12].all()
    assert np.count_nonzero(np.diff(walk)) == 1


def test_cost_of_walking_is_known_only_where_it_was_measured():
    cost = minetti_cost_j_per_kg_m(np.array([-0.46, -0.45, 0.45, 0.46]))
    assert np.isnan(cost).tolist() == [True, False, False, True]
