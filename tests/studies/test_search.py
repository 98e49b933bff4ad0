import threading
from dataclasses import replace

import numpy as np
import pytest
from made_parts import FRAME, TWO, UNTOLD
from made_search import BIKE, NOW, PARTS, RIDER, hills, searched

from gearsim.errors import PlanError
from gearsim.ride.outset import Outset
from gearsim.ride.ride import Ride
from gearsim.ride.score import score
from gearsim.ride.simulate import simulate, simulate_from
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.wishes import Wishes
from gearsim.studies.compare import compare_rides
from gearsim.studies.search import search as study
from gearsim.studies.search.builds_in_question import InQuestion, builds_in_question
from gearsim.studies.search.options import BEST_TOLD
from gearsim.studies.search.search import Search, best_rides, ride_builds, rides_of
from gearsim.studies.search.trade_off import front
from gearsim.studies.search.weight_worth import weight_worth

DAY = Conditions()


def question(wishes: Wishes | None = None, now: object = NOW) -> InQuestion:
    return builds_in_question(now, PARTS, BIKE, FRAME, wishes or Wishes())  # type: ignore[arg-type]


def every() -> Search:
    return searched(Wishes(internal_gears=True), UNTOLD)


def test_results_are_those_of_an_exhaustive_comparison() -> None:
    found = every()
    drivetrains = [each.prospect.drivetrain for each in found.options]
    compared = compare_rides(found.course, RIDER, found.bike, drivetrains, DAY)
    assert [c.name for c in compared.candidates] == [o.name for o in found.options]
    assert [c.score for c in compared.candidates] == [o.outcome.score for o in found.options]


def test_what_is_there_is_ridden_with_the_plan_s_mass() -> None:
    found = searched()
    assert found.bike.mass_kg + TWO.mass_kg == pytest.approx(BIKE.mass_kg, abs=1e-12)
    alone = score(simulate(hills(), RIDER, BIKE, NOW, DAY))
    assert found.now.score.finish_s == pytest.approx(alone.finish_s, rel=1e-9)
    assert found.now.score.mismatch == pytest.approx(alone.mismatch, rel=1e-6)


def test_told_mass_of_the_drivetrain_shifts_nothing_between_builds() -> None:
    apart = replace(BIKE, mass_kg=BIKE.mass_kg - 1.5)
    told = ride_builds(
        hills(),
        RIDER,
        apart,
        DAY,
        builds_in_question(replace(NOW, mass_kg=1.5), PARTS, apart, FRAME, Wishes()),
    )
    assert told.bike.mass_kg == pytest.approx(searched().bike.mass_kg, abs=1e-12)
    assert [each.name for each in told.options] == [each.name for each in searched().options]


def test_kept_parts_weigh_nothing_more_or_less() -> None:
    found = searched(Wishes(keep_chainset=True, keep_rear_mech=True))
    for option in found.options:
        cassette = option.prospect.build.cassette  # type: ignore[union-attr]
        assert option.change.mass_kg == pytest.approx((cassette.mass_g - 310.0) / 1000.0, abs=0.01)


def test_options_are_ranked_and_the_best_differ_in_gears() -> None:
    found = every()
    mismatch = [each.mismatch for each in found.options]
    assert mismatch == sorted(mismatch)
    assert found.ranking.best[0] == 0
    assert len(found.ranking.best) == BEST_TOLD
    gears = [found.options[place].prospect.drivetrain.gear_ratios for place in found.ranking.best]
    assert len(set(gears)) == BEST_TOLD


def test_front_is_of_mismatch_weight_shifts_and_parts_and_of_price_where_told() -> None:
    found = every()
    values = [
        (
            each.mismatch,
            each.prospect.build.mass_kg,
            np.inf if each.prospect.price is None else each.prospect.price,
            each.outcome.shifts_per_hour,
            each.prospect.build.parts_to_adjust,
        )
        for each in found.options
    ]
    assert [each.on_front for each in found.options] == front(values).tolist()
    assert len(found.ranking.criteria) == 5
    assert all(found.options[each.place].on_front for each in found.ranking.trade_offs)
    free = replace(
        PARTS,
        cassettes=tuple(replace(each, price=None) for each in PARTS.cassettes),
        chainsets=tuple(replace(each, price=None) for each in PARTS.chainsets),
        rear_mechs=tuple(replace(each, price=None) for each in PARTS.rear_mechs),
    )
    told = study.search(hills(), RIDER, BIKE, DAY, now=NOW, parts=free, frame=FRAME)
    assert "price" not in told.ranking.criteria


def test_identical_gears_and_mass_are_ridden_once() -> None:
    asked = question()
    twin = replace(asked.prospects[0], name="twin")
    rides = rides_of((*asked.prospects, twin))
    assert len(rides) == len(asked.prospects)
    found = ride_builds(
        hills(), RIDER, BIKE, DAY, replace(asked, prospects=(*asked.prospects, twin))
    )
    outcomes = {each.name: each.outcome for each in found.options}
    assert outcomes["twin"] is outcomes[asked.prospects[0].name]


def test_progress_counts_every_ride() -> None:
    done: list[int] = []
    asked = question()
    ride_builds(hills(), RIDER, BIKE, DAY, asked, done=lambda: done.append(1))
    assert len(done) == len(rides_of(asked.prospects))


@pytest.mark.parametrize("workers", [1, 2, 5])
def test_any_number_of_workers_gives_the_same_answer(workers: int) -> None:
    found = ride_builds(hills(), RIDER, BIKE, DAY, question(), workers=workers)
    assert found.options == searched().options
    assert found.ranking.trade_offs == searched().ranking.trade_offs


def test_interrupted_search_keeps_what_it_has() -> None:
    asked = builds_in_question(NOW, PARTS, BIKE, UNTOLD, Wishes())
    count = 0

    def stop_at_third() -> None:
        nonlocal count
        count += 1
        if count == 3:
            raise KeyboardInterrupt

    found = ride_builds(hills(), RIDER, BIKE, DAY, asked, workers=1, done=stop_at_third)
    assert found.stopped
    assert 3 <= found.ridden < len(asked.prospects)
    whole = {each.name: each.outcome.score for each in searched(frame=UNTOLD).options}
    assert {each.name: each.outcome.score for each in found.options}.items() <= whole.items()
    mismatch = [each.mismatch for each in found.options]
    assert mismatch == sorted(mismatch)
    assert not searched().stopped


def test_interrupt_before_anything_is_ridden_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(study, "over_cores", stop)
    with pytest.raises(KeyboardInterrupt):
        ride_builds(hills(), RIDER, BIKE, DAY, question())


def test_builds_are_ridden_in_an_order_that_jumps_about(monkeypatch: pytest.MonkeyPatch) -> None:
    ridden: list[object] = []
    lock = threading.Lock()

    def in_turn(work: object, jobs: list, **_: object) -> list:
        with lock:
            ridden.extend(jobs)
        return [work(job) for job in jobs]  # type: ignore[operator]

    monkeypatch.setattr(study, "over_cores", in_turn)
    asked = builds_in_question(NOW, PARTS, BIKE, UNTOLD, Wishes())
    ride_builds(hills(), RIDER, BIKE, DAY, asked)
    listed = list(rides_of(asked.prospects))
    places = [listed.index(key) for key in ridden]
    assert sorted(places) == list(range(len(listed)))
    half = places[: len(places) // 2]
    assert min(half) < len(listed) // 4
    assert max(half) > 3 * len(listed) // 4


def test_build_that_cannot_be_ridden_is_told_and_left_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def failing(outset: Outset, drivetrain: Drivetrain) -> Ride:
        if drivetrain.chainrings == (36,):
            raise PlanError("the ride cannot be computed at km 1.00")
        return simulate_from(outset, drivetrain)

    monkeypatch.setattr(study, "simulate_from", failing)
    found = ride_builds(hills(), RIDER, BIKE, DAY, question())
    assert [fault.split(":")[0] for fault in found.faults] == [
        each.name for each in question().prospects if each.drivetrain.chainrings == (36,)
    ]
    assert not found.stopped


def test_bike_lighter_than_its_drivetrain_is_refused() -> None:
    light = Bike(mass_kg=4.0, tyre_mm=40.0)
    with pytest.raises(PlanError, match=r"bike.mass_kg is 4, but its drivetrain 'what I have'"):
        ride_builds(hills(), RIDER, light, DAY, question())


def test_best_rides_are_of_what_is_there_and_the_best_few() -> None:
    found = searched()
    compared = best_rides(found)
    names = {candidate.name for candidate in compared.candidates}
    assert names == {
        "what I have (now)",
        *(found.options[place].name for place in found.ranking.best),
    }
    by_name = {candidate.name: candidate.score for candidate in compared.candidates}
    assert by_name["what I have (now)"] == found.now.score


def test_weight_saved_is_time_saved_uphill_in_proportion() -> None:
    course = hills()
    as_is_s = simulate(course, RIDER, BIKE, NOW, DAY).finish_s
    worths = [
        weight_worth(course, RIDER, BIKE, NOW, DAY, as_is_s=as_is_s, lighter_kg=kg)
        for kg in (0.25, 1.0)
    ]
    assert worths[0].saved_s > 0.0
    assert worths[0].seconds_per_100_g == pytest.approx(worths[1].seconds_per_100_g, rel=0.2)
    assert searched().weight.saved_s == pytest.approx(worths[0].saved_s, rel=1e-3)
