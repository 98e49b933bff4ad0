"""Every number that a plan may give has bounds, and they hold."""

import math
from dataclasses import fields
from typing import Any, get_type_hints

import pytest

from gearsim.errors import PlanError
from gearsim.setup import bike, conditions, effort, frame, outing_limits, rider, uncertain, wishes

VALUES = {
    rider.Rider: rider.BOUNDS,
    bike.Bike: bike.BOUNDS,
    conditions.Conditions: conditions.BOUNDS,
    effort.Effort: effort.BOUNDS,
    frame.Frame: frame.BOUNDS,
    outing_limits.OutingLimits: outing_limits.BOUNDS,
    uncertain.Uncertain: uncertain.BOUNDS,
    wishes.Wishes: wishes.BOUNDS,
}
NUMBERS = (int, float, int | None, float | None)
BY_ANOTHER_RULE = {"largest_power_w", "target_cadence_rpm"}  # held against the rider's own
EACH = [(value, name) for value, bounds in VALUES.items() for name in bounds]


@pytest.mark.parametrize("value", VALUES, ids=lambda value: value.__name__)
def test_every_number_has_bounds(value: type) -> None:
    hints = get_type_hints(value)
    numbers = {field.name for field in fields(value) if hints[field.name] in NUMBERS}
    assert numbers - BY_ANOTHER_RULE == set(VALUES[value])


@pytest.mark.parametrize(("value", "name"), EACH)
def test_a_number_just_outside_is_refused_and_its_ends_are_not(value: Any, name: str) -> None:
    low, high = VALUES[value][name]
    for outside in (low - 1e-6, high + 1e-6, math.nan, -math.inf, math.inf):
        with pytest.raises(PlanError, match=rf"\.{name} is .*; allowed is "):
            value(**{name: outside})
    for end in {low, high} - {700.0}:  # what is called a rim of 700 mm is another size
        assert getattr(value(**{name: end}), name) == end
