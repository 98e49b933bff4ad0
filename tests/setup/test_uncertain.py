"""What a plan may be unsure of."""

import pytest

from gearsim.errors import PlanError
from gearsim.setup.conditions import Conditions
from gearsim.setup.uncertain import LONG_WALK_M, Uncertain


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"power_factor": (1.1, 0.9)}, r"days\.power_factor is 1\.1, 0\.9; allowed is the lower"),
        ({"drag_area_factor": (0.1, 1.0)}, r"days\.drag_area_factor is 0\.1, 1; .* 0\.3 to 3"),
        ({"load_change_kg": (0.0, 51.0)}, r"days\.load_change_kg is 0, 51; .* -50 to 50"),
        ({"load_change_kg": (float("nan"), 1.0)}, r"days\.load_change_kg is nan, 1"),
        ({"wet_chance": 1.01}, r"days\.wet_chance is 1\.01; allowed is 0 to 1"),
        ({"wind_spread_mps": -1.0}, r"days\.wind_spread_mps is -1; allowed is 0 to 20"),
        ({"height_error_over_m": 1.0}, r"days\.height_error_over_m is 1; allowed is 20 to 5000"),
        ({"wrong_stop_chance": 0.0}, r"days\.wrong_stop_chance is 0; allowed is 0\.001 to 0\.5"),
        ({"seed": -1}, r"days\.seed is -1; allowed is 0 to 4294967295"),
        ({"choose_by": "best"}, "choose_by is 'best'; allowed are 'average', 'worst regret'"),
        (
            {"long_walk_m": 10.0, "long_walk_s": 60.0},
            r"days\.long_walk_m and long_walk_s are both there; give one of them",
        ),
    ],
)
def test_what_no_day_can_be_is_refused(given: dict[str, object], told: str) -> None:
    with pytest.raises(PlanError, match=told):
        Uncertain(**given)  # type: ignore[arg-type]


def test_ground_is_mostly_as_the_plan_says_unless_told() -> None:
    assert Uncertain().chance_of_wet(Conditions(wet=False)) == 0.15
    assert Uncertain().chance_of_wet(Conditions(wet=True)) == 0.9
    assert Uncertain(wet_chance=0.0).chance_of_wet(Conditions(wet=True)) == 0.0


def test_a_walk_is_long_by_metres_or_by_minutes() -> None:
    assert not Uncertain().is_long_walk(LONG_WALK_M, 1e6)
    assert Uncertain().is_long_walk(LONG_WALK_M + 0.1, 0.0)
    assert Uncertain(long_walk_m=0.0).is_long_walk(0.1, 0.0)
    assert Uncertain(long_walk_s=60.0).is_long_walk(1.0, 61.0)
    assert not Uncertain(long_walk_s=60.0).is_long_walk(1e6, 60.0)
