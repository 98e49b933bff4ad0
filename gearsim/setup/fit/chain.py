"""The chain on these gears: how long, where it hangs slack, how askew it runs, what holds it."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from gearsim.physics.chain import chain_angle_rad, ring_offsets_mm, sprocket_offsets_mm
from gearsim.physics.chain_length import chain_links, slack_teeth, whole_links
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.finding import Finding, Question, Verdict
from gearsim.setup.frame import Frame
from gearsim.units import CHAIN_PITCH_M

EXTRA_LINKS = 2
EXTRA_LINKS_ONE_RING = 4
"""Links added to the loop around the largest chainring and sprocket, for the way through the rear
mech: common practice, from memory, and makers differ (2 or 4), so the longer for one ring."""

MEASURED_M = 0.003
"""How far off a chainstay measured by hand may be (judgement): the chain is told long enough."""

LARGEST_CHAIN_ANGLE_DEG = 3.0
"""From here on a gear counts as crossed (judgement: 12 sprockets on one ring stay below)."""

TEETH_PER_LINK = 2  # of slack: a link more in the chain takes up two teeth of capacity

RETENTION = Question(
    subject="chain on one ring",
    yes="the clutch holds it, on a ring whose teeth are narrow and wide in turn",
    no="the rear mech has no clutch: on bumpy ground the chain comes off; fit a guide",
    untold="no rear mech told; on bumpy ground one ring needs a clutch in it",
    no_means=Verdict.CAUTION,
)

Gear = tuple[int, int]  # teeth of chainring and sprocket


def chain_findings(assembly: Assembly, chainstay_mm: float, frame: Frame) -> list[Finding]:
    """Length, slack, line and hold of the chain; for a single gear its tension."""
    if not assembly.needs_mech and assembly.rear_mech is None:
        front, rear = assembly.chainrings[0], assembly.sprockets[0]
        return [tension_finding(front, rear, chainstay_mm, frame)]
    found = [
        length_finding(assembly, chainstay_mm),
        slack_finding(assembly, chainstay_mm),
        chain_line_finding(assembly.chainrings, assembly.sprockets, chainstay_mm),
    ]
    if len(assembly.chainrings) == 1:
        mech = assembly.rear_mech
        found.append(RETENTION.answered(None if mech is None else mech.clutch))
    return found


@lru_cache(maxsize=1024)
def needed_links(front_teeth: int, rear_teeth: int, chainstay_mm: float, extra: int) -> int:
    """Links that the chain must have at least, for the largest chainring and sprocket.

    The taut loop around both, on a chainstay `MEASURED_M` longer than told, up to the next whole
    pair, and `extra` for the way through the rear mech.  Holds for a frame without rear
    suspension: there the loop grows as it works.
    """
    loop = chain_links(front_teeth, rear_teeth, chainstay_mm / 1000.0 + MEASURED_M)
    return whole_links(float(loop)) + extra


def links_needed_by(assembly: Assembly, chainstay_mm: float) -> int:
    """Links that the chain of an assembly with a rear mech must have at least."""
    extra = EXTRA_LINKS_ONE_RING if len(assembly.chainrings) == 1 else EXTRA_LINKS
    return needed_links(assembly.chainrings[0], assembly.sprockets[-1], chainstay_mm, extra)


def length_finding(assembly: Assembly, chainstay_mm: float) -> Finding:
    """The chain there is, or a new one, against the largest chainring on the largest sprocket."""
    needed, mech = links_needed_by(assembly, chainstay_mm), assembly.rear_mech
    if assembly.chain_links is not None:
        return _own_chain(assembly.chain_links, needed)
    if mech is None or assembly.sprockets[-1] > mech.low_sprocket[1]:
        verdict, reason = Verdict.CAUTION, "at least, by these gears; no rear mech told that fits"
    else:
        verdict = Verdict.OK
        reason = "for a new chain, no fewer; lay it around both before cutting"
    return Finding("chain length", verdict, needed, None, "links", reason)


def _own_chain(links: int, needed: int) -> Finding:
    if links < needed:
        reason = "too short: on largest ring and sprocket it can tear off the rear mech"
        return Finding("chain length", Verdict.DOES_NOT_FIT, links, needed, "links", reason)
    if links % 2:
        reason = "an odd number of links needs a link of half each kind; make sure of the count"
        return Finding("chain length", Verdict.CAUTION, links, needed, "links", reason)
    reason = "reaches around largest ring and sprocket; try it by hand first"
    return Finding("chain length", Verdict.OK, links, needed, "links", reason)


def spare_teeth(assembly: Assembly, chainstay_mm: float) -> int:
    """Slack, in teeth, that a chain longer than needed adds in every gear."""
    if assembly.chain_links is None:
        return 0
    over = assembly.chain_links - links_needed_by(assembly, chainstay_mm)
    return TEETH_PER_LINK * max(0, over)


def slack_gears(assembly: Assembly, chainstay_mm: float) -> tuple[Gear, ...]:
    """Gears in which the chain hangs slack: more of it is free than the rear mech takes up.

    Empty where no rear mech is told.
    """
    mech = assembly.rear_mech
    if mech is None:
        return ()
    capacity = mech.capacity_teeth - spare_teeth(assembly, chainstay_mm)
    if assembly.needed_capacity_teeth <= capacity:
        return ()
    longest = assembly.chainrings[0] + assembly.sprockets[-1]
    return tuple(
        (front, rear)
        for front in assembly.chainrings
        for rear in assembly.sprockets
        if slack_teeth(front, rear, longest) > capacity
    )


def slack_finding(assembly: Assembly, chainstay_mm: float) -> Finding:
    """Whether one chain, long enough for the tightest gear, stays tight in all the others."""
    subject, unit = "one chain for all gears", "gears"
    if assembly.rear_mech is None:
        reason = "no rear mech told: with too small a capacity the chain hangs slack"
        return Finding(subject, Verdict.CAUTION, None, None, unit, reason)
    slack = slack_gears(assembly, chainstay_mm)
    if not slack:
        reason = "the chain stays tight in every gear"
        return Finding(subject, Verdict.OK, 0, 0, unit, reason)
    reason = f"the chain hangs slack; avoid {gear_names(slack)}"
    if assembly.needed_capacity_teeth <= assembly.rear_mech.capacity_teeth:
        reason += f", or cut it to {links_needed_by(assembly, chainstay_mm)} links"
    return Finding(subject, Verdict.CAUTION, len(slack), 0, unit, reason)


@lru_cache(maxsize=1024)
def chain_line_finding(
    chainrings: tuple[int, ...], sprockets: tuple[int, ...], chainstay_mm: float
) -> Finding:
    """How far askew the chain runs at worst, and in which gears that is best avoided."""
    angle_deg = _chain_angles_deg(len(chainrings), len(sprockets), chainstay_mm)
    largest = float(angle_deg.max())
    crossed = crossed_gears(chainrings, sprockets, chainstay_mm)
    reason = f"avoid {gear_names(crossed)}" if crossed else "no gear runs far askew (judgement)"
    over = largest > LARGEST_CHAIN_ANGLE_DEG
    return Finding(
        "chain line",
        Verdict.CAUTION if over else Verdict.OK,
        round(largest, 2),
        LARGEST_CHAIN_ANGLE_DEG,
        "°",
        f"{reason}: noise and wear" if crossed else reason,
    )


def crossed_gears(
    chainrings: tuple[int, ...], sprockets: tuple[int, ...], chainstay_mm: float
) -> tuple[Gear, ...]:
    """Gears in which the chain runs far askew, from the largest chainring and sprocket on.

    With several chainrings the largest on the largest sprocket and the smallest on the smallest
    always count (common practice), with any number those from `LARGEST_CHAIN_ANGLE_DEG` on.
    """
    angle_deg = _chain_angles_deg(len(chainrings), len(sprockets), chainstay_mm)
    ends = set()
    if len(chainrings) > 1 and len(sprockets) > 1:
        ends = {(chainrings[0], sprockets[-1]), (chainrings[-1], sprockets[0])}
    return tuple(
        (front, rear)
        for ring, front in enumerate(chainrings)
        for place, rear in reversed(list(enumerate(sprockets)))
        if (front, rear) in ends or angle_deg[ring, place] > LARGEST_CHAIN_ANGLE_DEG
    )


@lru_cache(maxsize=256)
def _chain_angles_deg(rings: int, rears: int, chainstay_mm: float) -> NDArray[np.float64]:
    offsets = ring_offsets_mm(rings)[:, np.newaxis], sprocket_offsets_mm(rears)
    angle_deg = np.degrees(chain_angle_rad(*offsets, chainstay_mm))
    angle_deg.flags.writeable = False
    return angle_deg


def tension_finding(
    front_teeth: int, rear_teeth: int, chainstay_mm: float, frame: Frame
) -> Finding:
    """A chain with no rear mech: its whole links against the bike, and what tightens it.

    The number is how far the hub must move back from the chainstay told to tighten it, mm.
    """
    loop = float(chain_links(front_teeth, rear_teeth, chainstay_mm / 1000.0))
    links = whole_links(loop)
    back_mm = (links - loop) * CHAIN_PITCH_M * 1000.0 / 2.0
    told = f"{links} links with the hub moved back by this"
    if frame.chain_tensioning is None:
        verdict, reason = Verdict.CAUTION, f"{told}; frame.chain_tensioning not told"
    elif frame.chain_tensioning:
        verdict, reason = Verdict.OK, f"{told}, or less with a tensioner"
    else:
        verdict = Verdict.DOES_NOT_FIT
        reason = f"{told}, but nothing on this frame moves it; fit a tensioner"
    return Finding("chain tension", verdict, round(back_mm, 1), None, "mm", reason)


def gear_names(gears: tuple[Gear, ...]) -> str:
    """Gears in a row: `46×34, 30×11`."""
    return ", ".join(f"{front}×{rear}" for front, rear in gears)
