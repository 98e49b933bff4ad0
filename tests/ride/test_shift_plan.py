"""The shift plan is the cheapest of all there are: held against every sequence of gears."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from gearsim.ride import kernel, pricing, shifting, stretch
from gearsim.ride.arrays import ladder_of, wishes_of
from gearsim.ride.road import Road
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import Gears, gears_of
from gearsim.setup.rider import Rider

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

LADDERS = [
    Drivetrain(chainrings=(40,), sprockets=(13, 17, 22)),
    Drivetrain(chainrings=(40,), sprockets=(11, 14, 18, 24, 34)),
    Drivetrain(ratios=(0.8, 1.2, 1.7, 2.5)),
    Drivetrain(chainrings=(46, 30), sprockets=(13, 17, 24)),
    Drivetrain(chainrings=(50, 39, 28), sprockets=(15, 23)),
]
MOST_INTERVALS = 6
MANY = 300  # one case in ten changes rings
STEP_M = 10.0
SINGLE = 2e-6


class Case:
    """A few intervals as ridden, a drivetrain, and a rider's costs of shifting."""

    def __init__(
        self, drivetrain: Drivetrain, rider: Rider, duration_s: Floats, mode: NDArray[np.uint8]
    ) -> None:
        self.gears, self.rider = gears_of(drivetrain, Bike()), rider
        self.ladder, self.wishes = ladder_of(self.gears), wishes_of(rider)
        count = len(duration_s)
        self.road = Road(*(np.full(count, STEP_M) for _ in Road._fields))
        self.trace = kernel.empty_trace(count, 0.0)
        self.trace.duration_s[:], self.trace.mode[:] = duration_s, mode

    def plan(self, path: shifting.Path) -> Integers:
        """Gears of the least-cost path, brought up to date in `path`."""
        shifting.least_cost_rows(path, self.road, self.trace, self.ladder, self.wishes)
        gear = np.empty(len(self.trace.duration_s), dtype=np.int64)
        shifting.trace_back(path, self.ladder, self.wishes, gear)
        return gear

    def plan_afresh(self) -> Integers:
        """Gears of the least-cost path, planned for the first time."""
        return self.plan(shifting.empty_path(len(self.trace.duration_s), self.ladder))

    def costs_s(self, sequences: Integers) -> Floats:
        """Cost of each sequence of gears, (sequences, n), told from the words alone."""
        own, shift = self.own_s(), shift_table_s(self.gears, self.rider)
        total = sum(own[i, sequences[:, i]] for i in range(len(own)))
        for i in range(1, len(own)):
            total = total + shift[sequences[:, i - 1], sequences[:, i]]
        return np.asarray(total)

    def own_s(self) -> Floats:
        """What each interval costs in each gear, (n, gears)."""
        rows = [
            [self.own_of_s(mode, lasting, gear) for gear in range(len(self.gears.ratio))]
            for mode, lasting in zip(self.trace.mode, self.trace.duration_s, strict=True)
        ]
        return np.array(rows)

    def own_of_s(self, mode: int, lasting_s: float, gear: int) -> float:
        """Nothing on foot and coasting; the lowest gear below it; else seconds × penalty."""
        if mode in (stretch.WALKING, stretch.COASTING):
            return 0.0
        if mode == stretch.BELOW_LOWEST_GEAR:
            return 0.0 if gear == self.gears.lowest else pricing.WRONG_GEAR * lasting_s
        rpm = 60.0 * STEP_M / lasting_s / self.gears.development_m[gear]
        upkeep = self.ladder.upkeep[self.ladder.slot[gear]]
        return lasting_s * (penalty(rpm, self.rider) + upkeep)

    def every_sequence(self) -> Integers:
        """All sequences of gears there are."""
        choices = range(len(self.gears.ratio))
        return np.array(list(product(choices, repeat=len(self.trace.duration_s))))


def singly(cost_s: float) -> object:
    """The cost as near as single precision, in which the plan counts, can tell it."""
    return pytest.approx(cost_s, rel=SINGLE, abs=SINGLE)


def penalty(rpm: float, rider: Rider) -> float:
    """Up to 0.05 in the band; from there linearly to 1 at the limit; then 8 a width more."""
    high = int(rpm >= rider.target_cadence_rpm)
    edge, limit = rider.band_rpm[high], rider.limits_rpm[high]
    from_target = (rpm - rider.target_cadence_rpm) / (edge - rider.target_cadence_rpm)
    off = (rpm - edge) / (limit - edge)
    if off <= 0.0:
        return 0.05 * from_target**2
    return 0.05 + 0.95 * off + 8.0 * max(off - 1.0, 0.0)


def shift_table_s(gears: Gears, rider: Rider) -> Floats:
    """Cost of each shift, (gears, gears): the next sprocket, a further one, another ring."""
    ring = gears.ring
    place = np.arange(len(ring)) - np.searchsorted(ring, ring)
    apart = np.abs(place[:, None] - place[None, :])
    step = min(rider.rear_step_cost_s, rider.rear_jump_cost_s)
    rear = np.select([apart == 0, apart == 1], [0.0, step], rider.rear_jump_cost_s)
    return np.where(ring[:, None] == ring[None, :], rear, rider.front_cost_s)


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Few intervals, from slower than the lowest limit to faster than the highest."""
    costs = st.sampled_from([0.0, 0.1, 0.5, 1.0, 3.0])
    rider = Rider(
        rear_step_cost_s=draw(costs), rear_jump_cost_s=draw(costs), front_cost_s=draw(costs)
    )
    count = draw(st.integers(1, MOST_INTERVALS))
    some = {"min_size": count, "max_size": count}
    duration_s = draw(st.lists(st.floats(0.7, 7.0), **some))
    mode = draw(st.lists(st.sampled_from([0, 0, 0, 0, 1, 2, 3, 4]), **some))
    return Case(
        draw(st.sampled_from(LADDERS)), rider, np.array(duration_s), np.array(mode, dtype=np.uint8)
    )


@settings(max_examples=MANY)
@given(cases())
def test_the_plan_costs_no_more_than_any_sequence_of_gears(case: Case) -> None:
    planned_s = case.costs_s(case.plan_afresh()[None, :])[0]
    assert planned_s == singly(case.costs_s(case.every_sequence()).min())


@settings(max_examples=MANY)
@given(cases())
def test_the_rows_add_up_to_the_least_cost(case: Case) -> None:
    # Each row counts from the least of the row before, so the leasts add up.
    path = shifting.empty_path(len(case.trace.duration_s), case.ladder)
    case.plan(path)
    least_s = path.cost_s[:, case.ladder.slot].min(axis=1).sum()
    assert least_s == singly(case.costs_s(case.every_sequence()).min())


@given(cases())
def test_the_cost_of_a_plan_is_counted_as_told_in_words(case: Case) -> None:
    gear = case.plan_afresh()
    counted_s = pricing.cost_of_s(
        gear, 0, len(gear), case.road, case.trace, case.ladder, case.wishes
    )
    assert counted_s == singly(case.costs_s(gear[None, :])[0])


@settings(max_examples=MANY)
@given(case=cases(), data=st.data())
def test_planning_again_after_a_change_costs_no_more_than_planning_afresh(
    case: Case, data: st.DataObject
) -> None:
    path = shifting.empty_path(len(case.trace.duration_s), case.ladder)
    case.plan(path)
    changed = data.draw(st.integers(0, len(case.trace.duration_s) - 1))
    case.trace.duration_s[changed] *= data.draw(st.sampled_from([0.6, 0.97, 1.0, 1.1, 1.7]))
    case.trace.mode[changed] = data.draw(st.integers(0, 4))
    again_s, afresh_s = case.costs_s(np.array([case.plan(path), case.plan_afresh()]))
    assert again_s == singly(afresh_s)


@given(case=cases(), share=st.floats(-1.0, 1.0))
def test_a_change_too_small_to_be_priced_again_leaves_the_plan(case: Case, share: float) -> None:
    path = shifting.empty_path(len(case.trace.duration_s), case.ladder)
    before = case.plan(path)
    case.trace.duration_s[:] *= 1.0 + 0.99 * share * shifting.NEWLY_PRICED
    assert np.array_equal(case.plan(path), before)


def ridden_case(seconds: list[float], **rider: float) -> Case:
    return Case(LADDERS[1], Rider(**rider), np.array(seconds), np.zeros(len(seconds), np.uint8))


def test_dear_shifts_are_not_made() -> None:
    swinging = [1.6, 2.4] * 10
    cheap = ridden_case(swinging, rear_step_cost_s=0.0, rear_jump_cost_s=0.0).plan_afresh()
    dear = ridden_case(swinging, rear_step_cost_s=60.0, rear_jump_cost_s=60.0).plan_afresh()
    assert np.count_nonzero(np.diff(cheap)) > 10
    assert np.count_nonzero(np.diff(dear)) == 0


def test_a_rider_who_sees_the_hill_coming_shifts_before_its_foot() -> None:
    # Three sprockets down cost no more before the foot than at it, one shift each interval is
    # cheaper than one jump: the first are made ahead.
    case = ridden_case([1.6] * 8 + [5.0] * 8, rear_step_cost_s=0.1, rear_jump_cost_s=40.0)
    gear = case.plan_afresh()
    assert gear[7] > gear[0]


@pytest.mark.parametrize("worth_s", [0.0, 0.5, 1e6])
def test_gains_are_taken_where_they_are_worth_it(worth_s: float) -> None:
    case = ridden_case([1.5, 1.6, 2.5, 4.0, 5.0, 6.0, 3.0, 2.0])
    planned, kept = case.plan_afresh(), np.full(8, 2, dtype=np.int64)
    taken = kept.copy()
    changes = shifting.take_gains(
        taken, planned, worth_s, case.road, case.trace, case.ladder, case.wishes
    )
    before_s, after_s, best_s = case.costs_s(np.array([kept, taken, planned]))
    assert changes == np.count_nonzero(taken != kept)
    assert before_s - after_s >= (worth_s if changes else 0.0)
    assert (changes == 0) == (worth_s == 1e6)
    assert best_s <= after_s + 1e-9
