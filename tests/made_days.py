"""Days for the tests."""

from gearsim.setup.conditions import Conditions
from gearsim.setup.uncertain import Uncertain


def certain(conditions: Conditions, seed: int = 1) -> Uncertain:
    """Nothing is uncertain: every day is the plan's own."""
    return Uncertain(
        power_factor=(1.0, 1.0),
        load_change_kg=(0.0, 0.0),
        drag_area_factor=(1.0, 1.0),
        rolling_factor=(1.0, 1.0),
        wet_chance=1.0 if conditions.wet else 0.0,
        wind_spread_mps=0.0,
        wind_turn_rad=0.0,
        temperature_spread_c=0.0,
        height_error_m=0.0,
        seed=seed,
    )
