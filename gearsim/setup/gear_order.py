"""The distinct gears of a drivetrain one after another, and the shifts from each to the next."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from gearsim.setup.gears import Gears
from gearsim.setup.steps import SAME_GEAR_PERCENT, same_gears

Shifts = tuple[int, int]  # front, rear


@dataclass(frozen=True, kw_only=True)
class OrderedGear:
    """A gear (by index) on the way down through the distinct ones, and the way to the next.

    `step_percent` is the step to the next lower gear on this way, `front_shifts` and
    `rear_clicks` are the chainrings and sprockets (or gears of a hub) that it passes.  The last
    gear has no next one: its step is None, its shifts are 0.
    """

    gear: int
    step_percent: float | None
    front_shifts: int
    rear_clicks: int

    @property
    def double_shift(self) -> bool:
        """Whether front and rear must be shifted together to get to the next gear."""
        return self.front_shifts > 0 and self.rear_clicks > 0


def gear_order(
    gears: Gears, tolerance_percent: float = SAME_GEAR_PERCENT
) -> tuple[OrderedGear, ...]:
    """One gear of each distinct ratio from the highest down, chosen for the fewest shifts.

    Of gears that count as one, that is taken with which the whole way has the fewest front
    shifts, and among such ways the fewest rear clicks.
    """
    way = _fewest_shifts(gears, same_gears(gears, tolerance_percent))
    steps = [_ordered(gears, gear, following) for gear, following in pairwise(way)]
    return (*steps, OrderedGear(gear=way[-1], step_percent=None, front_shifts=0, rear_clicks=0))


def _fewest_shifts(gears: Gears, groups: tuple[tuple[int, ...], ...]) -> list[int]:
    ways = [((0, 0), [gear]) for gear in groups[0]]
    for group in groups[1:]:
        ways = [
            min(
                (_added(shifts, _shifts(gears, way[-1], gear)), [*way, gear])
                for shifts, way in ways
            )
            for gear in group
        ]
    return min(ways)[1]


def _added(shifts: Shifts, more: Shifts) -> Shifts:
    return shifts[0] + more[0], shifts[1] + more[1]


def _shifts(gears: Gears, first: int, second: int) -> Shifts:
    """Chainrings and sprockets between two gears."""
    rears = len(gears.ring) // (int(gears.ring[-1]) + 1)
    front = int(np.abs(gears.ring[second] - gears.ring[first]))
    return front, abs(second % rears - first % rears)


def _ordered(gears: Gears, gear: int, following: int) -> OrderedGear:
    front, rear = _shifts(gears, gear, following)
    return OrderedGear(
        gear=gear,
        step_percent=float(100.0 * (gears.ratio[gear] / gears.ratio[following] - 1.0)),
        front_shifts=front,
        rear_clicks=rear,
    )
