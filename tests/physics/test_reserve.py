import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numba import njit

from gearsim.errors import PlanError
from gearsim.physics.reserve import critical_power_from_trials, limit_s, reserve_after_j

CRITICAL_W, FULL_J = 250.0, 20_000.0

powers = st.floats(0.0, 900.0)
durations = st.floats(0.0, 900.0)
reserves = st.floats(0.0, FULL_J)


def test_limits_are_those_of_the_hyperbola():
    # P = W′/t + CP, computed, to the printed digits.
    limits = limit_s(np.array([275.0, 300.0, 350.0, 400.0, 500.0]), CRITICAL_W, FULL_J)
    assert limits == pytest.approx([800.0, 400.0, 200.0, 133.33, 80.0], abs=5e-3)


@pytest.mark.parametrize("reserve_j", [0.0, FULL_J])
def test_critical_power_and_less_has_no_limit(reserve_j):
    assert limit_s(CRITICAL_W, CRITICAL_W, reserve_j) == math.inf
    assert limit_s(100.0, CRITICAL_W, reserve_j) == math.inf


def test_two_trials_give_critical_power_and_reserve():
    # Computed: the line through 350 W for 180 s and 285 W for 720 s.
    critical, reserve = critical_power_from_trials((350.0, 285.0), (180.0, 720.0))
    assert critical == pytest.approx(263.333, abs=5e-4)
    assert reserve == pytest.approx(15_600.0, abs=0.5)


def test_many_trials_of_one_rider_give_that_rider_back():
    seconds = [150.0, 300.0, 600.0, 1100.0]
    watts = [CRITICAL_W + FULL_J / t for t in seconds]
    assert critical_power_from_trials(watts, seconds) == pytest.approx((CRITICAL_W, FULL_J))


@pytest.mark.parametrize(
    ("watts", "seconds", "words"),
    [
        ((350.0,), (180.0,), "two or more"),
        ((350.0, 300.0), (180.0, 180.0), "two or more"),
        ((350.0, 300.0), (180.0,), "two or more"),
        ((350.0, 285.0), (0.0, 720.0), "durations above 0"),
        ((350.0, math.nan), (180.0, 720.0), "a power above 0"),
        ((350.0, 285.0), (180.0, math.inf), "durations above 0"),
        ((285.0, 350.0), (180.0, 720.0), "both above 0"),
        ((900.0, 100.0), (180.0, 720.0), "both above 0"),
    ],
)
def test_trials_that_say_nothing_are_refused(watts, seconds, words):
    with pytest.raises(PlanError, match=words):
        critical_power_from_trials(watts, seconds)


def test_a_minute_above_critical_power_drains_in_proportion():
    # Computed from P = W′/t + CP.
    assert reserve_after_j(FULL_J, FULL_J, CRITICAL_W, 350.0, 60.0) == 14_000.0


@pytest.mark.parametrize(("seconds", "joules"), [(30.0, 15_208.90), (120.0, 17_560.58)])
def test_recovery_is_that_of_the_differential_form(seconds, joules):
    # Skiba et al. 2015, Eur J Appl Physiol 115:703-713; computed, to the printed digits.
    left = reserve_after_j(14_000.0, FULL_J, CRITICAL_W, 100.0, seconds)
    assert left == pytest.approx(joules, abs=5e-3)


def test_recovery_begins_right_below_critical_power():
    # 20 000 - 6000·exp(-0.03) by hand: 5 W below for 120 s.
    left = reserve_after_j(14_000.0, FULL_J, CRITICAL_W, 245.0, 120.0)
    assert left == pytest.approx(14_177.33, abs=5e-3)


@given(power_w=st.floats(251.0, 900.0), now_j=reserves)
def test_the_reserve_is_empty_at_the_limit(power_w, now_j):
    seconds = limit_s(power_w, CRITICAL_W, now_j)
    left = reserve_after_j(now_j, FULL_J, CRITICAL_W, power_w, seconds)
    assert left == pytest.approx(0.0, abs=1e-6)


@given(now_j=reserves, power_w=powers, first_s=durations, then_s=durations)
def test_two_spells_at_one_power_are_one_long_spell(now_j, power_w, first_s, then_s):
    between = reserve_after_j(now_j, FULL_J, CRITICAL_W, power_w, first_s)
    twice = reserve_after_j(between, FULL_J, CRITICAL_W, power_w, then_s)
    once = reserve_after_j(now_j, FULL_J, CRITICAL_W, power_w, first_s + then_s)
    assert twice == pytest.approx(once, abs=1e-6)


@given(now_j=reserves, power_w=powers, seconds=durations)
def test_the_reserve_never_grows_past_full(now_j, power_w, seconds):
    assert reserve_after_j(now_j, FULL_J, CRITICAL_W, power_w, seconds) <= FULL_J


@given(now_j=reserves, power_w=powers, more_w=powers, seconds=durations)
def test_more_power_never_leaves_more_reserve(now_j, power_w, more_w, seconds):
    easy = reserve_after_j(now_j, FULL_J, CRITICAL_W, power_w, seconds)
    hard = reserve_after_j(now_j, FULL_J, CRITICAL_W, power_w + more_w, seconds)
    assert hard <= easy + 1e-6


def test_a_rider_without_reserve_recovers_nothing():
    assert reserve_after_j(0.0, 0.0, CRITICAL_W, 100.0, 60.0) == 0.0


@pytest.mark.parametrize("power_w", [100.0, 250.0, 350.0])
@pytest.mark.parametrize("full_j", [0.0, FULL_J])
def test_compiled_reserve_is_the_interpreted_one(power_w, full_j):
    arguments = (0.7 * full_j, full_j, CRITICAL_W, power_w, 37.0)
    assert njit(reserve_after_j)(*arguments) == reserve_after_j(*arguments)
