"""Numbers over paired days."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from gearsim.studies.days.results import (
    chances_to_beat,
    days_won,
    rank,
    spread_of,
    worst_regret,
)

FEW = arrays(
    float,
    st.tuples(st.integers(1, 12), st.integers(1, 5)),
    elements=st.integers(0, 4).map(float),
)


@given(FEW)
def test_two_chances_of_a_pair_add_up_to_one_with_ties_shared(mismatch: np.ndarray) -> None:
    chances = chances_to_beat(mismatch)
    assert np.allclose(chances + chances.T, 1.0)
    assert np.all(np.diag(chances) == 0.5)


@given(FEW)
def test_every_day_is_won_once(mismatch: np.ndarray) -> None:
    assert np.isclose(days_won(mismatch).sum(), 1.0)


@given(FEW)
def test_points_of_a_spread_are_in_order_and_within_the_days(mismatch: np.ndarray) -> None:
    values = mismatch[:, 0]
    spread = spread_of(values)
    assert values.min() <= spread.low <= spread.middle <= spread.high <= values.max()


@given(FEW)
def test_regret_is_never_negative_and_nil_for_who_wins_every_day(mismatch: np.ndarray) -> None:
    regret = worst_regret(mismatch)
    assert np.all(regret >= 0.0)
    assert np.all((regret == 0.0) == np.all(mismatch == mismatch.min(axis=1)[:, None], axis=0))


def test_average_and_worst_regret_may_choose_differently() -> None:
    # The first is best on three days of four and far behind on the last; the second never is.
    mismatch = np.array([[1.0, 3.0], [1.0, 3.0], [1.0, 3.0], [9.0, 4.0]])
    assert mismatch.mean(axis=0).tolist() == [3.0, 3.25]
    assert worst_regret(mismatch).tolist() == [5.0, 2.0]
    assert rank(mismatch, "average") == [0, 1]
    assert rank(mismatch, "worst regret") == [1, 0]
    assert chances_to_beat(mismatch).tolist() == [[0.5, 0.75], [0.25, 0.5]]


def test_equals_are_ranked_by_the_other_rule_then_as_given() -> None:
    mismatch = np.array([[0.0, 1.0, 1.0], [0.0, 1.0, 1.0], [4.0, 2.0, 2.0]])
    assert rank(mismatch, "average") == [1, 2, 0]
