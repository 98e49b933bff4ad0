import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_parts import CASSETTE, FRAME, FRONT_MECH
from made_search import BIKE, CLOSE, PARTS, RIDER, WIDE, hills, searched

from gearsim.ride.score import Weights
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider
from gearsim.studies.near_tie import near_tie
from gearsim.studies.one_or_two.contender import (
    Contender,
    Setting,
    TyreRoom,
    best_first,
    contender_of_plan,
    contenders_of_search,
)
from gearsim.studies.one_or_two.lever_curve import Lever, LeverCurve, Standing
from gearsim.studies.one_or_two.verdict_flips import (
    KNOWN_TO,
    POWER_KNOWN_TO,
    SHORTLIST,
    changed,
    flips,
    shortlist,
    span,
    standing_at,
    values_of,
)

SETTING = Setting(
    course=hills(2.0), rider=RIDER, bike=BIKE, conditions=Conditions(), weights=Weights()
)
SMALL = Drivetrain(name="small", chainrings=(32,), sprockets=WIDE.sprockets)
TWO = Drivetrain(
    name="two", chainrings=(46, 30), sprockets=CASSETTE.sprockets, front_mech=FRONT_MECH.name
)


def contenders(setting: Setting = SETTING) -> tuple[Contender, ...]:
    return tuple(contender_of_plan(each, setting, PARTS, FRAME, has=False) for each in (SMALL, TWO))


@cache
def curves(power_w: float) -> dict[Lever, LeverCurve]:
    """The levers of a rider of that power with a small ring against two rings."""
    setting = replace(SETTING, rider=Rider(power_w=power_w))
    return {each.lever: each for each in flips(setting, contenders(setting))}


def two_wins(setting: Setting) -> bool:
    one, two = (setting.outcome(each).score.mismatch for each in (SMALL, TWO))
    return two < one


@pytest.mark.parametrize("power_w", [190.0, 300.0])
@pytest.mark.parametrize("lever", list(Lever))
def test_at_a_turn_the_other_wins_and_a_little_nearer_it_does_not(
    power_w: float, lever: Lever
) -> None:
    curve = curves(power_w)[lever]
    setting = replace(SETTING, rider=Rider(power_w=power_w))
    now = two_wins(setting)
    for turn, back in ((curve.down, 1.0), (curve.up, -1.0)):
        if turn is not None and not turn.by_room:
            known_to = KNOWN_TO.get(lever, POWER_KNOWN_TO * power_w)
            assert two_wins(changed(setting, lever, turn.value)) is not now
            assert two_wins(changed(setting, lever, turn.value + back * known_to)) is now


def test_a_stronger_rider_runs_out_of_gears_on_a_small_ring() -> None:
    curve = curves(300.0)[Lever.POWER]
    assert not curve.own_standing.two_wins
    assert curve.up is not None
    assert 300.0 < curve.up.value < 600.0
    assert curve.nearest in (curve.down, curve.up)


@pytest.mark.parametrize("lever", list(Lever))
def test_where_nothing_turns_no_value_looked_at_has_the_other_ahead(lever: Lever) -> None:
    curve = curves(300.0)[lever]
    now = curve.own_standing.two_wins
    below = [each for each in curve.standings if each.value < curve.own]
    above = [each for each in curve.standings if each.value > curve.own]
    for turn, side in ((curve.down, below), (curve.up, above)):
        assert (turn is None) == all(each.two_wins is now for each in side)


def test_values_looked_at_rise_and_have_the_plan_s_own_among_them() -> None:
    for curve in curves(300.0).values():
        values = [each.value for each in curve.standings]
        assert values == sorted(set(values))
        assert curve.own in values


def test_standings_are_those_of_riding_both_there() -> None:
    curve = curves(300.0)[Lever.LOAD]
    setting = replace(SETTING, rider=Rider(power_w=300.0))
    there = changed(setting, Lever.LOAD, curve.standings[-1].value)
    assert curve.standings[-1].one == there.outcome(SMALL).score.mismatch
    assert curve.standings[-1].two == there.outcome(TWO).score.mismatch
    assert there.bike.mass_kg == BIKE.mass_kg + 30.0


def test_a_tyre_wider_than_any_front_mech_leaves_is_a_turn_at_that_width() -> None:
    setting = replace(SETTING, rider=Rider(power_w=300.0))
    big = replace(SMALL, name="big", chainrings=(50,))
    one, two = (contender_of_plan(each, setting, PARTS, FRAME, has=False) for each in (big, TWO))
    assert two.mismatch < one.mismatch
    roomy = replace(one, room=TyreRoom(largest_mm=60.0, limit="frame", widest_mm=60.0))
    narrow = replace(two, room=TyreRoom(largest_mm=43.0, limit="front mech", widest_mm=43.0))
    found = {each.lever: each for each in flips(setting, [roomy, narrow])}[Lever.TYRE]
    assert found.searched == (25.0, 60.0)
    assert found.up is not None
    assert (found.up.value, found.up.by_room) == (43.0, True)
    assert math.isinf(found.standings[-1].two)
    assert found.standings[-1].two_best is None


def test_workers_do_not_change_the_answer() -> None:
    setting = replace(SETTING, rider=Rider(power_w=300.0))
    assert flips(setting, contenders(setting), workers=1) == tuple(curves(300.0).values())


def test_what_is_looked_at_is_counted() -> None:
    count = 0

    def done() -> None:
        nonlocal count
        count += 1

    flips(SETTING, contenders(), done=done)
    assert count == len(values_of(SETTING, contenders()))


def test_the_band_moves_along_with_the_target_and_the_limits_do_not() -> None:
    there = changed(SETTING, Lever.CADENCE, RIDER.target_cadence_rpm + 6.0).rider
    assert there.band_rpm == (RIDER.band_rpm[0] + 6.0, RIDER.band_rpm[1] + 6.0)
    assert there.limits_rpm == RIDER.limits_rpm


def test_all_powers_go_in_proportion() -> None:
    given_rider = replace(RIDER, critical_power_w=240.0, largest_power_w=400.0)
    there = changed(replace(SETTING, rider=given_rider), Lever.POWER, 1.5 * RIDER.power_w).rider
    assert (there.critical_power_w, there.largest_power_w) == pytest.approx((360.0, 600.0))


@given(
    low=st.floats(20.0, 74.0),
    high=st.floats(96.0, 200.0),
    power_w=st.floats(20.0, 2000.0),
    mass_kg=st.floats(3.0, 20.0),
    tyre_mm=st.floats(20.0, 100.0),
)
def test_every_value_looked_at_is_one_that_rider_and_bike_can_have(
    low: float, high: float, power_w: float, mass_kg: float, tyre_mm: float
) -> None:
    rider = Rider(power_w=power_w, limits_rpm=(low, high))
    setting = replace(SETTING, rider=rider, bike=replace(BIKE, mass_kg=mass_kg, tyre_mm=tyre_mm))
    for lever, value in values_of(setting, made_contenders()):
        changed(setting, lever, value)  # raises where it is none
        least, own, most = span(setting, lever, made_contenders())
        assert least <= own <= most
        assert min(abs(value - end) for end in (least, most)) <= most - least


@cache
def made_contenders() -> tuple[Contender, ...]:
    return contenders()


def test_the_shortlist_is_of_its_side_the_best_first() -> None:
    every = contenders_of_search(searched(), PARTS)
    for rings in (1, 2):
        ranked, listed = best_first(every, rings), shortlist(every, rings)
        assert listed[0] is ranked[0]
        assert len(listed) <= SHORTLIST + 2
        assert set(map(id, listed)) <= set(map(id, ranked))


@cache
def many() -> tuple[Contender, ...]:
    """Single rings with a wide and with a close cassette: 40 drivetrains."""
    return tuple(
        contender_of_plan(
            Drivetrain(name=f"{ring} {name}", chainrings=(ring,), sprockets=sprockets),
            SETTING,
            PARTS,
            FRAME,
            has=False,
        )
        for ring in range(26, 46)
        for name, sprockets in (("wide", WIDE.sprockets), ("close", CLOSE.sprockets))
    )


def test_the_shortlist_has_both_ends_and_leaves_out_what_a_better_one_outreaches() -> None:
    listed = shortlist(many(), 1)
    names = [each.drivetrain.name for each in listed]
    assert len(listed) <= SHORTLIST + 2
    assert {"26 wide", "45 wide"} <= set(names)
    for each in listed:
        ratios = each.drivetrain.gear_ratios
        for other in listed:
            if other.mismatch < each.mismatch:
                reach = other.drivetrain.gear_ratios
                assert reach[0] < ratios[0] or reach[-1] > ratios[-1]


@pytest.mark.parametrize(
    ("lever", "value"), [(Lever.POWER, 100.0), (Lever.POWER, 350.0), (Lever.LOAD, 25.0)]
)
def test_the_best_elsewhere_is_on_the_shortlist_or_hardly_better(
    lever: Lever, value: float
) -> None:
    whole = standing_at(SETTING, many(), lever, value)
    short = standing_at(SETTING, shortlist(many(), 1), lever, value)
    assert near_tie(whole.one, short.one)


def test_the_shortlist_keeps_the_roomiest() -> None:
    one, two = made_contenders()
    narrow = TyreRoom(largest_mm=40.0, limit="frame", widest_mm=40.0)
    alike = [
        replace(one, room=narrow),
        replace(one, drivetrain=replace(one.drivetrain, name="roomier", mass_kg=0.5)),
    ]
    assert [each.drivetrain.name for each in shortlist([*alike, two], 1)] == ["small", "roomier"]


@pytest.mark.parametrize(
    ("one", "two", "behind", "tie"),
    [
        (2.0, 1.5, 1.0, False),  # half a point, the width of a near tie of small ones
        (2.0, 1.8, 0.4, True),
        (40.0, 38.0, 0.5, True),  # a tenth of 40
        (38.0, 40.0, -0.5, True),
        (math.inf, 3.0, math.inf, False),
        (3.0, math.inf, -math.inf, False),
        (math.inf, math.inf, 0.0, False),
    ],
)
def test_how_far_one_ring_is_behind_is_told_in_near_ties(
    one: float, two: float, behind: float, tie: bool
) -> None:
    standing = Standing(value=0.0, one=one, two=two, one_best=None, two_best=None)
    assert standing.behind == pytest.approx(behind)
    assert standing.is_near_tie is tie


def made_curve(*points: tuple[float, float, float]) -> LeverCurve:
    """A curve of load with the plan's own value at 0."""
    standings = [
        Standing(value=value, one=one, two=two, one_best=None, two_best=None)
        for value, one, two in points
    ]
    return LeverCurve(lever=Lever.LOAD, own=0.0, standings=tuple(standings), down=None, up=None)


def test_closest_and_the_first_near_tie_are_told() -> None:
    curve = made_curve((-5.0, 9.0, 5.0), (0.0, 9.0, 6.0), (10.0, 9.0, 8.4), (20.0, 9.0, 8.6))
    assert curve.closest.value == 20.0
    assert curve.first_tie is not None
    assert curve.first_tie.value == 10.0
    assert not curve.hardly_matters
    assert made_curve((0.0, 9.0, 6.0), (10.0, 9.2, 6.2)).hardly_matters
    assert np.isfinite(curve.closest.behind)
