import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.course.course import course_from_grades
from gearsim.ride.score import score
from gearsim.ride.simulate import simulate
from gearsim.ride.states import State
from gearsim.setup.athlete import Athlete, at_power
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider
from gearsim.studies.break_even import BreakEven, break_even, copes, coping_power

WALL = course_from_grades([0.0] * 100 + [0.12] * 60 + [0.0] * 100)
GEARS = Drivetrain(chainrings=(40,), sprockets=(11, 13, 16, 19, 23, 28, 34))
ATHLETE = Athlete(rider=Rider(power_w=180.0), bike=Bike())


@given(st.floats(40.0, 1000.0), st.floats(0.5, 2.0))
def test_power_where_a_verdict_turns_is_found_to_1_percent(own_w: float, times: float) -> None:
    turns_w = own_w * times
    found = break_even(lambda power_w: power_w >= turns_w, own_w)
    assert found.holds_now == (own_w >= turns_w)
    if found.power_w is None:
        assert turns_w <= 0.5 * own_w
    else:
        assert turns_w <= found.power_w <= turns_w + 0.01 * own_w


def test_nothing_is_claimed_beyond_half_and_twice_the_power() -> None:
    never = break_even(lambda _: False, 200.0)
    always = break_even(lambda _: True, 200.0)
    searched = (100.0, 400.0)
    assert never == BreakEven(own_w=200.0, holds_now=False, searched_w=searched, power_w=None)
    assert always == BreakEven(own_w=200.0, holds_now=True, searched_w=searched, power_w=None)


def test_few_rides_are_needed() -> None:
    asked: list[float] = []

    def holds(power_w: float) -> bool:
        asked.append(power_w)
        return power_w > 333.0

    break_even(holds, 200.0)
    assert len(asked) <= 9
    asked.clear()
    break_even(holds, 200.0, holds_now=False)
    assert 200.0 not in asked


@pytest.mark.parametrize("most_below_s", [0.0, 60.0])
def test_athlete_copes_from_the_power_found_and_not_2_percent_below(most_below_s: float) -> None:
    found = coping_power(WALL, ATHLETE, GEARS, Conditions(), most_below_s=most_below_s)
    assert found.power_w is not None

    def rides(power_w: float) -> bool:
        rider = at_power(ATHLETE.rider, power_w)
        counted = score(simulate(WALL, rider, ATHLETE.bike, GEARS, Conditions()))
        assert copes(counted, most_below_s) == (
            counted.seconds[State.WALKING] == 0.0
            and counted.seconds[State.BELOW_LOWEST_GEAR] <= most_below_s
        )
        return copes(counted, most_below_s)

    assert rides(found.power_w)
    assert not rides(0.98 * found.power_w)


def test_lower_gears_need_less_power() -> None:
    lower = Drivetrain(chainrings=(30,), sprockets=GEARS.sprockets)
    needed = [
        coping_power(WALL, ATHLETE, gears, Conditions(), most_below_s=0.0).power_w
        for gears in (lower, GEARS)
    ]
    assert needed[0] is not None
    assert needed[1] is not None
    assert needed[0] < needed[1]


def test_known_score_spares_a_ride_and_changes_nothing() -> None:
    now = score(simulate(WALL, ATHLETE.rider, ATHLETE.bike, GEARS, Conditions()))
    known = coping_power(WALL, ATHLETE, GEARS, Conditions(), most_below_s=60.0, now=now)
    assert known == coping_power(WALL, ATHLETE, GEARS, Conditions(), most_below_s=60.0)
