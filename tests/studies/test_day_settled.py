"""When to stop riding days."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import ndtri

from gearsim.studies.days.draws import draw_scores
from gearsim.studies.days.settled import Apart, Settled, looks_at, settled_by

MOST = 256


def days_until_settled(mismatch: NDArray[np.float64], wrong_chance: float = 0.05) -> Settled:
    """Look after powers of two, as riding does."""
    for look in looks_at(len(mismatch)):
        found = settled_by(mismatch[:look], most_days=len(mismatch), wrong_chance=wrong_chance)
        if found.is_settled:
            break
    return found


def test_looks_are_at_powers_of_two() -> None:
    assert looks_at(256) == (32, 64, 128, 256)
    assert looks_at(32) == (32,)
    assert looks_at(16) == (16,)


def test_equals_are_hardly_ever_told_to_be_in_an_order() -> None:
    # Three candidates that are equal on average and far apart on single days: any order told at
    # any of four looks is wrong, and may be told in one of twenty studies at most.
    rng = np.random.default_rng(3)
    wrong = 0
    for _ in range(300):
        found = days_until_settled(rng.normal(10.0, 10.0, size=(MOST, 3)))
        wrong += any(gap.apart is Apart.ORDERED for gap in found.gaps)
    assert wrong <= 0.05 * 300


def wrongly_ordered(rarity: float, inputs: int) -> float:
    """How often two are ordered that are equal on average, drawn as days are.

    One is always the same; the other is better but for a kind of day of that rarity, when so many
    inputs are low together.
    """
    below = ndtri(rarity ** (1.0 / inputs))
    wrong = 0
    for seed in range(200):
        rare = (draw_scores(seed, MOST)[:, :inputs] < below).all(axis=1)
        other = 10.0 * rare / rarity
        found = days_until_settled(np.stack([np.full(MOST, 10.0), other], axis=1))
        wrong += found.gaps[0].apart is Apart.ORDERED
    return wrong / 200


@pytest.mark.parametrize("rarity", [0.1, 0.2, 0.4])
@pytest.mark.parametrize("inputs", [1, 2, 3])
def test_bad_days_of_one_in_ten_are_seen_before_an_order_is_told(
    rarity: float, inputs: int
) -> None:
    assert wrongly_ordered(rarity, inputs) <= 0.05


def test_what_hangs_on_one_day_in_fifty_is_not_seen_in_time() -> None:
    # The limit of the rule, which its users are told: no rule can weigh what was never drawn.
    assert wrongly_ordered(0.02, 2) > 0.05


def test_a_wrong_order_of_unequal_ones_is_hardly_ever_told() -> None:
    rng = np.random.default_rng(4)
    wrong = 0
    for _ in range(300):
        days = rng.normal([20.0, 20.5], 4.0, size=(MOST, 2))
        found = days_until_settled(days)
        first_wins = days[: found.days].mean(axis=0).argmin() == 0
        wrong += found.gaps[0].apart is Apart.ORDERED and not first_wins
    assert wrong <= 0.05 * 300


def test_clear_differences_are_settled_at_the_first_look() -> None:
    rng = np.random.default_rng(5)
    shared = rng.normal(0.0, 5.0, size=(MOST, 1))
    found = days_until_settled(20.0 + shared + rng.normal(size=(MOST, 3)) + [0.0, 3.0, 6.0])
    assert found.days == 32
    assert found.stopped_early
    assert [gap.apart for gap in found.gaps] == [Apart.ORDERED, Apart.ORDERED]


def test_near_ties_are_settled_as_near_ties() -> None:
    rng = np.random.default_rng(6)
    found = days_until_settled(4.0 + rng.normal(0.0, 0.05, size=(MOST, 2)))
    assert found.is_settled
    assert found.gaps[0].apart is Apart.NEAR_TIE


def test_identical_candidates_are_a_near_tie() -> None:
    found = days_until_settled(np.repeat(np.linspace(3.0, 9.0, 64)[:, None], 2, axis=1))
    assert (found.days, found.gaps[0].apart) == (32, Apart.NEAR_TIE)


def test_what_stays_open_is_told_as_open() -> None:
    rng = np.random.default_rng(7)
    found = days_until_settled(50.0 + rng.normal(0.0, 30.0, size=(64, 2)))
    assert not found.is_settled
    assert found.days == 64
    assert not found.stopped_early
    assert found.gaps[0].low < 0.0 < found.gaps[0].high


def test_one_candidate_alone_has_nothing_open() -> None:
    found = settled_by(np.ones((32, 1)), most_days=64, wrong_chance=0.05)
    assert found.gaps == ()
    assert found.is_settled


def test_a_smaller_chance_of_being_wrong_takes_wider_intervals() -> None:
    days = np.random.default_rng(8).normal(size=(64, 2))
    wide, narrow = (
        settled_by(days, most_days=64, wrong_chance=chance).gaps[0] for chance in (0.01, 0.2)
    )
    assert wide.low < narrow.low < narrow.high < wide.high
