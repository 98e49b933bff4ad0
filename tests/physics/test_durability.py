"""What can be held for how long, and what work leaves of it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.physics.durability import PER_WORK_J, share_left, sustainable_power_w
from gearsim.physics.reserve import limit_s
from gearsim.setup.effort import Effort
from gearsim.setup.rider import CRITICAL_POWER_PER_POWER
from gearsim.units import SECONDS_PER_HOUR as HOUR_S

CRITICAL_W, FULL_J = 250.0, 20_000.0
RULE = Effort()
PUBLISHED_LOSS, PUBLISHED_SPREAD = 0.101, 0.065
"""Of all-out power of 20 minutes by amateurs after 1000 kJ: Barsumyan et al. 2025."""

durations = st.floats(120.0, 2e5)


@pytest.mark.parametrize("power_w", [275.0, 300.0, 350.0])
def test_up_to_an_hour_it_is_the_critical_power_model(power_w: float) -> None:
    seconds = limit_s(power_w, CRITICAL_W, FULL_J)
    assert sustainable_power_w(seconds, CRITICAL_W, FULL_J, 0.15) == pytest.approx(power_w)


def test_without_an_exponent_critical_power_lasts_for_ever() -> None:
    day = sustainable_power_w(86_400.0, CRITICAL_W, FULL_J, 0.0)
    assert day == pytest.approx(CRITICAL_W + FULL_J / 86_400.0)


def test_beyond_an_hour_critical_power_falls_by_the_power_law() -> None:
    # By hand: 2^-0.15 = 0.9013, 5^-0.15 = 0.7855, 10^-0.15 = 0.7079.
    held = sustainable_power_w(HOUR_S * np.array([1.0, 2.0, 5.0, 10.0]), CRITICAL_W, 0.0, 0.15)
    assert held / CRITICAL_W == pytest.approx([1.0, 0.9013, 0.7855, 0.7079], abs=5e-5)


@given(seconds=durations, longer=st.floats(1.001, 3.0), exponent=st.floats(0.0, 0.5))
def test_longer_never_allows_more(seconds: float, longer: float, exponent: float) -> None:
    short = sustainable_power_w(seconds, CRITICAL_W, FULL_J, exponent)
    long = sustainable_power_w(longer * seconds, CRITICAL_W, FULL_J, exponent)
    assert long < short


@given(seconds=durations)
def test_holding_it_for_longer_is_always_more_work(seconds: float) -> None:
    # Else a slower ride would be the harder one, and the effort of a ride not one number.
    times = np.array([seconds, 1.01 * seconds])
    work = times * sustainable_power_w(times, CRITICAL_W, FULL_J, 0.5)
    assert work[1] > work[0]


@pytest.mark.parametrize("hours", [5.0, 6.0, 8.0])
def test_a_long_day_is_ridden_at_three_quarters_of_critical_power(hours: float) -> None:
    # Which is what a rider without a critical power of their own is assumed to do.
    held = sustainable_power_w(HOUR_S * hours, CRITICAL_W, FULL_J, RULE.duration_exponent)
    assert held / CRITICAL_W == pytest.approx(1.0 / CRITICAL_POWER_PER_POWER, abs=0.04)


def test_the_published_loss_is_the_loss_of_the_first_1000_kj() -> None:
    assert share_left(1e6, PUBLISHED_LOSS) == pytest.approx(1.0 - PUBLISHED_LOSS, rel=1e-12)


def test_the_default_loss_is_inside_the_published_spread() -> None:
    assert abs(RULE.work_loss - PUBLISHED_LOSS) <= PUBLISHED_SPREAD


@pytest.mark.parametrize("hours", [3.0, 5.0, 8.0])
def test_a_day_ends_at_what_the_published_loss_leaves(hours: float) -> None:
    # The loss with each 1000 kJ that brings critical power down to the last power held.
    critical_w, seconds = 235.0, HOUR_S * hours
    mean_w = sustainable_power_w(seconds, critical_w, 16_000.0, RULE.duration_exponent)
    along_j = np.linspace(0.0, mean_w * seconds, 1001)
    left = share_left(along_j, RULE.work_loss)
    last_w = mean_w * left[-1] / left.mean()
    loss = 1.0 - (last_w / critical_w) ** (PER_WORK_J / along_j[-1])
    assert abs(loss - PUBLISHED_LOSS) <= PUBLISHED_SPREAD
    assert 0.08 <= loss <= 0.10  # as `Effort` says


@given(first_j=st.floats(0.0, 2e7), then_j=st.floats(0.0, 2e7), loss=st.floats(0.0, 0.3))
def test_work_takes_the_same_share_whenever_it_is_done(
    first_j: float, then_j: float, loss: float
) -> None:
    together = share_left(first_j + then_j, loss)
    assert share_left(first_j, loss) * share_left(then_j, loss) == pytest.approx(together)
    assert 0.0 < together <= 1.0


def test_fresh_legs_have_all_of_it() -> None:
    assert share_left(0.0, 0.101) == 1.0
