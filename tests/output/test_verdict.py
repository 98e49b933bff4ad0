from made_comparison import HIGH, LOW, SINGLE, ridden, with_mismatch, with_seconds

from gearsim.output.verdict import is_near_tie, verdict

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
