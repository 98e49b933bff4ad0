import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

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


def test_cost_of_walking_is_known_only_where_it_was_measured():
    cost = minetti_cost_j_per_kg_m(np.array([-0.46, -0.45, 0.45, 0.46]))
    assert np.isnan(cost).tolist() == [True, False, False, True]
