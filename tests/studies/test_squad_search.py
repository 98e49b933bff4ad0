"""A squad for which everything that fits is ridden, and few drivetrains are kept."""

from collections.abc import Iterable
from dataclasses import replace
from functools import cache

import pytest
from made_parts import FRAME, FRONT_MECH
from made_search import (
    BIG_RING,
    BIKE,
    CLOSE,
    LONG_CAGE,
    NOW,
    PARTS,
    RIDER,
    SMALL_RING,
    hills,
)

from gearsim.errors import PlanError
from gearsim.setup.athlete import Athlete
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.build import Build
from gearsim.setup.frame import Frame
from gearsim.setup.wishes import Wishes
from gearsim.studies.compare import compare_rides
from gearsim.studies.near_tie import near_tie
from gearsim.studies.one_or_two.one_or_two import rings_in_question
from gearsim.studies.search.builds_in_question import builds_in_question
from gearsim.studies.search.prospect import Prospect
from gearsim.studies.search.search import search
from gearsim.studies.squad.open_builds import OpenBuilds, OpenTo, frame_with, open_builds
from gearsim.studies.squad.power_needed import with_break_even
from gearsim.studies.squad.search_squad import search_squad
from gearsim.studies.squad.squad import Squad

DAY = Conditions()
ROAD = Drivetrain(name="road", chainrings=(50, 34), sprockets=CLOSE.sprockets)
SLOW = replace(
    RIDER, target_cadence_rpm=62.0, band_rpm=(52.0, 72.0), limits_rpm=(35.0, 85.0), power_w=330.0
)


def athlete(name: str, power_w: float, has: Drivetrain | None = NOW) -> Athlete:
    return Athlete(rider=replace(RIDER, name=name, power_w=power_w), bike=BIKE, drivetrain=has)


SIX = (
    athlete("a0", 190.0),
    athlete("a1", 230.0),
    athlete("a2", 150.0, ROAD),
    athlete("a3", 170.0, None),
    athlete("a4", 210.0, ROAD),
    Athlete(rider=replace(SLOW, name="grinder"), bike=BIKE, drivetrain=ROAD),
)


def builds(
    athletes: tuple[Athlete, ...] = SIX, frame: Frame = FRAME, wishes: Wishes | None = None
) -> OpenBuilds:
    return open_builds(athletes, NOW, PARTS, frame, wishes or Wishes())


@cache
def squad(most_kinds: int = 6) -> Squad:
    return search_squad(hills(), builds(), DAY, most_kinds=most_kinds)


def test_athlete_who_is_the_rider_finds_the_best_of_the_search() -> None:
    alone = search_squad(hills(), builds((athlete("a", RIDER.power_w),)), DAY)
    asked = search(hills(), RIDER, BIKE, DAY, now=NOW, parts=PARTS, frame=FRAME)
    (standing,) = alone.standings
    assert standing.fitting is not None
    assert standing.now == asked.now.score
    best = min(asked.options[0].outcome.score.mismatch, asked.now.score.mismatch)
    assert standing.least_mismatch == best
    names = {each.drivetrain.name for each in alone.sought.tried} if alone.sought else set()
    assert {option.name for option in asked.options} <= names


def test_everyone_is_served_nearly_as_well_as_by_their_own_best() -> None:
    found = squad()
    assert found.served[-1].athletes == len(SIX)
    for each in found.standings:
        assert each.best in found.few
        assert each.will_do(each.best)
        assert near_tie(each.least_mismatch, each.scores[each.best].mismatch)


def test_kind_that_serves_one_athlete_is_what_the_search_names_as_least_trouble() -> None:
    weak = athlete("weak", 150.0, ROAD)
    asked = search(hills(), weak.rider, BIKE, DAY, now=ROAD, parts=PARTS, frame=FRAME)
    simplest = asked.options[asked.least_trouble]
    assert simplest.prospect.trouble < asked.options[0].prospect.trouble
    found = search_squad(hills(), builds((weak,)), DAY)
    assert [found.drivetrains[place].name for place in found.few] == [simplest.name]


def test_what_is_to_check_counts_before_what_is_to_buy() -> None:
    long_cage = replace(ROAD, rear_mech=LONG_CAGE.name)
    weak = athlete("weak", 150.0, long_cage)
    (open_to,) = builds((weak,)).athletes
    trouble = {each.name: each.trouble for each in open_to.prospects.values()}
    assert (trouble["36 × wide"], trouble["46-30 × cassette"]) == ((1, 2), (0, 3))
    found = search_squad(hills(), builds((weak,)), DAY)
    assert [found.drivetrains[place].name for place in found.few] == ["46-30 × cassette"]


def test_there_is_nothing_to_check_or_buy_of_what_is_there_already() -> None:
    (open_to,) = builds(SIX[:1]).athletes
    (gears, prospect) = next(iter(open_to.prospects.items()))
    assert open_to.trouble(gears) == prospect.trouble != (0, 0)
    same = replace(open_to, prospects={open_to.has: prospect})
    assert same.trouble(open_to.has) == (0, 0)


def test_who_may_keep_what_they_have_needs_no_kind_but_that() -> None:
    found = search_squad(hills(), builds((athlete("strong", 210.0, ROAD),)), DAY)
    assert [found.drivetrains[place].name for place in found.few] == [ROAD.name]
    (strong,) = found.standings
    assert strong.now is not None
    assert strong.now.mismatch > strong.least_mismatch


def test_what_an_athlete_has_is_ridden_with_the_mass_that_was_told() -> None:
    heavy = replace(ROAD, mass_kg=2.0)
    bike = replace(BIKE, mass_kg=9.0)
    (told,) = search_squad(
        hills(), builds((Athlete(rider=RIDER, bike=bike, drivetrain=heavy),)), DAY
    ).standings
    (compared,) = compare_rides(hills(), RIDER, bike, [heavy], DAY).candidates
    assert told.now is not None
    assert told.now.mismatch == pytest.approx(compared.score.mismatch)
    assert told.now.finish_s == pytest.approx(compared.score.finish_s)


def test_one_for_all_is_the_least_of_those_that_all_can_have() -> None:
    found = squad()
    assert found.sought is not None
    open_to_all = [each for each in found.sought.tried if each.open_to == len(SIX)]
    assert found.together[0] <= min(each.mismatch for each in open_to_all)


def test_no_more_kinds_than_asked_for_and_the_rest_stand_out() -> None:
    one = squad(most_kinds=1)
    assert len(one.few) == 1
    assert one.served[-1].athletes < len(SIX)
    left = [each.standing.athlete.name for each in one.outliers if each.loses]
    assert len(left) == len(SIX) - one.served[-1].athletes
    assert "grinder" in left


def test_after_a_search_nobody_stands_out_for_what_the_others_take() -> None:
    found = squad()
    assert len(found.few) > 1
    assert not [each for each in found.outliers if each.loses]
    assert not all(each.will_do(0) for each in found.standings)


def test_every_one_of_what_fits_is_told_with_for_how_many_it_does() -> None:
    found = squad()
    assert found.sought is not None
    tried = found.sought.tried
    assert len({each.drivetrain.name for each in tried}) == len(tried)
    assert sum(each.best_for for each in tried) >= len(SIX)
    assert all(each.best_for <= each.as_good_for <= each.open_to for each in tried)
    assert {each.drivetrain.name for each in tried if each.told} == {
        each.name for each in found.drivetrains
    }


def test_simplest_takes_the_fewest_new_parts_of_all_that_are_as_good() -> None:
    for each in squad().standings:
        assert each.fitting is not None
        simplest, best = each.fitting.simplest, each.fitting.best
        assert near_tie(best.score.mismatch, simplest.score.mismatch)
        assert len(simplest.to_buy) <= len(best.to_buy)
        if each.may_stay:
            assert simplest.to_buy == ()


def test_one_new_part_is_told_where_it_makes_a_difference() -> None:
    told = [each for each in squad().standings if each.fitting and each.fitting.one_part]
    assert told
    for each in told:
        assert each.fitting is not None
        assert each.fitting.one_part is not None
        assert each.now is not None
        assert len(each.fitting.one_part.to_buy) == 1
        assert not near_tie(each.fitting.one_part.score.mismatch, each.now.mismatch)


def test_each_keeps_what_is_theirs() -> None:
    wishes = Wishes(keep_cassette=True)
    by_name = {each.athlete.name: each for each in builds(wishes=wishes).athletes}
    for name, sprockets in (("a0", NOW.sprockets), ("a2", ROAD.sprockets)):
        prospects = by_name[name].prospects.values()
        assert {each.drivetrain.sprockets for each in prospects} == {sprockets}


def test_what_only_some_can_have_is_closed_to_the_others_and_serves_none_of_them() -> None:
    found = search_squad(hills(), builds(wishes=Wishes(keep_cassette=True)), DAY)
    closed = [(each, place) for each in found.standings for place in each.closed]
    assert closed
    for standing, place in closed:
        assert found.drivetrains[place].sprockets != (standing.athlete.drivetrain or NOW).sprockets
        assert not standing.will_do(place)
        assert place != standing.best


def test_search_squad_and_rings_agree_on_what_is_to_be_bought() -> None:
    unnamed = replace(NOW, rear_mech=None, front_mech=None, driver_body=FRAME.driver_body)
    alone = builds_in_question(unnamed, PARTS, BIKE, FRAME, Wishes()).prospects
    rings_too = rings_in_question(unnamed, PARTS, BIKE, FRAME, Wishes()).prospects
    (of_squad,) = builds((athlete("a", 190.0, unnamed),)).athletes
    assert {each.name: each.to_buy for each in alone} == {
        each.name: each.to_buy for each in rings_too
    }
    assert {each.name: each.to_buy for each in alone} == {
        each.name: each.to_buy for each in of_squad.prospects.values()
    }
    assert not [each for each in alone if FRONT_MECH.name in each.to_buy]


def test_of_builds_with_the_same_gears_the_one_with_less_to_check_is_open() -> None:
    narrow = replace(SMALL_RING, name="for a narrower chain", chain_sprockets=(12, 12), mass_g=500)
    parts = replace(PARTS, chainsets=(narrow, *PARTS.chainsets))
    asked = builds_in_question(NOW, parts, BIKE, FRAME, Wishes()).prospects
    assert {narrow.name, SMALL_RING.name} <= built_of(asked)
    (open_to,) = open_builds(SIX[:1], NOW, parts, FRAME, Wishes()).athletes
    assert narrow.name not in built_of(open_to.prospects.values())


def built_of(prospects: Iterable[Prospect]) -> set[str]:
    """The chainsets of builds."""
    return {e.build.chainset.name for e in prospects if isinstance(e.build, Build)}


def test_bike_takes_what_is_on_it_whatever_the_frame_says_of_the_others() -> None:
    big = replace(ROAD, chainrings=(52, 36))
    assert frame_with(big, FRAME).largest_ring_of_two == 52
    assert frame_with(NOW, FRAME).largest_ring_of_two == 48
    assert frame_with(big, replace(FRAME, largest_ring_of_two=None)).largest_ring_of_two is None
    alone = Drivetrain(name="alone", chainrings=BIG_RING.chainrings, sprockets=CLOSE.sprockets)
    (theirs,) = builds((athlete("a", 190.0, alone),)).athletes
    (others,) = builds((athlete("b", 190.0),)).athletes
    assert BIG_RING.chainrings in rings(theirs)
    assert BIG_RING.chainrings not in rings(others)


def rings(open_to: OpenTo) -> set[tuple[int, ...]]:
    return {each.drivetrain.chainrings for each in open_to.prospects.values()}


def test_what_is_told_of_no_one_is_taken_from_the_plan() -> None:
    found = squad()
    assert found.sought is not None
    assert found.sought.untold == NOW
    (untold,) = [each for each in found.standings if each.athlete.name == "a3"]
    assert (untold.now, untold.cost, untold.has) == (None, None, None)
    nothing = open_builds(SIX, None, PARTS, FRAME, Wishes())
    assert [each.split(":")[0] for each in nothing.left_out] == ["a3"]


def test_athlete_on_an_impossible_bike_is_left_out_and_the_rest_go_on() -> None:
    light = replace(athlete("light", 190.0), bike=replace(BIKE, mass_kg=3.2))
    found = builds((*SIX, light))
    (told,) = found.left_out
    assert told.startswith("light: bike_mass_kg is 3.2, but 'what I have' weighs")
    assert len(found.athletes) == len(SIX)


def test_wishes_that_leave_nothing_for_anyone_are_refused() -> None:
    with pytest.raises(PlanError, match="none fits and is as wished"):
        builds(wishes=Wishes(largest_mass_kg=0.2))


def test_every_ride_is_counted_and_one_worker_finds_what_many_find() -> None:
    rides: list[None] = []
    alone = search_squad(hills(), builds(), DAY, workers=1, done=lambda: rides.append(None))
    assert len(rides) == builds().rides
    assert alone.standings == squad().standings
    assert alone.drivetrains == squad().drivetrains


def test_order_of_athletes_does_not_matter() -> None:
    other = search_squad(hills(), builds(SIX[::-1]), DAY)
    assert other.standings[::-1] == squad().standings
    assert other.drivetrains == squad().drivetrains


def test_power_needed_is_that_of_what_the_athlete_has() -> None:
    found = with_break_even(squad())
    asked = [each.break_even is not None for each in found.standings]
    assert asked == [each.drivetrain is not None for each in SIX]


def test_builds_with_the_same_gears_are_one_under_a_name_of_its_own() -> None:
    others = replace(ROAD, name="another's", sprockets=(*ROAD.sprockets[:-1], 32))
    athletes = (*SIX, athlete("b", 190.0, others), athlete("c", 190.0, replace(NOW, name="same")))
    found = builds(athletes)
    names = [each.name for each in found.drivetrains.values()]
    assert len(set(names)) == len(names)
    assert len(found.drivetrains) == len({gears[:3] for gears in found.drivetrains})
