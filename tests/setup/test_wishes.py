import math

import pytest

from gearsim.errors import PlanError
from gearsim.setup.wishes import Wishes


def test_nothing_is_wished_unless_told() -> None:
    assert Wishes() == Wishes(chainrings=None, parts=())


@pytest.mark.parametrize(
    ("wish", "told"),
    [
        ({"chainrings": 0}, "search.chainrings is 0; allowed is 1 to 3"),
        ({"chainrings": 4}, "search.chainrings is 4; allowed is 1 to 3"),
        ({"smallest_tyre_mm": 5.0}, "search.smallest_tyre_mm is 5; allowed is 10 to 130"),
        ({"largest_mass_kg": 0.0}, "search.largest_mass_kg is 0; allowed is 0.1 to 30"),
        ({"largest_price": -1.0}, "search.largest_price is -1; allowed is 0 to 1000000"),
        ({"largest_price": math.nan}, "search.largest_price is nan"),
    ],
)
def test_impossible_wish_is_refused(wish: dict, told: str) -> None:
    with pytest.raises(PlanError) as caught:
        Wishes(**wish)
    assert str(caught.value).startswith(told)


@pytest.mark.parametrize("kept", ["keep_cassette", "keep_chainset", "keep_rear_mech"])
def test_internal_gears_and_a_part_that_they_replace_rule_each_other_out(kept: str) -> None:
    with pytest.raises(PlanError, match=f"internal_gears and {kept} are both true"):
        Wishes(internal_gears=True, **{kept: True})


def test_internal_gears_have_one_chainring() -> None:
    assert Wishes(internal_gears=True, chainrings=1).internal_gears
    with pytest.raises(PlanError, match="chainrings = 2"):
        Wishes(internal_gears=True, chainrings=2)
