from dataclasses import replace
from typing import Any

import pytest
from made_parts import BIKE, FRAME, HUB, PARTS, UNTOLD, finding, verdicts

from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.build import InternalBuild
from gearsim.setup.fit.finding import Verdict, verdict_of
from gearsim.setup.fit.fitment import drivetrain_findings, findings_of
from gearsim.setup.fit.internal_gears import one_drive

OK, CAUTION, NOT = Verdict
BUILT = InternalBuild(internal_gear=HUB, chainring=40, sprocket=20)


def test_a_hub_gear_that_suits_the_bike_is_ok() -> None:
    assert verdict_of(findings_of(BUILT, BIKE, FRAME)) is OK


@pytest.mark.parametrize(("sprocket", "verdict"), [(21, OK), (22, NOT)])
def test_too_low_a_drive_is_more_torque_than_the_gear_is_built_for(
    sprocket: int, verdict: Verdict
) -> None:
    # 40/21 is 1.905, 40/22 is 1.818; the limit is 1.9.
    found = findings_of(replace(BUILT, sprocket=sprocket), BIKE, FRAME)
    assert finding(found, "drive ratio").verdict is verdict


def test_what_the_plan_does_not_tell_of_the_bike_is_a_caution() -> None:
    found = verdicts(findings_of(BUILT, BIKE, UNTOLD))
    assert found.pop("drive ratio") is OK
    assert found == {
        "chain tension": CAUTION,
        "largest ring, frame": CAUTION,
        "tyre, frame": CAUTION,
    }


@pytest.mark.parametrize(("mount", "verdict"), [(True, OK), (False, NOT)])
def test_a_gearbox_needs_a_frame_made_for_it(mount: bool, verdict: Verdict) -> None:
    gearbox = replace(BUILT, internal_gear=replace(HUB, place="gearbox"))
    found = findings_of(gearbox, BIKE, replace(FRAME, gearbox_mount=mount))
    assert finding(found, "gearbox mount").verdict is verdict
    assert finding(found, "gearbox mount").limit is None


def test_chainring_over_sprocket_is_found_from_whole_ratios() -> None:
    assert one_drive(HUB, BUILT.drivetrain.ratios) == pytest.approx(2.0, rel=1e-12)
    assert one_drive(HUB, (3.0, 2.0, 1.5, 1.01)) == pytest.approx(2.0, rel=0.01)
    assert one_drive(HUB, (3.0, 2.0, 1.5, 1.03)) is None
    assert one_drive(HUB, (3.0, 2.0)) is None


@pytest.mark.parametrize(
    ("ratios", "name", "verdict"),
    [
        ((1.0, 1.5, 2.0, 3.0), "hub", OK),
        ((0.9, 1.35, 1.8, 2.7), "hub", NOT),
        ((1.0, 1.5, 2.0, 3.3), "hub", NOT),
        ((1.0, 1.5, 2.0, 3.0), None, CAUTION),
    ],
)
def test_drive_of_a_plan_s_ratios_is_held_against_the_gear_named(
    ratios: tuple[float, ...], name: Any, verdict: Verdict
) -> None:
    drivetrain = Drivetrain(ratios=ratios, internal_gear=name)
    found = drivetrain_findings(drivetrain, PARTS, BIKE, FRAME)
    assert finding(found, "drive ratio").verdict is verdict


def test_gears_of_the_parts_list_that_ratios_may_be_of_are_named() -> None:
    told = drivetrain_findings(Drivetrain(ratios=(1.0, 1.5, 2.0, 3.0)), PARTS, BIKE, FRAME)
    assert finding(told, "internal gear").reason.endswith("(4 ratios): 'hub'")
    none = drivetrain_findings(Drivetrain(ratios=(1.0, 2.0)), PARTS, BIKE, FRAME)
    assert "none in the parts list" in finding(none, "internal gear").reason


@pytest.mark.parametrize(("tightens", "verdict"), [(True, OK), (None, CAUTION), (False, NOT)])
def test_a_plan_s_hub_gear_needs_its_chain_tightened(tightens: Any, verdict: Verdict) -> None:
    drivetrain = Drivetrain(ratios=(1.0, 2.0))
    frame = replace(FRAME, chain_tensioning=tightens)
    found = drivetrain_findings(drivetrain, PARTS, BIKE, frame)
    assert finding(found, "chain tension").verdict is verdict
