"""Parts that cannot be, whoever makes them."""

from dataclasses import replace
from typing import Any

import pytest

from gearsim.errors import PlanError
from gearsim.setup.parts.parts_file import SOUND


@pytest.mark.parametrize(
    ("kind", "key", "value", "told"),
    [
        ("cassette", "sprockets", (13, 11), "sprockets are 13, 11; allowed is smallest first"),
        ("cassette", "sprockets", (7,), "sprockets is 7; allowed is 8 to 70"),
        ("cassette", "sprockets", (), "number of sprockets is 0; allowed is 1 to 14"),
        ("cassette", "driver_body", "square", "driver_body is 'square'; allowed are 'screw-on'"),
        ("cassette", "mass_g", -1.0, "mass_g is -1; allowed is 0 to 10000"),
        ("cassette", "price", -1.0, "price is -1; allowed is 0 to 1000000"),
        ("chainset", "chainrings", (30, 46), "chainrings are 46, 30; allowed is largest first"),
        ("chainset", "chainrings", (15,), "chainrings is 15; allowed is 16 to 80"),
        ("chainset", "chainrings", (50, 46, 40, 30), "number of chainrings is 4; allowed is 1"),
        ("chainset", "chain_sprockets", (12, 15), "chain_sprockets is 12, 15; allowed is the"),
        ("rear_mech", "sprockets", 4, "sprockets is 4; allowed is 5 to 14"),
        ("rear_mech", "smallest_sprocket", 21, "smallest_sprocket is 21; allowed is 8 to 20"),
        ("rear_mech", "low_sprocket", (34, 30), "low_sprocket is 34, 30; allowed is the lower"),
        ("rear_mech", "capacity_teeth", 81, "capacity_teeth is 81; allowed is 5 to 80"),
        ("rear_mech", "most_chainrings", 4, "most_chainrings is 4; allowed is 1 to 3"),
        ("front_mech", "chainrings", 1, "chainrings is 1; allowed is 2 to 3"),
        ("front_mech", "largest_gap_teeth", 41, "largest_gap_teeth is 41; allowed is 4 to 40"),
        ("front_mech", "largest_ring", (50, 81), "largest_ring is 50, 81; allowed is the lower"),
        ("front_mech", "largest_tyre_mm", 17.0, "largest_tyre_mm is 17; allowed is 18 to 130"),
        ("internal_gear", "place", "frame", "place is 'frame'; allowed are 'hub', 'gearbox'"),
        ("internal_gear", "ratios", (2.0, 1.0), "ratios are 2, 1; allowed is lowest first"),
        ("internal_gear", "ratios", (0.05,), "ratios is 0.05; allowed is 0.1 to 6"),
        ("internal_gear", "efficiency", 1.1, "efficiency is 1.1; allowed is 0.3 to 1"),
        ("internal_gear", "smallest_drive", 7.0, "smallest_drive is 7; allowed is 0.3 to 6"),
    ],
)
def test_a_part_that_cannot_be_is_refused(kind: str, key: str, value: Any, told: str) -> None:
    with pytest.raises(PlanError) as caught:
        replace(SOUND[kind], **{"name": "mine", key: value})
    assert str(caught.value).startswith(f"{kind.replace('_', ' ')} 'mine': {told}")
