from dataclasses import replace

import pytest
from made_parts import (
    BIKE,
    ELEVEN_34,
    FRAME,
    ONE,
    PARTS,
    REAR_MECH,
    TWO,
    UNTOLD,
    finding,
    verdicts,
)

from gearsim.errors import PlanError
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.build import Build
from gearsim.setup.fit.finding import Verdict, verdict_of
from gearsim.setup.fit.fitment import drivetrain_findings, findings_of, fits_of
from gearsim.setup.parts.parts_list import load_parts

OK, CAUTION, NOT = Verdict


@pytest.mark.parametrize("build", [ONE, TWO])
def test_parts_that_suit_each_other_and_the_bike_are_ok(build: Build) -> None:
    assert set(verdicts(findings_of(build, BIKE, FRAME)).values()) == {OK}


def test_every_finding_has_a_subject_of_its_own_and_a_reason() -> None:
    for build in (ONE, TWO):
        found = findings_of(build, BIKE, UNTOLD)
        assert len({each.subject for each in found}) == len(found)
        assert all(each.reason and "\n" not in each.reason for each in found)


def test_the_worst_finding_is_the_verdict() -> None:
    assert verdict_of(()) is OK
    assert verdict_of(findings_of(TWO, BIKE, UNTOLD)) is CAUTION
    wide = replace(BIKE, tyre_mm=50.0)
    assert verdict_of(findings_of(TWO, wide, FRAME)) is NOT


@pytest.mark.parametrize("build", [ONE, TWO])
def test_a_build_s_drivetrain_has_the_same_findings_in_a_plan(build: Build) -> None:
    assert drivetrain_findings(build.drivetrain, PARTS, BIKE, FRAME) == findings_of(
        build, BIKE, FRAME
    )


def test_a_chainset_of_other_chainrings_is_refused() -> None:
    wrong = replace(TWO.drivetrain, chainrings=(46, 32))
    with pytest.raises(PlanError, match=r"chainset 'two rings' has chainrings 46-30, not 46-32"):
        drivetrain_findings(wrong, PARTS, BIKE, FRAME)


def test_mechs_that_would_do_are_named_where_none_is_told() -> None:
    untold = Drivetrain(chainrings=(46, 30), sprockets=ELEVEN_34)
    found = drivetrain_findings(untold, PARTS, BIKE, FRAME)
    rear, front = finding(found, "rear mech"), finding(found, "front mech")
    assert (rear.verdict, front.verdict) == (CAUTION, CAUTION)
    assert rear.reason.endswith("(11-34 teeth, capacity 39, 11 sprockets): 'rear mech'")
    assert front.reason.endswith("(ring 46, gap 16, 2 rings, tyre 40 mm): 'front mech'")


def test_it_is_told_where_no_mech_of_the_list_would_do() -> None:
    wide = Drivetrain(chainrings=(50, 30), sprockets=(*ELEVEN_34[:-1], 50))
    found = drivetrain_findings(wide, PARTS, BIKE, FRAME)
    for subject in ("rear mech", "front mech"):
        assert "none in the parts list" in finding(found, subject).reason


def test_only_a_few_of_many_mechs_that_would_do_are_named() -> None:
    many = replace(
        PARTS, rear_mechs=tuple(replace(REAR_MECH, name=f"m{n}", mass_g=300 - n) for n in range(5))
    )
    untold = Drivetrain(chainrings=(42,), sprockets=ELEVEN_34)
    found = finding(drivetrain_findings(untold, many, BIKE, FRAME), "rear mech")
    assert found.reason.endswith("'m4', 'm3', 'm2' and 2 more")


def test_a_mech_that_would_do_has_no_finding_against_it_once_it_is_told() -> None:
    parts = load_parts()
    untold = Drivetrain(chainrings=(46, 30), sprockets=ELEVEN_34)
    reason = finding(drivetrain_findings(untold, parts, BIKE, FRAME), "rear mech").reason
    name = reason.split("'")[1]
    told = drivetrain_findings(replace(untold, rear_mech=name), parts, BIKE, FRAME)
    for subject in ("smallest sprocket", "largest sprocket", "total capacity", "chain length"):
        assert finding(told, subject).verdict is OK


def test_a_single_gear_asks_for_no_mech() -> None:
    found = verdicts(
        fits_of([Drivetrain(chainrings=(42,), sprockets=(17,))], PARTS, BIKE, FRAME)[0].findings
    )
    assert set(found) == {"largest ring, frame", "tyre, frame", "driver body", "chain tension"}


@pytest.mark.parametrize("key", ["chainset", "rear_mech", "front_mech"])
def test_a_name_that_the_parts_list_does_not_have_is_refused(key: str) -> None:
    wrong = Drivetrain(chainrings=(46, 30), sprockets=ELEVEN_34, **{key: "nothing"})
    with pytest.raises(PlanError, match="is not in the parts list"):
        drivetrain_findings(wrong, PARTS, BIKE, FRAME)


def test_a_gravel_drivetrain_of_the_parts_list_suits_a_gravel_bike() -> None:
    # Sizes that are sold together: common practice, no source.
    parts = load_parts()
    suits = Drivetrain(
        chainrings=(46, 30),
        sprockets=parts.cassette("11-34, 11 sprockets").sprockets,
        chainset="46-30 gravel, 11 to 12 sprockets",
        rear_mech="11 sprockets, gravel, two rings, low to 34, clutch",
        front_mech="two rings, gravel, small rings, up to 48",
        driver_body="splined, long",
    )
    road = replace(suits, name="road", front_mech="two rings, road, up to 54")
    first, second = fits_of([suits, road], parts, BIKE, FRAME)
    assert (first.verdict, first.count(CAUTION), first.count(NOT)) == (OK, 0, 0)
    # The road mech clears a tyre of 35 mm, not one of 40.
    assert (second.verdict, second.count(NOT)) == (NOT, 1)
    assert finding(second.findings, "tyre, front mech").limit == 35
