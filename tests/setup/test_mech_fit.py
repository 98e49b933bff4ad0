from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_parts import (
    ELEVEN_34,
    FRONT_MECH,
    REAR_MECH,
    TWO,
    assemblies,
    finding,
    no_worse,
    verdicts,
)

from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.finding import Verdict, verdict_of
from gearsim.setup.fit.mechs import front_mech_findings, rear_mech_findings

OK, CAUTION, NOT = Verdict


def test_mechs_that_suit_are_ok() -> None:
    assert verdict_of(rear_mech_findings(TWO.assembly)) is OK
    assert verdict_of(front_mech_findings(TWO.assembly, 40.0)) is OK


@pytest.mark.parametrize(
    ("mech", "subject", "verdict", "number", "limit"),
    [
        ({"smallest_sprocket": 12}, "smallest sprocket", NOT, 11, 12),
        ({"low_sprocket": (25, 32)}, "largest sprocket", NOT, 34, 32),
        ({"low_sprocket": (36, 46)}, "largest sprocket", CAUTION, 34, 36),
        ({"low_sprocket": (34, 34)}, "largest sprocket", OK, 34, 34),
        ({"capacity_teeth": 39}, "total capacity", OK, 39, 39),
        ({"capacity_teeth": 38}, "total capacity", NOT, 39, 38),
        ({"sprockets": 10}, "sprockets, rear mech", NOT, 11, 10),
        ({"sprockets": 12}, "sprockets, rear mech", CAUTION, 11, 12),
        ({"most_chainrings": 1}, "chainrings, rear mech", NOT, 2, 1),
        ({"most_chainrings": 3}, "chainrings, rear mech", OK, 2, 3),
    ],
)
def test_rear_mech_is_held_against_its_limits(
    mech: dict[str, Any], subject: str, verdict: Verdict, number: float, limit: float
) -> None:
    assembly = replace(TWO.assembly, rear_mech=replace(REAR_MECH, **mech))
    found = finding(rear_mech_findings(assembly), subject)
    assert (found.verdict, found.number, found.limit) == (verdict, number, limit)


@pytest.mark.parametrize(
    ("mech", "subject", "verdict", "number", "limit"),
    [
        ({"largest_gap_teeth": 16}, "front gap", OK, 16, 16),
        ({"largest_gap_teeth": 15}, "front gap", NOT, 16, 15),
        ({"largest_ring": (30, 44)}, "largest ring, front mech", NOT, 46, 44),
        ({"largest_ring": (48, 52)}, "largest ring, front mech", CAUTION, 46, 48),
        ({"chainrings": 3}, "chainrings, front mech", NOT, 2, 3),
        ({"largest_tyre_mm": 38.0}, "tyre, front mech", NOT, 40, 38),
        ({"largest_tyre_mm": 40.0}, "tyre, front mech", OK, 40, 40),
    ],
)
def test_front_mech_is_held_against_its_limits(
    mech: dict[str, Any], subject: str, verdict: Verdict, number: float, limit: float
) -> None:
    assembly = replace(TWO.assembly, front_mech=replace(FRONT_MECH, **mech))
    found = finding(front_mech_findings(assembly, 40.0), subject)
    assert (found.verdict, found.number, found.limit) == (verdict, number, limit)


def test_what_no_mech_is_told_for_is_a_caution_with_the_number_to_look_up() -> None:
    untold = replace(TWO.assembly, rear_mech=None, front_mech=None)
    found = [*rear_mech_findings(untold), *front_mech_findings(untold, 40.0)]
    numbers = {each.subject: each.number for each in found if each.verdict is CAUTION}
    assert numbers == {
        "smallest sprocket": 11,
        "largest sprocket": 34,
        "total capacity": 39,
        "sprockets, rear mech": 11,
        "chainrings, rear mech": 2,
        "front gap": 16,
        "chainrings, front mech": 2,
        "largest ring, front mech": 46,
    }


@pytest.mark.parametrize(("tyre_mm", "verdict"), [(42.0, OK), (43.0, CAUTION)])
def test_a_front_mech_commonly_limits_a_gravel_frame_to_42_mm(
    tyre_mm: float, verdict: Verdict
) -> None:
    # Common practice, no source.
    found = front_mech_findings(replace(TWO.assembly, front_mech=None), tyre_mm)
    assert finding(found, "tyre, front mech").verdict is verdict


@pytest.mark.parametrize(("inner", "wide"), [(30, False), (29, True)])
def test_17_teeth_between_chainrings_are_told_to_be_wide(inner: int, wide: bool) -> None:
    # Common practice, no source.
    untold = Assembly(chainrings=(46, inner), sprockets=ELEVEN_34)
    assert ("wide" in finding(front_mech_findings(untold, 40.0), "front gap").reason) is wide


def test_a_single_gear_needs_no_mech_and_one_ring_no_front_mech() -> None:
    assert rear_mech_findings(Assembly(chainrings=(42,), sprockets=(17,))) == []
    assert front_mech_findings(Assembly(chainrings=(42,), sprockets=ELEVEN_34), 40.0) == []


@given(assemblies(), st.integers(1, 20))
def test_more_capacity_never_makes_a_finding_worse(assembly: Assembly, more: int) -> None:
    mech = assembly.rear_mech
    assert mech is not None
    larger = replace(mech, capacity_teeth=mech.capacity_teeth + more)
    after = rear_mech_findings(replace(assembly, rear_mech=larger))
    assert no_worse(verdicts(after), verdicts(rear_mech_findings(assembly)))


@given(assemblies())
def test_a_limit_passed_is_never_ok(assembly: Assembly) -> None:
    mech, found = assembly.rear_mech, verdicts(rear_mech_findings(assembly))
    assert mech is not None
    rears, rings = assembly.sprockets, assembly.chainrings
    slack = rings[0] - rings[-1] + rears[-1] - rears[0]
    assert (found["total capacity"] is OK) == (slack <= mech.capacity_teeth)
    assert (found["smallest sprocket"] is OK) == (rears[0] >= mech.smallest_sprocket)
    within = mech.low_sprocket[0] <= rears[-1] <= mech.low_sprocket[1]
    assert (found["largest sprocket"] is OK) == within
    assert (found["chainrings, rear mech"] is OK) == (len(rings) <= mech.most_chainrings)
    assert (found["sprockets, rear mech"] is OK) == (len(rears) == mech.sprockets)
