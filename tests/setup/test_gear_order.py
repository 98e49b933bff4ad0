from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gear_order import OrderedGear, gear_order
from gearsim.setup.gears import Gears, gears_of
from gearsim.setup.steps import same_gears


def gears(rings: tuple[int, ...], sprockets: tuple[int, ...]) -> Gears:
    return gears_of(Drivetrain(chainrings=rings, sprockets=sprockets), Bike())


def shifts(order: tuple[OrderedGear, ...]) -> tuple[int, int]:
    front = sum(each.front_shifts for each in order)
    return front, sum(each.rear_clicks for each in order)


def test_one_ring_is_gone_through_click_by_click() -> None:
    order = gear_order(gears((40,), (11, 13, 16, 20)))
    assert [each.gear for each in order] == [0, 1, 2, 3]
    assert shifts(order) == (0, 3)
    assert not any(each.double_shift for each in order)


def test_rings_half_a_step_apart_need_a_front_shift_at_every_step() -> None:
    # 40 and 36 are 11.1 % apart, the sprockets 25 %: the old half-step gearing.
    found = gears((40, 36), (16, 20, 25))
    order = gear_order(found)
    assert [(found.chainring[o.gear], found.sprocket[o.gear]) for o in order] == [
        (40, 16),
        (36, 16),
        (40, 20),
        (36, 20),
        (40, 25),
        (36, 25),
    ]
    assert shifts(order) == (5, 2)
    assert [each.double_shift for each in order] == [False, True, False, True, False, False]


def test_of_twins_that_one_is_taken_which_saves_a_front_shift() -> None:
    # 48×24 is 32×16: whichever is taken, one front shift is enough.
    order = gear_order(gears((48, 32), (12, 16, 18, 24)))
    assert len(order) == 6
    assert shifts(order)[0] == 1


def test_steps_are_those_from_gear_to_gear_and_the_last_has_none() -> None:
    found = gears((44, 30), (11, 14, 18, 23, 30))
    order = gear_order(found)
    steps = [each.step_percent for each in order]
    ratio = [found.ratio[each.gear] for each in order]
    assert steps[-1] is None
    assert steps[:-1] == pytest.approx([100.0 * (a / b - 1.0) for a, b in pairwise(ratio)])


def brute_force(found: Gears, tolerance_percent: float) -> tuple[int, int]:
    """Fewest front shifts, then rear clicks, over every choice of one gear a place."""
    rears = len(set(found.sprocket.tolist()))

    def cost(way: tuple[int, ...]) -> tuple[int, int]:
        ring, rear = np.array(way) // rears, np.array(way) % rears
        return int(np.abs(np.diff(ring)).sum()), int(np.abs(np.diff(rear)).sum())

    return min(cost(way) for way in product(*same_gears(found, tolerance_percent)))


@given(
    st.lists(st.integers(24, 52), min_size=1, max_size=3, unique=True),
    st.lists(st.integers(10, 40), min_size=1, max_size=4, unique=True),
    st.floats(1.0, 20.0),
)
def test_no_way_through_the_distinct_gears_has_fewer_shifts(
    rings: list[int], sprockets: list[int], tolerance: float
) -> None:
    found = gears(tuple(rings), tuple(sprockets))
    assert shifts(gear_order(found, tolerance)) == brute_force(found, tolerance)
