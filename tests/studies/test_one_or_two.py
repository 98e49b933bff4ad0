from dataclasses import replace
from functools import cache

import pytest
from made_parts import CASSETTE, FRAME, FRONT_MECH, TWO_RINGS
from made_search import BIKE, NOW, PARTS, RIDER, SECOND_FRONT, WIDE, hills, searched

from gearsim.errors import PlanError
from gearsim.ride.score import Weights, score
from gearsim.ride.simulate import simulate
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.frame import Frame
from gearsim.setup.wishes import Wishes
from gearsim.studies.near_tie import near_tie
from gearsim.studies.one_or_two.contender import (
    FRAME as BY_FRAME,
)
from gearsim.studies.one_or_two.contender import (
    FRONT_MECH as BY_FRONT_MECH,
)
from gearsim.studies.one_or_two.contender import (
    USUAL_FRONT_MECH,
    Setting,
    best_first,
    contenders_of_search,
    tyre_room,
)
from gearsim.studies.one_or_two.one_or_two import (
    OneOrTwo,
    field_of_plan,
    field_of_search,
    one_or_two,
    rings_in_question,
    weigh,
)
from gearsim.studies.search.search import ride_builds

SETTING = Setting(
    course=hills(), rider=RIDER, bike=BIKE, conditions=Conditions(), weights=Weights()
)
ONE = Drivetrain(name="one", chainrings=(40,), sprockets=WIDE.sprockets, mass_kg=1.4)
SMALL = Drivetrain(name="small", chainrings=(32,), sprockets=WIDE.sprockets, mass_kg=1.4)
TWO = Drivetrain(
    name="two", chainrings=(46, 30), sprockets=CASSETTE.sprockets, front_mech=FRONT_MECH.name
)


@cache
def weighed() -> OneOrTwo:
    """The invented list weighed on the hills."""
    return one_or_two(hills(), RIDER, BIKE, Conditions(), now=NOW, parts=PARTS, frame=FRAME)


@cache
def of_plan() -> OneOrTwo:
    """Three drivetrains of a plan weighed on the hills."""
    return weigh(field_of_plan(SETTING, [ONE, SMALL, TWO], PARTS, FRAME, has="two"))


def test_the_best_of_each_side_are_the_best_of_the_search() -> None:
    by_rings = {1: [], 2: [searched().now.score.mismatch]}  # type: dict[int, list[float]]
    for option in searched().options:
        by_rings[len(option.prospect.drivetrain.chainrings)].append(option.mismatch)
    found = weighed()
    assert found.one.contender.mismatch == min(by_rings[1])
    assert found.two.contender.mismatch == min(by_rings[2])
    assert found.one.ridden == len(by_rings[1])
    assert found.two.ridden == len(by_rings[2])


def test_figures_of_a_side_are_those_of_its_ride() -> None:
    for side in (weighed().one, weighed().two):
        drivetrain = side.contender.drivetrain
        setting = weighed().setting
        ride = simulate(hills(), RIDER, setting.bike, drivetrain, Conditions())
        assert score(ride) == side.contender.outcome.score
        assert ride.rear_shifts == side.ride.rear_shifts
        assert side.sheet.drivetrain == drivetrain


def test_what_the_rider_has_contends_as_what_it_weighs_and_costs_nothing() -> None:
    found = weighed().two.contender
    assert found.has
    assert (found.drivetrain.name, found.price, found.to_buy) == ("what I have", 0.0, ())
    assert found.mass_kg == searched().question.present.mass_kg


def test_what_the_rider_has_does_not_contend_where_the_tyre_wished_rules_it_out() -> None:
    wishes = Wishes(smallest_tyre_mm=45.0)
    question = rings_in_question(NOW, PARTS, BIKE, FRAME, wishes)
    search = ride_builds(hills(), RIDER, BIKE, Conditions(), question)
    field = field_of_search(search, PARTS)
    assert not any(each.has for each in field.contenders)
    assert [each.subject for each in field.against_has] == ["tyre, front mech"]


def test_one_ring_saves_the_front_shifts_and_a_part_to_adjust() -> None:
    found = weighed()
    assert found.two.contender.outcome.score.front_shifts > 0
    change = found.one_for_two
    assert change.loses_all_front_shifts
    assert change.parts_to_adjust == -1
    one, two = found.one.contender, found.two.contender
    assert change.mass_kg == pytest.approx((one.mass_kg or 0.0) - (two.mass_kg or 0.0))
    assert change.price == one.price  # and nothing for what is there


def test_masses_that_are_not_told_make_no_difference() -> None:
    # TWO adds nothing to the bike's mass: what it weighs is not known.
    assert of_plan().two.contender.mass_kg is None
    assert of_plan().one_for_two.mass_kg == 0.0


def test_the_plan_s_own_drivetrains_contend_as_they_are() -> None:
    found = of_plan()
    ridden = {each.name: SETTING.outcome(each).score.mismatch for each in (ONE, SMALL, TWO)}
    best = min(("one", "small"), key=lambda name: ridden[name])
    assert found.one.contender.drivetrain.name == best
    assert found.one.contender.mismatch == ridden[best]
    assert found.two.contender.has
    assert found.two_wins == (ridden["two"] < ridden[best])
    assert found.is_near_tie == near_tie(*sorted((ridden["two"], ridden[best])))


def test_sides_are_ranked_by_mismatch_and_never_mixed() -> None:
    contenders = contenders_of_search(searched(), PARTS)
    for rings in (1, 2):
        ranked = best_first(contenders, rings)
        assert {each.rings for each in ranked} == {rings}
        assert [each.mismatch for each in ranked] == sorted(each.mismatch for each in ranked)


def test_a_wish_for_one_chainring_is_set_aside_and_other_wishes_are_not() -> None:
    wishes = Wishes(chainrings=1, keep_cassette=True, internal_gears=False)
    found = rings_in_question(NOW, PARTS, BIKE, FRAME, wishes)
    rings = {len(each.drivetrain.chainrings) for each in found.prospects}
    assert rings == {1}, rings
    assert found.wishes.chainrings is None
    assert {each.drivetrain.sprockets for each in found.prospects} == {CASSETTE.sprockets}


def test_keeping_the_chainset_leaves_nothing_to_weigh() -> None:
    with pytest.raises(PlanError, match="keep_chainset is true, which decides"):
        rings_in_question(NOW, PARTS, BIKE, FRAME, Wishes(keep_chainset=True))


def test_a_frame_without_a_front_mech_mount_is_told_as_the_reason() -> None:
    frame = replace(FRAME, front_mech_mount=False)
    one_ring = replace(NOW, chainrings=(40,), chainset=None, front_mech=None)
    question = rings_in_question(one_ring, PARTS, BIKE, frame, Wishes())
    search = ride_builds(hills(), RIDER, BIKE, Conditions(), question)
    with pytest.raises(PlanError, match=r"none fits and is as wished .*front mech mount"):
        field_of_search(search, PARTS)


@pytest.mark.parametrize(
    ("drivetrains", "told"), [([ONE, SMALL], "two chainrings"), ([TWO], "one chainring")]
)
def test_a_plan_that_has_only_one_kind_is_refused(drivetrains: list[Drivetrain], told: str) -> None:
    with pytest.raises(PlanError, match=f"no .*drivetrain.* has {told}; add one"):
        field_of_plan(SETTING, drivetrains, PARTS, FRAME)


def test_paces_of_the_group_are_the_callers() -> None:
    field = weighed().field
    slow = weigh(field, paces_mps=(5.0, 7.0))
    assert slow.one.group.paces_mps == (5.0, 7.0)
    assert slow.one.group.mean_off_rpm != weighed().one.group.mean_off_rpm


ASSEMBLY = Assembly(chainrings=TWO_RINGS.chainrings, sprockets=CASSETTE.sprockets)


def test_one_ring_leaves_what_the_frame_leaves() -> None:
    one = Assembly(chainrings=(40,), sprockets=CASSETTE.sprockets)
    room = tyre_room(one, PARTS, FRAME)
    assert (room.largest_mm, room.limit) == (FRAME.largest_tyre_mm, BY_FRAME)
    assert tyre_room(one, PARTS, Frame()).largest_mm is None


def test_a_front_mech_leaves_less_and_the_roomiest_of_the_list_is_told_beside() -> None:
    two = replace(ASSEMBLY, front_mech=FRONT_MECH)
    room = tyre_room(two, PARTS, Frame())
    assert (room.largest_mm, room.limit) == (FRONT_MECH.largest_tyre_mm, BY_FRONT_MECH)
    assert room.widest_mm == SECOND_FRONT.largest_tyre_mm > FRONT_MECH.largest_tyre_mm
    inside = tyre_room(two, PARTS, Frame(largest_tyre_mm=FRONT_MECH.largest_tyre_mm - 4.0))
    assert inside.largest_mm == inside.widest_mm == FRONT_MECH.largest_tyre_mm - 4.0
    assert inside.limit == BY_FRAME


def test_a_front_mech_that_is_not_named_is_taken_as_usual() -> None:
    # Check values, section 11: commonly about 42 mm on a gravel frame.
    room = tyre_room(ASSEMBLY, PARTS, Frame())
    assert (room.largest_mm, room.limit) == (42.0, USUAL_FRONT_MECH)


def test_equal_mismatches_are_a_near_tie_and_one_ring_s() -> None:
    found = weighed()
    level = replace(found, one=replace(found.one, contender=found.two.contender))
    assert level.is_near_tie
    assert not level.two_wins
