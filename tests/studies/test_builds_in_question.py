from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_parts import CASSETTE, FRAME, FRONT_MECH, REAR_MECH, TWO_RINGS, UNTOLD
from made_search import (
    BIG_RING,
    BIKE,
    HEAVY_CAGE,
    LIGHT_CAGE,
    LONG_CAGE,
    NOW,
    PARTS,
    SECOND_FRONT,
    SMALL_RING,
    WIDE,
)

from gearsim.errors import PlanError
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.build import Build, InternalBuild
from gearsim.setup.fit.finding import Verdict, verdict_of
from gearsim.setup.fit.fitment import findings_of
from gearsim.setup.frame import Frame
from gearsim.setup.parts.parts_list import PartsList, load_parts
from gearsim.setup.wishes import Wishes
from gearsim.studies.search.builds_in_question import TWIN, InQuestion, builds_in_question
from gearsim.studies.search.prospect import Prospect


def asked(
    wishes: Wishes | None = None,
    *,
    now: Drivetrain = NOW,
    parts: PartsList = PARTS,
    frame: Frame = FRAME,
    bike: Bike = BIKE,
) -> InQuestion:
    return builds_in_question(now, parts, bike, frame, wishes or Wishes())


def gears(found: InQuestion) -> set[tuple]:
    return {(p.drivetrain.chainrings, p.drivetrain.sprockets) for p in found.prospects}


def builds(found: InQuestion) -> list[Build]:
    return [p.build for p in found.prospects if isinstance(p.build, Build)]


def test_every_pair_is_a_build_or_left_out_for_a_reason() -> None:
    found = asked()
    assert found.considered == len(PARTS.chainsets) * len(PARTS.cassettes)
    assert found.considered == len(found.prospects) + sum(found.left_out.values())
    # ten sprockets on an 11 shifter; a ring of 48 alone where 44 clears; the gears there are.
    assert found.left_out["sprockets, shifter"] == 3
    assert found.left_out["largest ring, frame"] == 4
    assert found.left_out["same gears as now"] == 1
    assert next(iter(found.left_out)) == "largest ring, frame"


def test_nothing_in_question_does_not_fit() -> None:
    for found in (asked(), asked(frame=UNTOLD), asked(Wishes(internal_gears=True))):
        for each in found.prospects:
            assert (
                verdict_of(findings_of(each.build, BIKE, found.frame)) is not Verdict.DOES_NOT_FIT
            )


def test_mechs_that_are_there_stay_and_else_the_lightest_that_fits_is_taken() -> None:
    (two,) = (each for each in builds(asked()) if each.chainset is TWO_RINGS)
    assert (two.rear_mech, two.cassette.name) == (REAR_MECH, "close")
    unnamed = replace(NOW, rear_mech=None)
    (two,) = (each for each in builds(asked(now=unnamed)) if each.chainset is TWO_RINGS)
    assert two.rear_mech is LIGHT_CAGE


def test_light_mech_with_a_caution_comes_after_one_without() -> None:
    unnamed = replace(NOW, rear_mech=None)
    one = [each for each in builds(asked(now=unnamed)) if each.cassette is CASSETTE]
    assert {each.chainset.chainrings for each in one} == {(42,), (36,)}
    assert all(each.rear_mech is REAR_MECH for each in one)  # the light cage has no clutch


def test_what_is_to_buy_is_what_is_not_there() -> None:
    small = [p for p in asked().prospects if p.name == "36 × cassette"]
    assert [(each.to_buy, each.price) for each in small] == [(("small ring",), 150.0)]
    (wide,) = (p for p in asked().prospects if p.name == "36 × wide")
    assert (wide.to_buy, wide.price) == (("small ring", "wide", "long cage"), 320.0)
    (known,) = (p for p in asked().prospects if p.name == "42 × wide")
    assert known.price is None  # its chainset has no price


UNNAMED = replace(NOW, rear_mech=None, front_mech=None)


def test_lighter_build_with_more_to_check_does_not_put_out_one_with_less() -> None:
    light = replace(SMALL_RING, name="for another chain", chain_sprockets=(12, 12), mass_g=500.0)
    found = asked(parts=replace(PARTS, chainsets=(light, *PARTS.chainsets)))
    same = [p for p in found.prospects if gears_are(p, SMALL_RING.chainrings, WIDE.sprockets)]
    assert sorted((each.build.mass_kg, len(each.cautions)) for each in same) == [
        (pytest.approx(same[1].build.mass_kg - 0.12), 2),
        (same[1].build.mass_kg, 1),
    ]


def gears_are(prospect: Prospect, rings: tuple[int, ...], sprockets: tuple[int, ...]) -> bool:
    return (prospect.drivetrain.chainrings, prospect.drivetrain.sprockets) == (rings, sprockets)


def test_mechs_that_are_taken_to_be_there_need_not_be_bought() -> None:
    found = asked(Wishes(keep_chainset=True), now=UNNAMED)
    assert [(each.name, each.to_buy, each.price) for each in found.prospects] == [
        ("46-30 × close", ("close",), 60.0)
    ]


def test_cap_on_the_price_asks_for_no_price_of_a_mech_that_is_taken_to_be_there() -> None:
    assert FRONT_MECH.price is None
    found = asked(Wishes(keep_chainset=True, largest_price=60.0), now=UNNAMED)
    assert [each.to_buy for each in found.prospects] == [("close",)]


def test_mech_that_is_taken_for_one_s_own_is_not_one_to_be_kept() -> None:
    with pytest.raises(PlanError, match="does not say which it has; give its rear_mech"):
        asked(Wishes(keep_rear_mech=True), now=UNNAMED)


def test_wider_tyre_needs_another_front_mech() -> None:
    found = asked(Wishes(smallest_tyre_mm=44.0))
    (two,) = (each for each in builds(found) if len(each.chainset.chainrings) == 2)
    assert two.front_mech is SECOND_FRONT
    parts = replace(PARTS, front_mechs=PARTS.front_mechs[:1])
    none = asked(Wishes(smallest_tyre_mm=44.0), parts=parts)
    assert none.left_out["no front mech"] == 1


def test_dearer_lighter_mech_gives_way_where_the_price_is_capped() -> None:
    parts = replace(PARTS, rear_mechs=(replace(REAR_MECH, price=300.0), HEAVY_CAGE, LONG_CAGE))
    unsuited = replace(NOW, rear_mech=LONG_CAGE.name)
    found = asked(Wishes(largest_price=200.0), now=unsuited, parts=parts)
    assert {each.rear_mech for each in builds(found)} == {HEAVY_CAGE}
    assert SMALL_RING in {each.chainset for each in builds(found)}
    assert {each.price for each in found.prospects} == {190.0, 100.0}
    assert found.left_out["no price"] > 0


def test_cap_below_all_prices_leaves_nothing_and_says_why() -> None:
    with pytest.raises(PlanError, match=r"of 16 builds none fits .* largest ring, frame: 4"):
        asked(Wishes(largest_price=1.0))


def test_builds_of_the_same_gears_that_are_no_better_are_left_out() -> None:
    heavier = replace(SMALL_RING, name="heavier", mass_g=700.0)
    cheaper = replace(SMALL_RING, name="cheaper", mass_g=700.0, price=100.0)
    parts = replace(PARTS, chainsets=(*PARTS.chainsets, heavier))
    found = asked(parts=parts)
    assert gears(found) == gears(asked())
    assert found.left_out[TWIN] == 3
    assert not [each for each in builds(found) if each.chainset is heavier]
    both = asked(parts=replace(PARTS, chainsets=(*PARTS.chainsets, cheaper)))
    assert len([each for each in builds(both) if each.chainset is cheaper]) == 3
    names = [each.name for each in both.prospects]
    assert len(set(names)) == len(names)


def test_with_a_kept_rear_mech_the_reason_is_its_own_limit() -> None:
    found = asked(Wishes(keep_rear_mech=True))
    assert {each.rear_mech for each in builds(found)} == {REAR_MECH}
    assert found.left_out["largest sprocket"] > 0  # 42 teeth where it allows 34


def test_fixed_efficiency_of_what_is_there_holds_for_other_chain_drives() -> None:
    found = asked(Wishes(internal_gears=True), now=replace(NOW, efficiency=0.95))
    efficiencies = {isinstance(p.build, Build): p.drivetrain.efficiency for p in found.prospects}
    assert efficiencies == {True: 0.95, False: 0.94}


def test_drives_of_an_internal_gear_begin_at_the_lowest_allowed_and_stand_apart() -> None:
    found = asked(Wishes(internal_gears=True))
    drives = [p.build.drive for p in found.prospects if isinstance(p.build, InternalBuild)]
    assert len(drives) > 5
    assert drives[0] == pytest.approx(1.9, abs=0.03)
    assert min(b / a for a, b in pairwise(drives)) >= 1.05
    assert max(drives) <= 1.6 * 1.9


@pytest.mark.parametrize(
    ("wishes", "now", "told"),
    [
        (Wishes(keep_chainset=True, chainrings=1), NOW, "the chainset to be kept has 2"),
        (Wishes(smallest_tyre_mm=50.0), NOW, "frame.largest_tyre_mm is 45: nothing can fit"),
        (
            Wishes(keep_cassette=True),
            Drivetrain(name="hub", ratios=(1.0, 2.0), mass_kg=2.0),
            "search.keep_cassette is true, but 'hub' has none",
        ),
    ],
)
def test_wishes_that_what_is_there_rules_out_are_refused(
    wishes: Wishes, now: Drivetrain, told: str
) -> None:
    with pytest.raises(PlanError) as caught:
        asked(wishes, now=now)
    assert told in str(caught.value)


def wished() -> st.SearchStrategy[Wishes]:
    return st.builds(
        Wishes,
        keep_cassette=st.booleans(),
        chainrings=st.sampled_from([None, 1, 2]),
        smallest_tyre_mm=st.sampled_from([None, 38.0, 44.0]),
        largest_mass_kg=st.sampled_from([None, 1.4, 1.6]),
        largest_price=st.sampled_from([None, 100.0, 250.0]),
    )


def prospects_of(wishes: Wishes) -> tuple[Prospect, ...]:
    """What comes into question; nothing where nothing is left."""
    try:
        return asked(wishes).prospects
    except PlanError:
        return ()


def test_wishes_drawn_below_leave_something_more_often_than_not() -> None:
    # Else the two properties would hold of nothing.
    assert len(prospects_of(Wishes(chainrings=1, largest_mass_kg=1.6))) >= 4
    assert len(prospects_of(Wishes(keep_cassette=True, largest_price=250.0))) >= 1


@given(wished())
def test_wishes_are_honoured(wishes: Wishes) -> None:
    room = replace(BIKE, tyre_mm=max(BIKE.tyre_mm, wishes.smallest_tyre_mm or 0.0))
    for each in prospects_of(wishes):
        build = each.build
        assert isinstance(build, Build)
        assert not wishes.keep_cassette or build.cassette.sprockets == NOW.sprockets
        assert wishes.chainrings in (None, len(build.chainset.chainrings))
        assert verdict_of(findings_of(build, room, FRAME)) is not Verdict.DOES_NOT_FIT
        assert wishes.largest_mass_kg is None or build.mass_kg <= wishes.largest_mass_kg
        if wishes.largest_price is not None:
            assert each.price is not None
            assert each.price <= wishes.largest_price


@given(wished())
def test_a_wish_more_never_brings_a_build_more(wishes: Wishes) -> None:
    names = {each.name for each in prospects_of(wishes)}
    assert names <= {each.name for each in asked().prospects}


def test_the_whole_list_gives_the_same_builds_in_the_same_order() -> None:
    parts = load_parts()
    first, second = (
        asked(parts=parts, now=replace(NOW, chainset=None, rear_mech=None, front_mech=None))
        for _ in range(2)
    )
    assert first == second
    assert len(first.prospects) > 50
    assert BIG_RING not in {each.chainset for each in builds(first)}
