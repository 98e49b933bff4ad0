"""Candidates side by side: ridden on their own, ranked together."""

import os

import numpy as np
import pytest
from made_rides import DOUBLE, HILLS, HUB, ONE_GEAR, SINGLE, TRIPLE, course_of_height

from gearsim.course.course import course_from_grades
from gearsim.errors import PlanError
from gearsim.ride.ride import Ride
from gearsim.ride.score import Weights, score
from gearsim.ride.simulate import simulate
from gearsim.ride.states import State
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider
from gearsim.studies.compare import Comparison, compare, compare_rides

FIVE = (ONE_GEAR, SINGLE, HUB, DOUBLE, TRIPLE)
COURSE = course_of_height(lambda x: 2.0 * HILLS(x), 20_000.0, surface="gravel")
RIDER, BIKE, DAY = Rider(), Bike(), Conditions(wind_mps=4.0)


@pytest.fixture(scope="module")
def compared() -> Comparison:
    return compare_rides(COURSE, RIDER, BIKE, FIVE, DAY)


def assert_same_ride(one: Ride, other: Ride) -> None:
    assert one.duration_s.tobytes() == other.duration_s.tobytes()
    assert np.array_equal(one.gear, other.gear)
    assert np.array_equal(one.state, other.state)
    assert one.energy == other.energy


def test_candidates_are_ranked_by_mismatch(compared: Comparison) -> None:
    mismatch = [candidate.score.mismatch for candidate in compared.candidates]
    assert mismatch == sorted(mismatch)
    assert {candidate.name for candidate in compared.candidates} == {each.name for each in FIVE}
    assert compared.candidates[-1].name == ONE_GEAR.name


def test_many_threads_give_what_one_ride_after_the_other_gives(compared: Comparison) -> None:
    for candidate in compared.candidates:
        alone = simulate(COURSE, RIDER, BIKE, candidate.ride.drivetrain, DAY)
        assert_same_ride(candidate.ride, alone)
        assert candidate.score == score(alone)


def test_any_number_of_threads_gives_the_same(
    compared: Comparison, monkeypatch: pytest.MonkeyPatch
) -> None:
    for threads in (1, 7):
        monkeypatch.setattr(os, "cpu_count", lambda found=threads: found)
        again = compare_rides(COURSE, RIDER, BIKE, FIVE, DAY)
        for one, other in zip(compared.candidates, again.candidates, strict=True):
            assert one.name == other.name
            assert_same_ride(one.ride, other.ride)


def test_the_order_in_which_candidates_are_given_does_not_matter(compared: Comparison) -> None:
    backwards = compare_rides(COURSE, RIDER, BIKE, FIVE[::-1], DAY)
    assert [one.name for one in compared.candidates] == [one.name for one in backwards.candidates]


def test_the_table_has_a_row_each_with_the_raw_times_beside_the_mismatch() -> None:
    table = compare(COURSE, RIDER, BIKE, FIVE, DAY)
    assert len(table) == 5
    assert table.mismatch.is_monotonic_increasing
    minutes = [f"{state.replace(' ', '_')}_min" for state in State]
    assert table[minutes].sum(axis=1).to_numpy() == pytest.approx(table.finish_min.to_numpy())
    off_band = table.under_band_min + table.over_band_min
    assert (table.between_gears_min + table.end_of_range_min).to_numpy() == pytest.approx(
        off_band.to_numpy()
    )


def test_the_worst_places_of_a_candidate_are_weighed_like_its_score() -> None:
    # Whoever does not mind walking has no worst place on foot.
    wall = course_from_grades([0.0] * 50 + [0.35] * 20 + [0.0] * 50)
    weak = Rider(largest_power_w=250.0, reserve_j=0.0)
    minded = compare_rides(wall, weak, BIKE, [SINGLE], DAY).candidates[0]
    unminded = compare_rides(
        wall, weak, BIKE, [SINGLE], DAY, weights=Weights(walking=0.0)
    ).candidates[0]
    assert minded.worst[0].state == State.WALKING
    assert State.WALKING not in [place.state for place in unminded.worst]


def test_equal_candidates_stay_as_given() -> None:
    twins = [Drivetrain(name=name, chainrings=(40,), sprockets=(11, 20, 36)) for name in "zam"]
    ranked = compare_rides(COURSE, RIDER, BIKE, twins, DAY)
    assert [candidate.name for candidate in ranked.candidates] == ["z", "a", "m"]


def test_nothing_to_compare_is_refused() -> None:
    with pytest.raises(PlanError, match="no drivetrain to compare; give at least one"):
        compare(COURSE, RIDER, BIKE, [], DAY)


def test_two_of_one_name_are_refused() -> None:
    with pytest.raises(PlanError, match="two drivetrains are named '40 × 11-42"):
        compare_rides(COURSE, RIDER, BIKE, [SINGLE, DOUBLE, SINGLE], DAY)
