"""On the demo's route, bends, wind and surfaces and all, the interval's length hardly matters."""

from dataclasses import replace
from pathlib import Path

import pytest

from gearsim.plan.loading import load_plan
from gearsim.ride.score import Score
from gearsim.ride.states import State
from gearsim.studies.compare import compare_rides

PLAN = load_plan(Path(__file__).parents[1] / "routes" / "lanternmoor" / "plan.toml")


def scores(step_m: float) -> dict[str, Score]:
    """Every candidate's score on intervals of that length."""
    plan = replace(PLAN, step_m=step_m)
    found = compare_rides(
        plan.load_course(), plan.rider, plan.bike, plan.drivetrains, plan.conditions
    )
    return {candidate.name: candidate.score for candidate in found.candidates}


@pytest.fixture(scope="module")
def both() -> list[tuple[Score, Score]]:
    """Each candidate on intervals of 10 m and of 5 m."""
    coarse, fine = scores(10.0), scores(5.0)
    return [(coarse[name], fine[name]) for name in coarse]


def test_halving_the_interval_moves_the_finish_by_less_than_a_thousandth(
    both: list[tuple[Score, Score]],
) -> None:
    for coarse, fine in both:
        # Whole intervals are walked: who walks ten minutes may gain or lose half a minute.
        allowed = 0.001 if fine.seconds[State.WALKING] < 540.0 else 0.002
        assert coarse.finish_s == pytest.approx(fine.finish_s, rel=allowed)


def test_halving_the_interval_moves_no_state_by_a_hundredth_of_the_ride(
    both: list[tuple[Score, Score]],
) -> None:
    for coarse, fine in both:
        for state in State:
            moved_s = abs(coarse.seconds[state] - fine.seconds[state])
            assert moved_s < 0.01 * fine.finish_s, state
