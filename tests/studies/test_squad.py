import numpy as np
import pytest

from gearsim.course.course import course_from_grades
from gearsim.errors import PlanError
from gearsim.ride.score import Weights
from gearsim.ride.states import State
from gearsim.setup.athlete import Athlete
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider
from gearsim.studies.compare import compare_rides
from gearsim.studies.squad.power_needed import with_break_even
from gearsim.studies.squad.ride_squad import ride_count, ride_squad
from gearsim.studies.squad.squad import Squad, far_above

GRADES = 0.09 * np.sin(np.arange(800) / 40.0)
COURSE = course_from_grades(GRADES)
DAY = Conditions()
LOW = Drivetrain(name="low", chainrings=(46, 30), sprockets=(11, 13, 15, 17, 20, 24, 28, 34))
SINGLE = Drivetrain(name="single", chainrings=(40,), sprockets=(11, 13, 16, 19, 23, 28, 34, 42))
HIGH = Drivetrain(name="high", chainrings=(52, 39), sprockets=(11, 12, 13, 14, 16, 18, 21, 25))
GEARS = (HIGH, LOW, SINGLE)


def athlete(name: str, power_w: float, has: Drivetrain | None = None) -> Athlete:
    return Athlete(rider=Rider(name=name, power_w=power_w), bike=Bike(), drivetrain=has)


GRINDER = Athlete(
    rider=Rider(
        name="grinder",
        power_w=330.0,
        target_cadence_rpm=62.0,
        band_rpm=(52.0, 72.0),
        limits_rpm=(35.0, 85.0),
    ),
    bike=Bike(),
    drivetrain=LOW,
)
SIX = (
    *(athlete(f"a{n}", 150.0 + 5.0 * n, HIGH) for n in range(4)),
    athlete("a4", 168.0),
    GRINDER,
)


@pytest.fixture(scope="module")
def squad() -> Squad:
    return with_break_even(ride_squad(COURSE, SIX, GEARS, DAY))


def test_athlete_who_is_the_rider_has_the_scores_of_the_comparison() -> None:
    rider, bike, weights = Rider(power_w=160.0), Bike(mass_kg=9.0), Weights(walking=5.0)
    found = ride_squad(COURSE, [Athlete(rider=rider, bike=bike)], GEARS, DAY, weights=weights)
    compared = compare_rides(COURSE, rider, bike, GEARS, DAY, weights=weights)
    by_name = {candidate.name: candidate.score for candidate in compared.candidates}
    (standing,) = found.standings
    assert [by_name[gears.name] for gears in found.drivetrains] == list(standing.scores)
    assert found.drivetrains[standing.best].name == compared.candidates[0].name
    assert found.together == tuple(score.mismatch for score in standing.scores)


def test_order_of_athletes_and_drivetrains_does_not_matter(squad: Squad) -> None:
    other = with_break_even(ride_squad(COURSE, SIX[::-1], GEARS[::-1], DAY))
    assert other.standings[::-1] == squad.standings
    assert other.drivetrains == squad.drivetrains
    assert other.together == pytest.approx(squad.together, rel=1e-12)


def test_one_worker_finds_what_many_find(squad: Squad) -> None:
    alone = with_break_even(ride_squad(COURSE, SIX, GEARS, DAY, workers=1), workers=1)
    assert alone == squad


def test_drivetrains_stand_in_the_order_of_the_seconds_of_all_together(squad: Squad) -> None:
    assert list(squad.together) == sorted(squad.together)
    for place, together in enumerate(squad.together):
        scores = [each.scores[place] for each in squad.standings]
        weighted_s = sum(score.weighted_s for score in scores)
        counted_s = sum(score.finish_s - score.seconds[State.COASTING] for score in scores)
        assert together == pytest.approx(100.0 * weighted_s / counted_s)


def test_best_has_the_least_mismatch(squad: Squad) -> None:
    for each in squad.standings:
        assert each.scores[each.best].mismatch == min(score.mismatch for score in each.scores)


def test_what_an_athlete_has_costs_its_difference_from_the_best(squad: Squad) -> None:
    first = squad.standings[0]
    assert first.has is not None
    has, best = first.scores[first.has], first.scores[first.best]
    assert first.cost is not None
    assert first.cost.mismatch == has.mismatch - best.mismatch
    assert first.cost.mismatch > 0.0
    on_target = best.seconds[State.ON_TARGET] - has.seconds[State.ON_TARGET]
    coasting = best.seconds[State.COASTING] - has.seconds[State.COASTING]
    finish_s = has.finish_s - best.finish_s
    assert first.cost.finish_s == finish_s
    assert first.cost.off_target_s == pytest.approx(on_target + coasting + finish_s)


def test_athlete_whose_gears_nobody_told_has_no_cost_and_no_break_even(squad: Squad) -> None:
    untold = squad.standings[4]
    assert (untold.has, untold.cost, untold.break_even) == (None, None, None)


def test_everybody_is_in_one_group_with_those_of_the_same_best(squad: Squad) -> None:
    shared = squad.shared
    assert sum(len(group) for group in shared.values()) == len(SIX)
    assert all(each.best == place for place, group in shared.items() for each in group)
    assert len(shared) == 2


def test_grinder_loses_by_the_choice_of_the_spinners(squad: Squad) -> None:
    assert squad.choice == LOW
    (out,) = [each for each in squad.outliers if each.loses]
    assert out.standing.athlete.name == "grinder"
    assert not out.standing.will_do(0)


def test_athlete_far_weaker_than_the_rest_is_far_above_them() -> None:
    # Six rides so alike that half a point is the spread, and one up a wall on foot.
    alike = [athlete(f"a{n}", 200.0 + n) for n in range(6)]
    found = ride_squad(COURSE, [*alike, athlete("weak", 60.0)], [LOW], DAY)
    (out,) = found.outliers
    assert (out.standing.athlete.name, out.loses, out.far_above) == ("weak", False, True)


def test_far_above_is_three_robust_deviations_above_the_median() -> None:
    # Median 5, median absolute deviation 2: 5 + 3 × 1.4826 × 2.
    assert far_above([1.0, 3.0, 5.0, 7.0, 90.0]) == pytest.approx(13.8956)
    # Nothing spreads: half a point does instead.
    assert far_above([4.0] * 9) == pytest.approx(5.5)


def test_of_four_none_is_far_above_the_others() -> None:
    assert far_above([1.0, 1.0, 1.0, 99.0]) == np.inf


def test_every_ride_is_counted() -> None:
    rides: list[None] = []
    ride_squad(COURSE, SIX, GEARS, DAY, done=lambda: rides.append(None))
    assert len(rides) == len(SIX) * len(GEARS)


def test_athlete_whose_ride_cannot_be_computed_is_left_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from gearsim.studies.squad import rides as study

    real = study.simulate

    def broken(course: object, rider: Rider, *rest: object) -> object:
        if rider.name == "a1":
            raise PlanError("cannot be computed at km 3")
        return real(course, rider, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(study, "simulate", broken)
    found = ride_squad(COURSE, SIX, GEARS, DAY)
    assert found.left_out == ("a1: cannot be computed at km 3",)
    assert [each.athlete.name for each in found.standings] == ["a0", "a2", "a3", "a4", "grinder"]
    with pytest.raises(PlanError, match="a1: cannot be computed"):
        ride_squad(COURSE, [SIX[1]], GEARS, DAY)


def test_nobody_nothing_and_names_twice_are_refused() -> None:
    with pytest.raises(PlanError, match="there is no athlete; give at least one"):
        ride_squad(COURSE, [], GEARS, DAY)
    with pytest.raises(PlanError, match="there is no drivetrain; give at least one"):
        ride_squad(COURSE, SIX, [], DAY)
    with pytest.raises(PlanError, match="two athletes are named 'a0'"):
        ride_squad(COURSE, [SIX[0], SIX[0]], GEARS, DAY)
    with pytest.raises(PlanError, match="two drivetrains are named 'low'"):
        ride_squad(COURSE, SIX, [LOW, LOW], DAY)


def test_what_an_athlete_has_beside_the_drivetrains_is_ridden_for_them_alone() -> None:
    rides: list[None] = []
    found = ride_squad(COURSE, SIX, [LOW], DAY, done=lambda: rides.append(None))
    assert len(rides) == len(SIX) + 4 == ride_count(SIX, [LOW])
    first = found.standings[0]
    (compared,) = compare_rides(COURSE, SIX[0].rider, SIX[0].bike, [HIGH], DAY).candidates
    assert (first.has, first.now) == (None, compared.score)
    assert list(found.others.values()) == [(HIGH,)]


def test_what_is_better_than_all_drivetrains_may_stay() -> None:
    found = ride_squad(COURSE, [athlete("a", 160.0, LOW), athlete("b", 160.0, HIGH)], [HIGH], DAY)
    assert [each.may_stay for each in found.standings] == [True, True]
    cost = found.standings[0].cost
    assert cost is not None
    assert cost.mismatch < 0.0


def test_few_serve_all_whom_one_does_not(squad: Squad) -> None:
    assert [squad.drivetrains[place].name for place in squad.few] == ["low", "high"]
    assert [each.athletes for each in squad.served] == [5, 6]
    assert squad.served[0].loser.athlete.name == "grinder"
    assert squad.served[1].most_lost == 0.0


def test_no_more_kinds_than_asked_for() -> None:
    found = ride_squad(COURSE, SIX, GEARS, DAY, most_kinds=1)
    assert [found.drivetrains[place].name for place in found.few] == ["low"]
