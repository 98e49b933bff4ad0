from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_parts import FRAME, ONE, TWO, UNTOLD, assemblies, finding, no_worse, verdicts

from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.finding import Verdict, verdict_of
from gearsim.setup.fit.frame import chain_width_finding, frame_findings
from gearsim.setup.frame import Frame

OK, CAUTION, NOT = Verdict


@pytest.mark.parametrize("build", [ONE, TWO])
def test_parts_that_suit_the_bike_are_ok(build: Any) -> None:
    assert verdict_of(frame_findings(build.assembly, 40.0, FRAME)) is OK


@pytest.mark.parametrize(
    ("frame", "subject", "verdict"),
    [
        ({"largest_ring_of_two": 46}, "largest ring, frame", OK),
        ({"largest_ring_of_two": 45}, "largest ring, frame", NOT),
        ({"largest_ring_alone": 30}, "largest ring, frame", OK),
        ({"largest_tyre_mm": 39.0}, "tyre, frame", NOT),
        ({"shifter_sprockets": 10}, "sprockets, shifter", NOT),
        ({"shifter_sprockets": 12}, "sprockets, shifter", NOT),
        ({"shifter_chainrings": 1}, "chainrings, shifter", NOT),
        ({"shifter_chainrings": 3}, "chainrings, shifter", CAUTION),
        ({"front_mech_mount": False}, "front mech mount", NOT),
        ({"driver_body": "splined, fine"}, "driver body", NOT),
        ({"driver_body": "splined, 8 to 10"}, "driver body", NOT),
    ],
)
def test_two_rings_are_held_against_the_bike(
    frame: dict[str, Any], subject: str, verdict: Verdict
) -> None:
    found = frame_findings(TWO.assembly, 40.0, replace(FRAME, **frame))
    assert finding(found, subject).verdict is verdict


def test_one_ring_is_held_against_the_limit_of_one() -> None:
    found = frame_findings(ONE.assembly, 40.0, replace(FRAME, largest_ring_alone=41))
    ring = finding(found, "largest ring, frame")
    assert (ring.verdict, ring.number, ring.limit) == (NOT, 42, 41)


def test_one_ring_asks_nothing_of_front_shifting() -> None:
    frame = replace(FRAME, front_mech_mount=False, shifter_chainrings=1)
    assert verdict_of(frame_findings(ONE.assembly, 40.0, frame)) is OK


def test_what_the_plan_does_not_tell_of_the_bike_is_a_caution() -> None:
    found = verdicts(frame_findings(TWO.assembly, 40.0, UNTOLD))
    assert found.pop("sprockets, chainset") is OK
    assert set(found.values()) == {CAUTION}


def test_an_older_cassette_goes_on_the_longer_body_with_a_spacer() -> None:
    # Common practice, from memory.
    older = replace(TWO.assembly, driver_body="splined, 8 to 10")
    assert finding(frame_findings(older, 40.0, FRAME), "driver body").verdict is CAUTION


@pytest.mark.parametrize(("smallest", "verdict"), [(10, NOT), (11, CAUTION)])
def test_teeth_tell_whether_a_cassette_of_no_told_class_has_room(
    smallest: int, verdict: Verdict
) -> None:
    untold = Assembly(chainrings=(42,), sprockets=(smallest, 20))
    found = finding(frame_findings(untold, 40.0, FRAME), "driver body")
    assert (found.verdict, found.number, found.limit) == (verdict, smallest, 11)


@pytest.mark.parametrize(
    ("sprockets", "verdict", "limit"),
    [(8, NOT, 10), (9, CAUTION, 10), (10, OK, 10), (12, OK, 12), (13, CAUTION, 12), (14, NOT, 12)],
)
def test_chain_of_so_many_sprockets_is_held_against_the_chainset(
    sprockets: int, verdict: Verdict, limit: int
) -> None:
    found = chain_width_finding(sprockets, (10, 12))
    assert (found.verdict, found.limit) == (verdict, limit)


@given(assemblies(), st.integers(24, 54), st.integers(0, 20), st.floats(20.0, 60.0))
def test_more_room_never_makes_a_finding_worse(
    assembly: Assembly, ring: int, more: int, tyre_mm: float
) -> None:
    less = Frame(largest_ring_alone=ring, largest_ring_of_two=ring, largest_tyre_mm=tyre_mm)
    roomy = Frame(
        largest_ring_alone=ring + more,
        largest_ring_of_two=ring + more,
        largest_tyre_mm=tyre_mm + more,
    )
    before = frame_findings(assembly, 40.0, less)
    assert no_worse(verdicts(frame_findings(assembly, 40.0, roomy)), verdicts(before))
