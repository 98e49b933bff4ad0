from dataclasses import replace
from itertools import pairwise

import pytest
from made_fleet import BIKES, GUESTS, HIGH, LIMITS, LOW, ONE, bike, fleet_of, guest, tour

from gearsim.course.course import course_from_grades
from gearsim.errors import PlanError
from gearsim.ride.score import score
from gearsim.ride.simulate import simulate
from gearsim.ride.states import State
from gearsim.setup.conditions import Conditions
from gearsim.setup.guest import Guest
from gearsim.setup.hire_bike import HireBike
from gearsim.setup.outing_limits import OutingLimits
from gearsim.studies.fleet import fleet as fleets
from gearsim.studies.fleet.fleet import ride_fleet
from gearsim.studies.fleet.group_places import group_places, steep_descents
from gearsim.studies.fleet.outing import Against, Day, Outing, Suits


def test_outing_is_the_guests_ride_on_the_bike() -> None:
    fleet = fleet_of()
    ride = simulate(tour(), GUESTS[1].rider, ONE.bike, ONE.drivetrain, Conditions())
    assert fleet.outings[1][1].score == score(ride)


def test_verdict_follows_from_walking() -> None:
    for row in fleet_of().outings:
        for each in row:
            walks = each.score.seconds[State.WALKING] > 0.0
            assert each.suits is (Suits.SOME_WALKING if walks else Suits.RIDES_ALL)
            assert bool(each.walks) == walks
            assert (each.walked_m > 0.0) == walks


def test_places_to_walk_add_up_to_the_road_walked() -> None:
    walker = fleet_of().outings[0][2]
    on_the_map_m = sum(cue.advised_m for cue in walker.walks)
    assert walker.walked_m == pytest.approx(on_the_map_m, rel=0.02)  # √(1 + 0.17²) = 1.014


@pytest.mark.parametrize(
    ("limits", "why"),
    [
        (OutingLimits(most_walked_m=100.0), Against.WALKS),
        (OutingLimits(most_below_s=40.0), Against.BELOW),
        (OutingLimits(longest_ride_s=600.0), Against.TIME),
    ],
)
def test_more_than_a_limit_is_not_suitable(limits: OutingLimits, why: Against) -> None:
    before = {id(e): e for row in fleet_of().outings for e in row}.values()
    for each, was in zip(
        (e for row in fleet_of(limits=limits).outings for e in row), before, strict=True
    ):
        over = {
            Against.WALKS: was.walked_m > limits.most_walked_m,
            Against.BELOW: was.below_s > limits.most_below_s,
            Against.TIME: was.score.finish_s > (limits.longest_ride_s or 1e9),
        }
        assert (why in each.against) == over[why]
        assert (each.suits is Suits.NOT_SUITABLE) == bool(each.against)


@pytest.mark.parametrize(
    ("height_cm", "fits"), [(None, True), (160.0, True), (159.0, False), (186.0, False)]
)
def test_bike_of_the_wrong_size_is_not_suitable(height_cm: float | None, fits: bool) -> None:
    sized = bike("sized", (48, 36, 26), rider_from_cm=160.0, rider_to_cm=185.0)
    fleet = fleet_of((sized,), (guest("Alma", "strong", height_cm),))
    assert (fleet.outings[0][0].against == ()) == fits
    assert fleet.given == ((0,) if fits else (None,))


def test_worst_walk_is_as_short_as_can_be() -> None:
    # One low bike, two of one ring, one high: whoever walks farthest on the others has the low one.
    fleet = fleet_of()
    assert fleet.given[0] == 0
    assert fleet.without == ()
    assert [fleet.left(number) for number in range(3)] == [
        each.count - fleet.given.count(number) for number, each in enumerate(fleet.bikes)
    ]


def test_guests_without_a_bike_are_told() -> None:
    fleet = fleet_of((LOW,))
    assert len(fleet.without) == 2
    assert sorted(x is None for x in fleet.given) == [False, True, True]
    assert all(fleet.given_outing(guest) is None for guest in fleet.without)


def test_bikes_that_will_do_have_least_walking_first() -> None:
    fleet = fleet_of()
    for number, row in enumerate(fleet.outings):
        able = fleet.will_do(number)
        assert sorted(able) == [n for n, e in enumerate(row) if e.suits != Suits.NOT_SUITABLE]
        walks = [row[n].walked_m for n in able]
        assert walks == sorted(walks)


def test_one_worker_finds_what_many_find() -> None:
    alone = ride_fleet(tour(), BIKES, GUESTS, Conditions(), limits=LIMITS, workers=1)
    assert alone.outings == fleet_of().outings
    assert alone.given == fleet_of().given


def test_every_ride_is_counted() -> None:
    counted: list[None] = []
    ride_fleet(tour(), BIKES, GUESTS, Conditions(), done=lambda: counted.append(None))
    assert len(counted) == 9


def test_guest_whose_ride_cannot_be_computed_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(day: Day, one: Guest, on: HireBike) -> Outing:
        if one.name == "Bruno":
            raise PlanError("cannot be ridden")
        return ridden(day, one, on)

    ridden = fleets.outing
    monkeypatch.setattr(fleets, "outing", failing)
    fleet = ride_fleet(tour(), BIKES, GUESTS, Conditions())
    assert fleet.left_out == ("Bruno: cannot be ridden",)
    assert [each.name for each in fleet.guests] == ["Alma", "Cleo"]
    with pytest.raises(PlanError, match="Bruno"):
        ride_fleet(tour(), BIKES, GUESTS[1:2], Conditions())


def test_names_are_needed_and_differ() -> None:
    with pytest.raises(PlanError, match="there is no bike"):
        ride_fleet(tour(), (), GUESTS, Conditions())
    with pytest.raises(PlanError, match="there is no guest"):
        ride_fleet(tour(), BIKES, (), Conditions())
    with pytest.raises(PlanError, match="two guests are named 'Alma'"):
        ride_fleet(tour(), BIKES, (*GUESTS, GUESTS[0]), Conditions())


def test_group_places_tell_who_walks_and_who_pushes_on_the_bike_given() -> None:
    fleet = fleet_of((HIGH,), (guest("Alma", "new to riding"),))
    fleet = replace(fleet, given=(0,))
    walks = [place for place in group_places(fleet) if place.walking]
    assert [place.near for place in walks] == ["The bank", "Wall"]
    assert all(place.walking == (0,) and place.pushing == () for place in walks)
    assert group_places(replace(fleet, given=(None,))) == ()


def test_stretches_near_each_other_are_one_place_and_nobody_is_told_twice() -> None:
    places = group_places(fleet_of())
    for place, following in pairwise(places):
        assert following.start_m - (place.start_m + place.length_m) > 150.0
    for place in places:
        assert not set(place.walking) & set(place.pushing)
        assert place.walking or place.pushing


def test_steep_descent_is_told_with_its_ground() -> None:
    (descent,) = steep_descents(tour())
    assert (descent.start_m, descent.length_m) == (4000.0, 400.0)
    assert descent.steepest_grade == pytest.approx(-0.10, rel=1e-9)
    assert (descent.ground, descent.loose) == ("tarmac", False)


def test_gentle_descent_is_steep_on_loose_ground_only() -> None:
    grade = [-0.06] * 60
    assert steep_descents(course_from_grades(grade)) == ()
    (loose,) = steep_descents(course_from_grades(grade, surface="loose gravel"))
    assert loose.loose
