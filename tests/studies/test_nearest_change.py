from dataclasses import replace
from functools import cache

import pytest
from made_fleet import BIKES, HIGH, NINE, ONE, bike, fleet_of, guest

from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.finding import Verdict, verdict_of
from gearsim.setup.fit.fitment import drivetrain_findings
from gearsim.setup.hire_bike import HireBike
from gearsim.setup.outing_limits import OutingLimits
from gearsim.setup.parts.kinds import Cassette
from gearsim.setup.parts.parts_list import load_parts
from gearsim.studies.fleet.nearest_change import (
    NARROW,
    Change,
    narrow_misses,
    nearest_changes,
    new_cassettes,
    new_chainsets,
)
from gearsim.studies.fleet.outing import Suits, outing

PARTS = load_parts()


@cache
def changes() -> dict[tuple[int, int], Change]:
    return {(each.guest, each.bike): each for each in nearest_changes(fleet_of(), PARTS)}


def test_changes_are_sought_for_narrow_misses_only() -> None:
    fleet = fleet_of()
    assert list(changes()) == narrow_misses(fleet)
    for guest_number, row in enumerate(fleet.outings):
        for bike_number, each in enumerate(row):
            missed = each.suits is not Suits.RIDES_ALL
            assert ((guest_number, bike_number) in changes()) == missed


def test_change_is_found_ridden_and_confirmed() -> None:
    found = changes()[1, 1]
    assert found.cassette is not None
    assert found.chainset is not None
    fleet = fleet_of()
    for part in (found.cassette, found.chainset):
        assert outing(fleet.day, fleet.guests[1], part.bike).suits is Suits.RIDES_ALL


def test_nothing_nearer_does() -> None:
    fleet, found = fleet_of(), changes()[1, 1]
    for part, tried in (
        (found.cassette, new_cassettes(ONE, PARTS)),
        (found.chainset, new_chainsets(ONE, PARTS)),
    ):
        assert part in tried
        for nearer in tried[: tried.index(part)]:
            ridden = outing(fleet.day, fleet.guests[1], nearer.bike)
            assert ridden.suits is not Suits.RIDES_ALL


def test_where_nothing_does_none_is_named() -> None:
    found = changes()[0, 2]
    fleet = fleet_of()
    assert (found.cassette, found.chainset) == (None, None)
    for part in (*new_cassettes(HIGH, PARTS), *new_chainsets(HIGH, PARTS)):
        ridden = outing(fleet.day, fleet.guests[0], part.bike)
        assert ridden.suits is not Suits.RIDES_ALL


@pytest.mark.parametrize("hire", BIKES, ids=lambda hire: hire.name)
def test_new_parts_fit_and_are_lower(hire: HireBike) -> None:
    for part in (*new_cassettes(hire, PARTS), *new_chainsets(hire, PARTS)):
        gears, now = part.bike.drivetrain, hire.drivetrain
        assert gears.gear_ratios[-1] < now.gear_ratios[-1]
        assert len(gears.chainrings) == len(now.chainrings)
        assert len(gears.sprockets) == len(now.sprockets)
        found = drivetrain_findings(gears, PARTS, part.bike.bike, part.bike.frame)
        assert verdict_of(found) is not Verdict.DOES_NOT_FIT


def test_what_works_now_is_no_caution_of_the_change() -> None:
    for part in new_cassettes(ONE, PARTS):
        subjects = {caution.subject for caution in part.cautions}
        assert "largest ring, frame" not in subjects
        assert "tyre, frame" not in subjects
        assert {"largest sprocket", "total capacity"} <= subjects
    for part in new_chainsets(ONE, PARTS):
        assert "largest sprocket" not in {caution.subject for caution in part.cautions}


def test_rear_mech_that_is_told_rules_out_what_it_cannot_take() -> None:
    short = min(
        (mech for mech in PARTS.rear_mechs if mech.sprockets == 9), key=lambda m: m.low_sprocket[1]
    )
    told = replace(ONE, drivetrain=replace(ONE.drivetrain, rear_mech=short.name))
    largest = [part.bike.drivetrain.sprockets[-1] for part in new_cassettes(told, PARTS)]
    assert all(teeth <= short.low_sprocket[1] for teeth in largest)
    assert len(largest) < len(new_cassettes(ONE, PARTS))


def with_cassette_of_the_list() -> tuple[HireBike, Cassette]:
    listed = next(each for each in PARTS.cassettes if len(each.sprockets) == 9)
    gears = replace(ONE.drivetrain, sprockets=listed.sprockets)
    return replace(ONE, drivetrain=gears), listed


def test_cassettes_stay_in_the_class_of_the_bikes_own() -> None:
    hire, listed = with_cassette_of_the_list()
    found = new_cassettes(hire, PARTS)
    assert found
    for part in found:
        assert part.bike.drivetrain.driver_body == listed.driver_body
        assert "driver body" not in {caution.subject for caution in part.cautions}


def test_hub_of_unknown_class_is_a_caution() -> None:
    assert NINE not in {each.sprockets for each in PARTS.cassettes}
    for part in new_cassettes(ONE, PARTS):
        assert "driver body" in {caution.subject for caution in part.cautions}


def test_weight_of_the_new_cassette_counts() -> None:
    hire, listed = with_cassette_of_the_list()
    for part in new_cassettes(hire, PARTS):
        more_kg = (part.part.mass_g - listed.mass_g) / 1000.0
        assert part.bike.bike.mass_kg == pytest.approx(hire.bike.mass_kg + more_kg, rel=1e-12)


def test_hub_gear_and_wrong_size_are_no_narrow_misses() -> None:
    hub = replace(bike("hub", (40,)), drivetrain=Drivetrain(name="hub", ratios=(3.0, 2.0, 1.4)))
    fleet = fleet_of((hub,), (guest("Alma", "new to riding"),))
    assert fleet.outings[0][0].suits is not Suits.RIDES_ALL
    assert narrow_misses(fleet) == []
    small = replace(ONE, rider_to_cm=150.0)
    assert narrow_misses(fleet_of((small,), (guest("Bruno", "now and then", 180.0),))) == []


def test_misses_that_are_not_narrow_are_left() -> None:
    fleet = fleet_of(limits=OutingLimits(most_walked_m=50.0))
    misses = narrow_misses(fleet)
    assert (1, 1) in misses  # 71 m
    assert (0, 1) not in misses  # 172 m
    assert fleet.outings[0][1].walked_m > NARROW * 50.0


def test_one_worker_finds_what_many_find() -> None:
    assert nearest_changes(fleet_of(), PARTS, workers=1) == tuple(changes().values())
