import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_parts import FRAME, ONE, REAR_MECH, TWO, UNTOLD, assemblies, finding, no_worse, verdicts

from gearsim.physics.chain_length import chain_links
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.chain import (
    chain_findings,
    crossed_gears,
    links_needed_by,
    slack_gears,
    tension_finding,
)
from gearsim.setup.fit.finding import Verdict

OK, CAUTION, NOT = Verdict
chainstays_mm = st.floats(380.0, 500.0)


def test_chain_of_two_rings_reaches_largest_ring_and_sprocket_with_a_pair_to_spare() -> None:
    # 46/34 on 430 mm: the loop is 107.8 links, 108.3 with the 3 mm that a measurement may be off;
    # that is 110 whole links, and 2 more (common practice).
    assert 107.7 < chain_links(46, 34, 0.430) < 107.9
    assert links_needed_by(TWO.assembly, 430.0) == 112


def test_chain_of_one_ring_has_two_pairs_to_spare() -> None:
    # 42/34 on 430 mm: the loop is 105.8 links, 106.3 with the 3 mm; 108 and 4 (common practice).
    assert links_needed_by(ONE.assembly, 430.0) == 112


@pytest.mark.parametrize(
    ("links", "verdict"), [(108, NOT), (110, NOT), (111, NOT), (112, OK), (113, CAUTION)]
)
def test_a_chain_that_is_there_is_held_against_what_is_needed(links: int, verdict: Verdict) -> None:
    own = replace(TWO.assembly, chain_links=links)
    found = finding(chain_findings(own, 430.0, FRAME), "chain length")
    assert (found.verdict, found.number, found.limit) == (verdict, links, 112)


@given(assemblies(), chainstays_mm)
def test_a_chain_that_might_be_too_short_is_never_ok(
    assembly: Assembly, chainstay_mm: float
) -> None:
    loop = chain_links(assembly.chainrings[0], assembly.sprockets[-1], chainstay_mm / 1000.0)
    shortest = math.ceil(float(loop)) + 2
    for links in range(shortest - 12, shortest):
        own = replace(assembly, chain_links=links)
        assert finding(chain_findings(own, chainstay_mm, FRAME), "chain length").verdict is NOT


@given(assemblies(), chainstays_mm, st.floats(0.0, 40.0))
def test_a_longer_chainstay_never_needs_fewer_links(
    assembly: Assembly, chainstay_mm: float, longer_mm: float
) -> None:
    needed = links_needed_by(assembly, chainstay_mm)
    assert links_needed_by(assembly, chainstay_mm + longer_mm) >= needed
    assert needed % 2 == 0


@pytest.mark.parametrize("mech", [None, replace(REAR_MECH, low_sprocket=(28, 32))])
def test_without_a_rear_mech_that_fits_the_length_is_a_caution(mech: Any) -> None:
    found = chain_findings(replace(TWO.assembly, rear_mech=mech), 430.0, FRAME)
    length = finding(found, "chain length")
    assert (length.verdict, length.number) == (CAUTION, 112)


def test_one_chain_serves_all_gears_within_the_capacity() -> None:
    assert slack_gears(TWO.assembly, 430.0) == ()
    assert (
        finding(chain_findings(TWO.assembly, 430.0, FRAME), "one chain for all gears").number == 0
    )


def test_beyond_the_capacity_small_ring_and_small_sprockets_are_to_be_avoided() -> None:
    # 46-30 with 11-34 needs 39 teeth; 4 fewer leave 30×11 and 30×13 slack (4 and 2 teeth over).
    short = replace(TWO.assembly, rear_mech=replace(REAR_MECH, capacity_teeth=35))
    assert slack_gears(short, 430.0) == ((30, 11), (30, 13))
    found = finding(chain_findings(short, 430.0, FRAME), "one chain for all gears")
    assert (found.verdict, found.number, found.limit) == (CAUTION, 2, 0)
    assert "avoid 30×11, 30×13" in found.reason


def test_a_chain_too_long_hangs_slack_and_may_be_cut() -> None:
    # Capacity 40 leaves 1 tooth over the 39 needed; 2 links too many take 4.
    long = replace(TWO.assembly, chain_links=114)
    assert slack_gears(long, 430.0) == ((30, 11), (30, 13))
    found = finding(chain_findings(long, 430.0, FRAME), "one chain for all gears")
    assert found.reason.endswith("or cut it to 112 links")


@given(assemblies(), chainstays_mm)
def test_gears_that_are_not_told_slack_stay_within_the_capacity(
    assembly: Assembly, chainstay_mm: float
) -> None:
    mech, slack = assembly.rear_mech, slack_gears(assembly, chainstay_mm)
    assert mech is not None
    over = (assembly.chain_links or 0) - links_needed_by(assembly, chainstay_mm)
    for front in assembly.chainrings:
        for rear in assembly.sprockets:
            taken = assembly.chainrings[0] - front + assembly.sprockets[-1] - rear
            assert ((front, rear) in slack) == (taken + 2 * max(0, over) > mech.capacity_teeth)


@given(assemblies(), chainstays_mm, st.integers(1, 20))
def test_more_capacity_never_makes_a_finding_on_the_chain_worse(
    assembly: Assembly, chainstay_mm: float, more: int
) -> None:
    mech = assembly.rear_mech
    assert mech is not None
    larger = replace(assembly, rear_mech=replace(mech, capacity_teeth=mech.capacity_teeth + more))
    after = chain_findings(larger, chainstay_mm, UNTOLD)
    assert no_worse(verdicts(after), verdicts(chain_findings(assembly, chainstay_mm, UNTOLD)))
    assert set(slack_gears(larger, chainstay_mm)) <= set(slack_gears(assembly, chainstay_mm))


def test_two_rings_have_two_crossed_gears_at_least() -> None:
    # Common practice: large ring with largest sprocket, small ring with smallest.
    assembly = TWO.assembly
    crossed = crossed_gears(assembly.chainrings, assembly.sprockets, 430.0)
    assert crossed == ((46, 34), (30, 11))


def test_one_ring_has_no_crossed_gear_up_to_twelve_sprockets_on_usual_chainstays() -> None:
    for count in range(2, 13):
        assert crossed_gears((40,), tuple(range(11, 11 + count)), 420.0) == ()


def test_the_chain_line_is_the_angle_of_the_most_crossed_gear() -> None:
    # 5 sprockets of 3.74 mm and half a ring's 7.5 mm off, over 430 mm (from memory, see the chain).
    found = finding(chain_findings(TWO.assembly, 430.0, FRAME), "chain line")
    askew = math.degrees(math.atan((5 * 3.74 + 3.75) / 430.0))
    assert found.number == pytest.approx(askew, abs=0.005)
    assert found.verdict is OK
    short = finding(chain_findings(TWO.assembly, 425.0, FRAME), "chain line")
    assert (short.verdict, short.number, short.limit) == (CAUTION, 3.02, 3.0)


@given(assemblies(), chainstays_mm, st.floats(0.0, 40.0))
def test_a_longer_chainstay_crosses_no_more_gears(
    assembly: Assembly, chainstay_mm: float, longer_mm: float
) -> None:
    teeth = assembly.chainrings, assembly.sprockets
    crossed = set(crossed_gears(*teeth, chainstay_mm))
    assert set(crossed_gears(*teeth, chainstay_mm + longer_mm)) <= crossed


@pytest.mark.parametrize(
    ("mech", "verdict"),
    [(REAR_MECH, OK), (replace(REAR_MECH, clutch=False), CAUTION), (None, CAUTION)],
)
def test_one_ring_on_bumpy_ground_wants_a_clutch(mech: Any, verdict: Verdict) -> None:
    found = chain_findings(replace(ONE.assembly, rear_mech=mech), 430.0, FRAME)
    assert finding(found, "chain on one ring").verdict is verdict


def test_two_rings_are_not_asked_what_holds_a_single_one() -> None:
    assert "chain on one ring" not in verdicts(chain_findings(TWO.assembly, 430.0, FRAME))


def test_single_gear_s_chain_is_tightened_by_moving_the_hub() -> None:
    # 42/17 on 430 mm: the loop is 97.7 links; to 98, a third of a link there and back.
    loop = float(chain_links(42, 17, 0.430))
    found = tension_finding(42, 17, 430.0, FRAME)
    assert found.number == pytest.approx((98 - loop) * 12.7 / 2.0, abs=0.05)
    assert found.reason.startswith("98 links")
    back_m = found.number / 1000.0
    assert chain_links(42, 17, 0.430 + back_m) == pytest.approx(98.0, abs=0.02)


@pytest.mark.parametrize(("tightens", "verdict"), [(True, OK), (None, CAUTION), (False, NOT)])
def test_a_chain_without_a_rear_mech_must_be_tightened(tightens: Any, verdict: Verdict) -> None:
    frame = replace(FRAME, chain_tensioning=tightens)
    fixed = Assembly(chainrings=(42,), sprockets=(17,))
    assert verdicts(chain_findings(fixed, 430.0, frame)) == {"chain tension": verdict}
