from hypothesis import given
from hypothesis import strategies as st

from gearsim.setup.athlete import at_power
from gearsim.setup.rider import Rider

RIDER = Rider(power_w=200.0, critical_power_w=260.0, largest_power_w=480.0)


def test_stronger_rider_is_stronger_throughout() -> None:
    stronger = at_power(RIDER, 300.0)
    assert (stronger.power_w, stronger.critical_w, stronger.largest_w) == (300.0, 390.0, 720.0)
    assert stronger.reserve_j == RIDER.reserve_j


def test_same_power_is_the_same_rider() -> None:
    assert at_power(RIDER, 200.0) == RIDER


def test_powers_worked_out_from_power_stay_so() -> None:
    assert at_power(Rider(power_w=200.0), 100.0) == Rider(power_w=100.0)


@given(st.floats(0.0, 10_000.0), st.floats(20.0, 2000.0), st.floats(20.0, 2000.0))
def test_every_power_gives_a_rider(power_w: float, own_w: float, critical_w: float) -> None:
    rider = Rider(power_w=own_w, critical_power_w=critical_w, largest_power_w=3000.0)
    assert 20.0 <= at_power(rider, power_w).power_w <= 2000.0
