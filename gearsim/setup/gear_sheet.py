"""Everything about a drivetrain's gears that takes no road: ratios, steps, overlaps, speeds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gearsim.errors import PlanError
from gearsim.physics.gearing import gear_inches, speed_mps
from gearsim.setup.bike import Bike
from gearsim.setup.checked import require_between
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gear_order import OrderedGear, gear_order
from gearsim.setup.gears import Floats, Gears, Integers, gears_of
from gearsim.setup.rider import Rider
from gearsim.setup.steps import (
    SAME_GEAR_PERCENT,
    apart,
    gear_speed_mps,
    range_percent,
    ring_by_ring_ratios,
    same_gears,
    step_below_percent,
    steps_percent,
)


@dataclass(frozen=True, kw_only=True)
class RingOverlap:
    """What a chainring and the next smaller one have in common.

    `larger_teeth` and `smaller_teeth` are theirs.  `larger_inside` are the larger ring's gears, by
    index, that lie within the smaller ring's range, `smaller_inside` the smaller ring's within the
    larger's.  `twins` pairs each gear of the larger ring with the nearest of the smaller where the
    two are less than the tolerance apart.
    """

    larger_teeth: int
    smaller_teeth: int
    larger_inside: tuple[int, ...]
    smaller_inside: tuple[int, ...]
    twins: tuple[tuple[int, int], ...]


@dataclass(frozen=True, kw_only=True)
class GearSheet:
    """A drivetrain's gears on a bike, under the legs of a rider.

    Arrays have one entry a gear, in the order of `gears`: `gear_inches`, `step_below_percent` (to
    the next lower gear on the ring, NaN for its lowest) and `place`, counted from 1 at the highest,
    which gears less than `tolerance_percent` apart share.  `order` is one gear for each place.
    """

    drivetrain: Drivetrain
    bike: Bike
    rider: Rider
    tolerance_percent: float
    gears: Gears
    gear_inches: Floats
    step_below_percent: Floats
    place: Integers
    order: tuple[OrderedGear, ...]
    overlaps: tuple[RingOverlap, ...]

    @property
    def name(self) -> str:
        """The drivetrain's name."""
        return self.drivetrain.name

    @property
    def cadences_rpm(self) -> tuple[float, float, float, float, float]:
        """Low limit, low end of the band, target, high end of the band, high limit, rpm."""
        (low, high), (low_limit, high_limit) = self.rider.band_rpm, self.rider.limits_rpm
        return low_limit, low, self.rider.target_cadence_rpm, high, high_limit

    def speeds_mps(self, cadence_rpm: float) -> Floats:
        """Every gear's speed at a cadence, m/s."""
        return np.asarray(speed_mps(cadence_rpm, self.gears.development_m))

    @property
    def distinct_ratios(self) -> int:
        """How many gears are left when those less than the tolerance apart count once."""
        return len(self.order)

    @property
    def ring_by_ring_ratios(self) -> int:
        """How many of them there are when each chainring is used in one stretch."""
        return ring_by_ring_ratios(self.gears, self.tolerance_percent)

    @property
    def range_percent(self) -> float:
        """Highest ratio over lowest, %."""
        return range_percent(self.gears)

    @property
    def largest_step_percent(self) -> float | None:
        """The widest step on a ring, %; None for single gears."""
        steps = steps_percent(self.gears)
        return float(steps.max()) if len(steps) else None

    @property
    def median_step_percent(self) -> float | None:
        """The median step on a ring, %; None for single gears."""
        steps = steps_percent(self.gears)
        return float(np.median(steps)) if len(steps) else None

    @property
    def slowest_mps(self) -> float:
        """Speed of the lowest gear at the low limit of cadence, m/s."""
        return gear_speed_mps(self.gears, self.gears.lowest, self.rider.limits_rpm[0])

    @property
    def fastest_mps(self) -> float:
        """Speed at which gears run out: of the highest gear at the high limit, m/s."""
        return gear_speed_mps(self.gears, self.gears.highest, self.rider.limits_rpm[1])

    @property
    def front_shifts(self) -> int:
        """Chainrings passed on the way down through `order`."""
        return sum(each.front_shifts for each in self.order)

    @property
    def rear_clicks(self) -> int:
        """Sprockets passed on that way."""
        return sum(each.rear_clicks for each in self.order)

    @property
    def double_shifts(self) -> int:
        """Steps of that way that need front and rear together."""
        return sum(each.double_shift for each in self.order)


def gear_sheet(
    drivetrain: Drivetrain,
    bike: Bike,
    rider: Rider,
    *,
    tolerance_percent: float = SAME_GEAR_PERCENT,
) -> GearSheet:
    """The gears of a drivetrain, one by one and as a whole.

    Of the bike only the wheel counts, of the rider only the cadences.  Gears less than
    `tolerance_percent` apart count as one.  Raises `PlanError` for a tolerance that is none.
    """
    require_between("tolerance_percent", tolerance_percent, 0.1, 50.0)
    gears = gears_of(drivetrain, bike)
    return GearSheet(
        drivetrain=drivetrain,
        bike=bike,
        rider=rider,
        tolerance_percent=tolerance_percent,
        gears=gears,
        gear_inches=np.asarray(gear_inches(gears.ratio, bike.circumference_m)),
        step_below_percent=step_below_percent(gears),
        place=_places(gears, tolerance_percent),
        order=gear_order(gears, tolerance_percent),
        overlaps=_overlaps(gears, tolerance_percent),
    )


def gear_sheets(
    drivetrains: Sequence[Drivetrain],
    bike: Bike,
    rider: Rider,
    *,
    tolerance_percent: float = SAME_GEAR_PERCENT,
) -> tuple[GearSheet, ...]:
    """The sheets of several drivetrains on one bike, in the order given.

    Raises `PlanError` when there is no drivetrain, or two have one name.
    """
    names = [drivetrain.name for drivetrain in drivetrains]
    if not names:
        raise PlanError("there is no drivetrain to show; give at least one")
    for name in names:
        if names.count(name) > 1:
            raise PlanError(f"two drivetrains are named {name!r}; give each its own name")
    return tuple(
        gear_sheet(drivetrain, bike, rider, tolerance_percent=tolerance_percent)
        for drivetrain in drivetrains
    )


def _places(gears: Gears, tolerance_percent: float) -> Integers:
    place = np.zeros(len(gears.ratio), dtype=np.int64)
    for number, group in enumerate(same_gears(gears, tolerance_percent), start=1):
        place[list(group)] = number
    return place


def _overlaps(gears: Gears, tolerance_percent: float) -> tuple[RingOverlap, ...]:
    rings = range(int(gears.ring[-1]))
    return tuple(_overlap(gears, ring, tolerance_percent) for ring in rings)


def _overlap(gears: Gears, ring: int, tolerance_percent: float) -> RingOverlap:
    larger, smaller = (np.flatnonzero(gears.ring == each) for each in (ring, ring + 1))
    twins = []
    for gear in larger.tolist():
        nearest = min(smaller.tolist(), key=lambda other: _far_apart(gears, gear, other))
        high, low = sorted((gear, nearest), key=lambda each: -gears.ratio[each])
        if not apart(gears, high, low, tolerance_percent):
            twins.append((gear, nearest))
    return RingOverlap(
        larger_teeth=int(gears.chainring[larger[0]]),
        smaller_teeth=int(gears.chainring[smaller[0]]),
        larger_inside=_inside(gears, larger, smaller),
        smaller_inside=_inside(gears, smaller, larger),
        twins=tuple(twins),
    )


def _far_apart(gears: Gears, one: int, other: int) -> float:
    return float(abs(np.log(gears.ratio[one] / gears.ratio[other])))


def _inside(gears: Gears, these: Integers, others: Integers) -> tuple[int, ...]:
    lowest, highest = gears.ratio[others].min(), gears.ratio[others].max()
    within = (gears.ratio[these] >= lowest) & (gears.ratio[these] <= highest)
    return tuple(these[within].tolist())
