from collections import Counter
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.studies.fleet.allocation import allocate

Case = tuple[np.ndarray, np.ndarray, np.ndarray, list[int]]


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Small fleets with few distinct walks, so that the second aim decides often."""
    guests, bikes = draw(st.integers(1, 5)), draw(st.integers(1, 4))

    def matrix(values: st.SearchStrategy[float]) -> np.ndarray:
        row = st.lists(values, min_size=bikes, max_size=bikes)
        return np.array(draw(st.lists(row, min_size=guests, max_size=guests)))

    walked = matrix(st.sampled_from([0.0, 0.0, 50.0, 120.0, 300.0]))
    mismatch = matrix(st.integers(0, 30).map(float))
    suits = matrix(st.sampled_from([1.0, 1.0, 0.0])) > 0.5
    counts = draw(st.lists(st.integers(0, 3), min_size=bikes, max_size=bikes))
    return walked, mismatch, suits, counts


def worth(case: Case, given: tuple[int | None, ...]) -> tuple[int, float, float] | None:
    """What an allocation comes to, the less the better; None for one that is not allowed."""
    walked, mismatch, suits, counts = case
    pairs = [(guest, bike) for guest, bike in enumerate(given) if bike is not None]
    if not all(suits[pair] for pair in pairs):
        return None
    if any(count > counts[bike] for bike, count in Counter(bike for _, bike in pairs).items()):
        return None
    worst_m = max((walked[pair] for pair in pairs), default=0.0)
    return -len(pairs), worst_m, sum(mismatch[pair] for pair in pairs)


def best_of_all(case: Case) -> tuple[int, float, float]:
    """The least of all allocations there are, tried one by one."""
    guests, bikes = case[0].shape
    tried = (worth(case, given) for given in product([None, *range(bikes)], repeat=guests))
    return min(each for each in tried if each is not None)


@given(case=cases())
def test_no_other_allocation_is_better(case: Case) -> None:
    found = worth(case, allocate(*case))
    assert found == best_of_all(case)


def test_worst_walk_comes_before_mismatch() -> None:
    walked = np.array([[0.0, 100.0], [0.0, 90.0]])
    mismatch = np.array([[1.0, 2.0], [50.0, 60.0]])
    suits = np.ones((2, 2), dtype=bool)
    assert allocate(walked, mismatch, suits, [1, 1]) == (0, 1)
    assert allocate(walked, mismatch * [[1, 1], [1, 0.1]], suits, [1, 1]) == (0, 1)
    # 90 m against 100 m decides, although the other way round the mismatch is the less.
    mismatch = np.array([[30.0, 2.0], [1.0, 60.0]])
    assert allocate(walked, mismatch, suits, [1, 1]) == (0, 1)


def test_as_many_as_can_be_have_a_bike_before_all_else() -> None:
    walked = np.array([[0.0, 400.0], [0.0, 0.0]])
    suits = np.array([[True, True], [True, False]])
    assert allocate(walked, np.zeros((2, 2)), suits, [1, 1]) == (1, 0)


@pytest.mark.parametrize("counts", [[0, 0], [3, 3]])
def test_nobody_gets_a_bike_that_is_not_there_or_does_not_suit(counts: list[int]) -> None:
    suits = np.zeros((3, 2), dtype=bool) if counts == [3, 3] else np.ones((3, 2), dtype=bool)
    assert allocate(np.zeros((3, 2)), np.zeros((3, 2)), suits, counts) == (None, None, None)


def test_large_fleet_is_allocated_at_once() -> None:
    random = np.random.default_rng(1)
    walked = random.choice([0.0, 100.0, 250.0], (150, 12))
    suits = random.random((150, 12)) < 0.5
    given = allocate(walked, random.random((150, 12)), suits, [15] * 12)
    assert all(count <= 15 for bike, count in Counter(given).items() if bike is not None)
    assert None not in given
