from dataclasses import replace

import numpy as np
import pytest
from made_comparison import HIGH, LOW, RIDER, SINGLE, TOO_FEW, ridden, with_mismatch, with_seconds

from gearsim.course.course import course_from_grades
from gearsim.output.comparison.verdict import is_near_tie, verdict
from gearsim.ride.states import State
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.fit.fitment import Fit
from gearsim.studies.compare import Comparison, Ends, compare_rides, with_fits

THREE = ridden((LOW, SINGLE, HIGH))
FIRST, SECOND, THIRD = (candidate.name for candidate in THREE.candidates)


def test_the_winner_and_the_next_are_named_with_their_mismatch() -> None:
    told = verdict(with_mismatch(THREE, 3.0, 8.0, 20.0))
    assert told.startswith(
        f"“{FIRST}” (mismatch 3.0) suits this route best, ahead of “{SECOND}” (mismatch 8.0)"
    )


def test_a_near_tie_is_called_one() -> None:
    told = verdict(with_mismatch(THREE, 10.0, 10.4, 20.0))
    assert told.startswith(f"A near tie: “{FIRST}” (mismatch 10.0) and “{SECOND}” (mismatch 10.4)")
    assert THIRD not in told


def test_all_that_are_near_the_best_share_the_tie() -> None:
    told = verdict(with_mismatch(THREE, 10.0, 10.4, 10.9))
    assert f"“{FIRST}” (mismatch 10.0), “{SECOND}” (mismatch 10.4) and “{THIRD}”" in told


def test_half_a_point_parts_low_mismatches_and_a_tenth_high_ones() -> None:
    low = with_mismatch(THREE, 1.0, 1.4, 1.6).candidates
    assert [is_near_tie(low[0], other) for other in low[1:]] == [True, False]
    high = with_mismatch(THREE, 40.0, 44.0, 45.0).candidates
    assert [is_near_tie(high[0], other) for other in high[1:]] == [True, False]


def test_what_differs_most_is_told_first_and_what_it_costs_last() -> None:
    clear = with_mismatch(THREE, 3.0, 8.0, 20.0)
    hours = {"on_target": 9e3, "below_lowest_gear": 60.0, "under_band": 0.0}
    best = with_seconds(clear, 0, walking=0.0, spun_out=300.0, over_band=0.0, **hours)
    told = verdict(with_seconds(best, 1, walking=240.0, spun_out=0.0, over_band=600.0, **hours))
    assert "4 min less walking and 10 min less over the band, but 5 min more spun out" in told


def test_what_even_the_best_leaves_is_told_with_its_place() -> None:
    told = verdict(with_seconds(THREE, 0, walking=0.0, spun_out=0.0, below_lowest_gear=130.0))
    assert f"“{FIRST}” still leaves 2 min below the lowest gear" in told


def test_a_named_place_is_named() -> None:
    alone = ridden((HIGH,))
    place = alone.candidates[0].worst[0]
    assert abs(place.start_m - 0.333 * 6000.0) < 150.0
    assert ", The wall (" in verdict(alone)


def test_gears_that_never_run_out_are_praised() -> None:
    fine = with_seconds(THREE, 0, walking=0.0, spun_out=0.0, below_lowest_gear=0.0)
    assert "never walks, spins out or runs out of low gears" in verdict(fine)


def test_one_drivetrain_alone_is_not_ranked() -> None:
    assert "is the only drivetrain: nothing to rank" in verdict(ridden((LOW,)))


def unfit(comparison: Comparison, *ranks: int) -> Comparison:
    """The comparison with a finding against the candidates of these ranks, counted from 0."""
    drivetrains = [candidate.ride.drivetrain for candidate in comparison.candidates]
    return with_fits(
        comparison,
        [
            Fit(drivetrain=each, findings=(TOO_FEW,) if rank in ranks else ())
            for rank, each in enumerate(drivetrains)
        ],
    )


def test_best_that_does_not_fit_is_told_with_its_reason_and_the_best_that_fits() -> None:
    told = verdict(unfit(with_mismatch(THREE, 3.0, 8.0, 20.0), 0, 1))
    assert told.startswith(f"“{FIRST}” (mismatch 3.0) suits this route best")
    assert (
        f"“{FIRST}” does not fit as told (sprockets: 9, not as many as the shifter indexes (12); "
        f"see gearsim fit); the best that fits is “{THIRD}” (mismatch 20.0)"
    ) in told


def test_second_that_does_not_fit_is_told_too() -> None:
    told = verdict(unfit(with_mismatch(THREE, 3.0, 8.0, 20.0), 1, 2))
    assert f"“{SECOND}” does not fit as told (see gearsim fit)." in told
    assert "the best that fits" not in told


def test_none_that_fits_is_told() -> None:
    told = verdict(unfit(with_mismatch(THREE, 3.0, 8.0, 20.0), 0, 1, 2))
    assert "and none of the others does." in told


def test_what_fits_is_not_told_where_nothing_speaks_against_it() -> None:
    assert "fit" not in verdict(unfit(THREE))
    assert verdict(unfit(THREE)) == verdict(THREE)


def test_the_worst_place_is_told_with_its_length_and_mean_grade() -> None:
    place = ridden((HIGH,)).candidates[0].worst[0]
    assert f"({place.length_m:.0f} m, mean {100.0 * place.grade:.0f} %)" in verdict(ridden((HIGH,)))


def test_a_level_place_is_called_level() -> None:
    alone = with_seconds(ridden((LOW,)), 0, walking=0.0, below_lowest_gear=0.0, spun_out=90.0)
    candidate = alone.candidates[0]
    place = replace(candidate.worst[0], state=State.SPUN_OUT, grade=-0.004, length_m=300.0)
    alone = replace(alone, candidates=(replace(candidate, worst=(place,)),))
    assert "(300 m, level)." in verdict(alone)


def at_both_ends(comparison: Comparison) -> Comparison:
    """The comparison with every candidate's score unchanged at both ends of the model's error."""
    return replace(
        comparison,
        candidates=tuple(
            replace(each, ends=Ends(slow=each.score, fast=each.score))
            for each in comparison.candidates
        ),
    )


def test_a_walk_that_little_less_power_brings_is_told() -> None:
    rides = with_seconds(with_mismatch(THREE, 3.0, 8.0, 20.0), 0, walking=0.0)
    assert "the model may be off" not in verdict(rides)
    assert "the model may be off" not in verdict(at_both_ends(rides))
    first, *others = at_both_ends(rides).candidates
    slow = with_seconds(rides, 0, walking=300.0).candidates[0].score
    walked = replace(first, ends=Ends(slow=slow, fast=first.score))
    told = verdict(replace(rides, candidates=(walked, *others)))
    assert f"With 10.4 % less power “{FIRST}” walks 5 min: the model may be off by as much." in told


def test_a_winner_that_more_power_turns_is_told() -> None:
    rides = at_both_ends(with_mismatch(THREE, 3.0, 8.0, 20.0))
    first, second, third = rides.candidates
    worse = replace(first.score, weighted_s=4.0 * first.score.weighted_s)
    turned = replace(first, ends=Ends(slow=first.score, fast=worse))
    told = verdict(replace(rides, candidates=(turned, second, third)))
    assert f"With 8.5 % more power “{SECOND}” is ahead: the model may be off by as much." in told


@pytest.mark.parametrize(("steep", "doubted"), [(0.25, False), (0.49, True)])
def test_verdict_that_rests_on_an_impossible_grade_says_so(steep: float, doubted: bool) -> None:
    grade = np.zeros(300)
    grade[40:46] = steep
    told = verdict(
        compare_rides(course_from_grades(grade), RIDER, Bike(), [LOW, HIGH], Conditions())
    )
    caution = (
        "At km 0.4 the heights make 49 % over 50 m, steeper than almost any road: "
        "check the heights there; they drive the verdict."
    )
    assert (caution in told) == doubted
