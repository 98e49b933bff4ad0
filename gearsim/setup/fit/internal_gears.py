"""Whether a hub gear or gearbox can be driven as it is meant to be."""

from __future__ import annotations

from gearsim.setup.fit.chain import tension_finding
from gearsim.setup.fit.finding import Finding, Question, Rule, Verdict, said
from gearsim.setup.fit.frame import RING_ALONE
from gearsim.setup.frame import Frame
from gearsim.setup.parts.kinds import InternalGear

SAME_RATIO = 0.02
"""Ratios that differ by less come from one chainring and sprocket (printed ratios are rounded)."""

DRIVE = Rule(
    subject="drive ratio",
    unit="to 1",
    kept="not below what the gear is built for (chainring over sprocket)",
    broken="below what its maker allows: more torque than the gear is built for",
    untold="no internal gear told; its maker must allow this ratio of chainring to sprocket",
)
TENSION = Question(
    subject="chain tension",
    yes="the frame can tighten the chain",
    no="nothing on this frame tightens the chain; fit a tensioner",
    untold="frame.chain_tensioning not told; a chain without a rear mech must be tightened",
)
GEARBOX_MOUNT = Question(
    subject="gearbox mount",
    yes="the frame is made for a gearbox",
    no="a gearbox needs a frame made for it; say frame.gearbox_mount = true if yours is",
)


def internal_findings(
    gear: InternalGear, chainring: int, sprocket: int, chainstay_mm: float, frame: Frame
) -> list[Finding]:
    """Torque, chain tension, chainring and frame of a gear driven from a ring to a sprocket."""
    return [
        DRIVE.at_least(chainring / sprocket, gear.smallest_drive),
        tension_finding(chainring, sprocket, chainstay_mm, frame),
        RING_ALONE.at_most(chainring, frame.largest_ring_alone),
        *gearbox_findings(gear, frame),
    ]


def ratio_findings(
    gear: InternalGear | None, ratios: tuple[float, ...], frame: Frame
) -> list[Finding]:
    """The same of a drivetrain of which only the whole ratios (chain included) are told."""
    tension = TENSION.answered(frame.chain_tensioning)
    if gear is None:
        why = "no internal_gear told; look up the lowest chainring over sprocket that it allows"
        return [said(DRIVE.subject, Verdict.CAUTION, why), tension]
    return [_drive_of_ratios(gear, ratios), tension, *gearbox_findings(gear, frame)]


def one_drive(gear: InternalGear, ratios: tuple[float, ...]) -> float | None:
    """The chainring over sprocket that makes the gear's own ratios into these; None: none does.

    `ratios` are whole ones, chain included, highest first.
    """
    own = sorted(gear.ratios, reverse=True)
    if len(own) != len(ratios):
        return None
    drives = [whole / inner for whole, inner in zip(ratios, own, strict=True)]
    if max(drives) > min(drives) * (1.0 + SAME_RATIO):
        return None
    return sum(drives) / len(drives)


def _drive_of_ratios(gear: InternalGear, ratios: tuple[float, ...]) -> Finding:
    drive = one_drive(gear, ratios)
    if drive is None:
        why = f"these ratios are not those of {gear.name!r} times one chainring over sprocket"
        return said(DRIVE.subject, Verdict.DOES_NOT_FIT, why)
    return DRIVE.at_least(round(drive, 2), gear.smallest_drive)


def gearbox_findings(gear: InternalGear, frame: Frame) -> list[Finding]:
    """Whether the frame takes a gearbox; empty for a hub gear."""
    if gear.place != "gearbox":
        return []
    return [GEARBOX_MOUNT.answered(frame.gearbox_mount)]
