"""The fewest kinds of drivetrain that serve everyone nearly as well as each one's best."""

from itertools import combinations
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from gearsim.studies.near_tie import near_tie
from gearsim.studies.squad.kinds import fewest_kinds


def kinds(*rows: list[float], most: int = 6) -> tuple[int, ...]:
    return fewest_kinds(np.array(rows), most)


def test_one_that_is_nearly_as_good_for_all_is_enough() -> None:
    assert kinds([5.0, 5.4, 9.0], [9.0, 5.4, 5.0]) == (1,)


def test_of_those_that_are_enough_the_one_with_the_least_mismatch_is_taken() -> None:
    assert kinds([5.0, 5.4, 5.2], [5.0, 5.0, 5.2]) == (0,)
    assert kinds([5.4, 5.0, 5.2], [5.4, 5.0, 5.2]) == (1,)


def test_those_whom_one_leaves_get_another_and_the_one_for_most_comes_first() -> None:
    assert kinds([1.0, 8.0], [9.0, 2.0], [9.0, 3.0]) == (1, 0)


def test_too_few_kinds_serve_as_many_as_can_be() -> None:
    rows = ([1.0, 9.0, 9.0], [9.0, 1.0, 9.0], [9.0, 1.0, 8.0], [9.0, 9.0, 1.0])
    assert kinds(*rows) == (1, 0, 2)
    assert kinds(*rows, most=1) == (1,)
    # Whom they leave must not be worse off than need be: 8 is less than 9.
    assert kinds(*rows, most=2) == (1, 2)


def test_what_is_not_for_an_athlete_serves_them_in_no_case() -> None:
    assert kinds([np.inf, 5.0], [1.0, 1.0]) == (1,)
    assert sorted(kinds([np.inf, 5.0], [1.0, np.inf])) == [0, 1]


def test_one_athlete_has_one_best() -> None:
    assert kinds([3.0, 2.0, 2.0]) == (1,)


tables = arrays(
    np.float64,
    st.tuples(st.integers(1, 6), st.integers(1, 6)),
    elements=st.integers(0, 12).map(lambda n: 0.7 * n),
)


@given(tables, st.integers(1, 6))
@settings(deadline=None, max_examples=60)
def test_no_choice_that_could_be_tried_by_hand_is_better(
    mismatch: np.typing.NDArray[np.float64], most: int
) -> None:
    found = fewest_kinds(mismatch, most)
    served, lost = merit(mismatch, found)
    for number in range(1, min(most, mismatch.shape[1]) + 1):
        for other in combinations(range(mismatch.shape[1]), number):
            others_served, others_lost = merit(mismatch, other)
            assert others_served <= served
            if others_served == served:
                assert number > len(found) or others_lost >= lost - 1e-9


def merit(mismatch: np.typing.NDArray[np.float64], places: tuple[int, ...]) -> tuple[int, float]:
    """How many are served, and the sum of mismatch above each one's best."""
    best, least = mismatch.min(axis=1), mismatch[:, list(places)].min(axis=1)
    served = sum(near_tie(one, other) for one, other in zip(best, least, strict=True))
    return served, float((least - best).sum())


NO_CHECK = [[0, 0], [0, 0]]


def test_of_kinds_that_serve_all_the_one_with_the_least_to_check_is_taken() -> None:
    rows = np.array([[5.0, 5.4], [5.0, 5.4]])
    assert fewest_kinds(rows) == (0,)
    assert fewest_kinds(rows, trouble=whole([[1, 0], [1, 0]], [[0, 9], [0, 9]])) == (1,)


def test_with_as_much_to_check_the_one_with_the_least_to_buy_is_taken() -> None:
    rows = np.array([[5.0, 5.4], [5.0, 5.4]])
    assert fewest_kinds(rows, trouble=whole(NO_CHECK, [[2, 0], [1, 2]])) == (1,)
    assert fewest_kinds(rows, trouble=whole(NO_CHECK, [[1, 1], [1, 1]])) == (0,)


def test_what_is_easy_but_serves_too_few_is_not_taken() -> None:
    rows = np.array([[5.0, 5.4], [5.0, 6.4]])
    assert fewest_kinds(rows, trouble=whole([[3, 0], [3, 0]], NO_CHECK)) == (0,)


def test_whom_too_few_kinds_leave_count_before_what_is_to_check() -> None:
    rows = np.array([[1.0, 9.0, 9.0], [9.0, 1.0, 5.0], [9.0, 9.0, 1.0], [1.0, 9.0, 9.0]])
    checks = [[0, 0, 0], [0, 0, 0], [0, 0, 2], [0, 0, 0]]
    buys = np.zeros((4, 3), int).tolist()
    assert fewest_kinds(rows, 2, whole(checks, buys)) == (0, 2)
    rows[1, 2] = 9.0  # as badly off either way
    assert fewest_kinds(rows, 2, whole(checks, buys)) == (0, 1)


def test_what_those_who_are_left_would_have_to_check_does_not_count() -> None:
    rows = np.array([[1.0, 9.04], [9.0, 1.0]])  # as badly off either way, to a tenth
    assert fewest_kinds(rows, 1, whole([[0, 0], [5, 0]])) == (0,)
    assert fewest_kinds(rows, 1, whole([[5, 0], [0, 0]])) == (1,)


def whole(*tables: list[list[int]]) -> list[np.typing.NDArray[np.int_]]:
    return [np.array(each) for each in tables]


@st.composite
def troubled(draw: st.DrawFn) -> tuple[np.typing.NDArray[np.float64], list[Any]]:
    """Mismatch, inf where a drivetrain is not for someone, and what is to check and to buy."""
    shape = draw(st.tuples(st.integers(1, 6), st.integers(1, 6)))
    value = st.integers(0, 40).map(lambda n: 0.2 * n if n < 36 else np.inf)
    mismatch = draw(arrays(np.float64, shape, elements=value))
    mismatch[np.isinf(mismatch).all(axis=1), 0] = 3.0
    amounts = arrays(np.int_, shape, elements=st.integers(0, 3))
    return mismatch, [draw(amounts), draw(amounts)]


@given(troubled(), st.integers(1, 6))
@settings(deadline=None, max_examples=150)
def test_no_choice_tried_by_hand_has_less_to_check_and_buy(
    table: tuple[np.typing.NDArray[np.float64], list[Any]], most: int
) -> None:
    mismatch, trouble = table
    columns = range(mismatch.shape[1])
    choices = [each for n in columns for each in combinations(columns, n + 1) if n < most]
    everyone_served = -len(mismatch)
    worths = [worth(mismatch, trouble, each) for each in choices]
    found = fewest_kinds(mismatch, most, trouble)
    mine = worth(mismatch, trouble, found)
    if min(worths)[0] == everyone_served:
        fewest = min(len(c) for c, w in zip(choices, worths, strict=True) if w[0] == min(worths)[0])
        assert len(found) == fewest
        worths = [w for c, w in zip(choices, worths, strict=True) if len(c) == fewest]
    assert mine[:-1] == min(worth[:-1] for worth in worths)
    assert mine[-1] == pytest.approx(min(w[-1] for w in worths if w[:-1] == mine[:-1]), abs=1e-6)


def worth(
    mismatch: np.typing.NDArray[np.float64], trouble: list[Any], places: tuple[int, ...]
) -> tuple[float, ...]:
    """What counts in turn: served, without any, how badly off, to check, to buy, mismatch."""
    total = np.zeros(6)
    for row, offered in enumerate(mismatch):
        each_way = [(0.0, 1.0, 0.0, 0.0, 0.0, 0.0)]
        for place in places:
            above, serves = offered[place] - offered.min(), near_tie(offered.min(), offered[place])
            checks, buys = (float(each[row, place]) for each in trouble)
            if serves:
                each_way.append((-1.0, 0.0, 0.0, checks, buys, above))
            elif np.isfinite(above):
                each_way.append((0.0, 0.0, float(round(10 * above)), 0.0, 0.0, above))
        total += min(each_way)
    return tuple(total)


def test_hundreds_of_drivetrains_for_a_hundred_athletes_are_no_work() -> None:
    seed = np.random.default_rng(3)
    like, offered = seed.uniform(0.0, 20.0, (100, 1)), seed.uniform(0.0, 20.0, (1, 500))
    mismatch = 3.0 + np.abs(like - offered) + seed.uniform(0.0, 0.2, (100, 500))
    found = fewest_kinds(mismatch, 20)
    assert merit(mismatch, found)[0] == 100
    assert len(fewest_kinds(mismatch, 3)) == 3
    trouble = [seed.integers(0, 4, (100, 500)), seed.integers(0, 5, (100, 500))]
    easier = fewest_kinds(mismatch, 20, trouble)
    assert (merit(mismatch, easier)[0], len(easier)) == (100, len(found))


@pytest.mark.parametrize("most", [1, 3])
def test_the_same_table_gives_the_same_kinds(most: int) -> None:
    mismatch = np.random.default_rng(5).uniform(0.0, 9.0, (30, 40))
    assert fewest_kinds(mismatch, most) == fewest_kinds(mismatch.copy(), most)
