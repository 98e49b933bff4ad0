import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from gearsim.studies.search.trade_off import CRITERIA, Allowance, Criterion, front, least_of_each

few_values = hnp.arrays(
    np.float64,
    st.tuples(st.integers(1, 25), st.just(len(CRITERIA))),
    elements=st.integers(0, 4).map(float) | st.just(np.inf),
)


def beats(one: np.ndarray, other: np.ndarray) -> bool:
    return bool((one <= other).all() and (one < other).any())


@given(few_values)
def test_on_the_front_is_what_no_other_beats(values: np.ndarray) -> None:
    slow = [not any(beats(other, row) for other in values) for row in values]
    assert front(values).tolist() == slow


def test_known_front() -> None:
    values = [[1.0, 3.0], [2.0, 2.0], [3.0, 1.0], [2.0, 3.0], [3.0, 3.0], [2.0, 2.0]]
    assert front(values).tolist() == [True, True, True, False, False, True]


@given(few_values, st.integers(0, 4))
def test_what_has_the_least_of_something_is_on_the_front(values: np.ndarray, now: int) -> None:
    values[:, 0] = np.where(np.isinf(values[:, 0]), 4.0, values[:, 0])  # a mismatch is a number
    on_front = front(values)
    assert all(on_front[row] for row in least_of_each(values, float(now)))


def test_least_weight_is_told_at_each_allowance() -> None:
    # mismatch, kg, price, shifts an hour, parts to adjust; now has a mismatch of 10.
    values = np.array(
        [
            [4.0, 2.0, np.inf, 90.0, 2.0],
            [4.3, 1.9, np.inf, 95.0, 2.0],  # within half a point of the best
            [9.0, 1.7, np.inf, 99.0, 2.0],
            [14.0, 1.5, np.inf, 99.0, 2.0],  # less than 5 points above now
            [20.0, 1.0, np.inf, 99.0, 2.0],
        ]
    )
    found = least_of_each(values, 10.0)
    assert found == {
        1: [(Criterion.MASS, Allowance.AS_GOOD)],
        2: [(Criterion.MASS, Allowance.NO_WORSE)],
        3: [(Criterion.MASS, Allowance.LITTLE_WORSE)],
    }
