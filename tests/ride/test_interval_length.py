"""The length of the interval is ours to choose, so the answer must not hang on it."""

from collections.abc import Callable

import numpy as np
import pytest
from made_rides import (
    DOUBLE,
    HILLS,
    HUB,
    ONE_GEAR,
    SINGLE,
    course_of_height,
    ridden,
    seconds_in,
    waves,
)
from numpy.typing import NDArray

from gearsim.ride.ride import Ride
from gearsim.ride.states import State
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain

ROLLING = waves((4000.0, 0.03, 0.3), (1100.0, 0.05, 1.1), (310.0, 0.03, 2.0))
WALLS = waves((3000.0, 0.06, 0.3), (700.0, 0.11, 1.1))
BREEZE = Conditions(wind_mps=5.0, wind_from_rad=1.0)

Height = Callable[[NDArray[np.float64]], NDArray[np.float64]]


def both(height: Height, drivetrain: Drivetrain, day: Conditions) -> tuple[Ride, Ride]:
    """The same road in intervals of 10 m and of 5 m."""
    coarse, fine = (
        ridden(course_of_height(height, 30_000.0, step_m, surface="gravel"), drivetrain, day=day)
        for step_m in (10.0, 5.0)
    )
    return coarse, fine


def moved(coarse: Ride, fine: Ride) -> tuple[float, float]:
    """Change of finish time, and largest change of the time in a state, as shares of the ride."""
    states_s = [abs(seconds_in(coarse, state) - seconds_in(fine, state)) for state in State]
    finish_s = abs(coarse.finish_s - fine.finish_s)
    return finish_s / fine.finish_s, max(states_s) / fine.finish_s


@pytest.mark.parametrize("day", [Conditions(), BREEZE], ids=["still", "breeze"])
@pytest.mark.parametrize(
    ("height", "drivetrain"),
    [
        (HILLS, SINGLE),
        (HILLS, DOUBLE),
        (HILLS, HUB),
        (HILLS, ONE_GEAR),
        (ROLLING, SINGLE),
        (ROLLING, DOUBLE),
        (ROLLING, HUB),
    ],
)
def test_halving_the_interval_changes_little(
    height: Height, drivetrain: Drivetrain, day: Conditions
) -> None:
    finish, states = moved(*both(height, drivetrain, day))
    assert finish < 1e-3
    assert states < 1e-2


@pytest.mark.parametrize("drivetrain", [SINGLE, DOUBLE, HUB, ONE_GEAR])
def test_where_riders_get_off_on_every_hill_the_interval_matters_a_little_more(
    drivetrain: Drivetrain,
) -> None:
    # Where riders get on again is told by whole intervals, and which gear by a hair; there are 43
    # hills with up to 17 %.
    coarse, fine = both(WALLS, drivetrain, Conditions())
    finish, states = moved(coarse, fine)
    assert seconds_in(fine, State.BELOW_LOWEST_GEAR, State.WALKING, State.UNDER_BAND) > 2000.0
    assert finish < 1.5e-3
    assert states < 1.5e-2
