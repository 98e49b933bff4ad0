"""Whether the mechs can move the chain over these chainrings and sprockets."""

from __future__ import annotations

from dataclasses import replace

from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.finding import Finding, Rule, Verdict

WIDE_GAP_TEETH = 17
"""A gap between chainrings at the wide end of what front mechs do: common practice, no source."""

FRONT_MECH_TYRE_MM = 42.0
"""The tyre that a front mech commonly limits a gravel frame to: common practice, no source."""

SMALLEST_SPROCKET = Rule(
    subject="smallest sprocket",
    unit="teeth",
    kept="the rear mech allows it",
    broken="below what the rear mech allows: its upper wheel stands too far off to shift",
    untold="no rear mech told: its maker must allow so few",
)
LARGEST_SPROCKET = Rule(
    subject="largest sprocket",
    unit="teeth",
    kept="the rear mech allows it",
    broken="above what the rear mech allows: its upper wheel runs into the sprocket",
    untold="no rear mech told: its maker must allow so many",
)
TOO_SMALL_A_LARGEST = replace(
    LARGEST_SPROCKET,
    broken="below what the rear mech is made for: it may shift poorly; ask its maker",
    breach=Verdict.CAUTION,
)
CAPACITY = Rule(
    subject="total capacity",
    unit="teeth",
    kept="the rear mech takes up ring gap and sprocket gap together",
    broken="more slack than the rear mech takes up: one chain cannot serve all gears",
    untold="no rear mech told: it must take up ring gap and sprocket gap together",
)
MECH_CHAINRINGS = Rule(
    subject="chainrings, rear mech",
    unit="rings",
    kept="the rear mech is made for them",
    broken="more than the rear mech is made for",
    untold="no rear mech told: it must be made for so many",
)
MORE_SPROCKETS = Rule(
    subject="sprockets, rear mech",
    unit="sprockets",
    kept="the rear mech is made for them",
    broken="more than the rear mech is made for: its cage and pull are for another spacing",
    untold="no rear mech told: it must be made for just so many",
)
FEWER_SPROCKETS = replace(
    MORE_SPROCKETS,
    broken="fewer than the rear mech is made for: it may not index; ask its maker",
    breach=Verdict.CAUTION,
)
FRONT_GAP = Rule(
    subject="front gap",
    unit="teeth",
    kept="the front mech allows it",
    broken="wider than the front mech allows: the chain may not climb, or may drop",
    untold="no front mech told: its maker must allow this gap",
)
FRONT_MECH_CHAINRINGS = Rule(
    subject="chainrings, front mech",
    unit="rings",
    kept="the front mech is made for them",
    broken="the front mech is made for another number of chainrings",
    untold="no front mech told: it must be made for just so many",
)
FRONT_MECH_LARGEST_RING = Rule(
    subject="largest ring, front mech",
    unit="teeth",
    kept="the front mech allows it",
    broken="above what the front mech allows: its cage is not curved for it",
    untold="no front mech told: its maker must allow this ring",
)
FRONT_MECH_SMALL_RING = replace(
    FRONT_MECH_LARGEST_RING,
    broken="below what the front mech is made for: it may shift poorly; ask its maker",
    breach=Verdict.CAUTION,
)
FRONT_MECH_TYRE = Rule(
    subject="tyre, front mech",
    unit="mm",
    kept="commonly clears the front mech; measure the room",
    broken="wider than commonly clears the front mech: the tyre or its mud rubs on it",
    untold="no front mech told",
)
USUAL_FRONT_MECH_TYRE = replace(
    FRONT_MECH_TYRE,
    kept="one commonly clears so much; measure the room",
    broken="no front mech told: wider than one commonly clears",
    breach=Verdict.CAUTION,
)


def rear_mech_findings(assembly: Assembly) -> list[Finding]:
    """Sprockets, slack and chainrings against the rear mech; empty for a single gear."""
    if not assembly.needs_mech:
        return []
    mech, rears = assembly.rear_mech, assembly.sprockets
    rings, count, needed = len(assembly.chainrings), len(rears), assembly.needed_capacity_teeth
    if mech is None:
        return [
            SMALLEST_SPROCKET.at_least(rears[0], None),
            LARGEST_SPROCKET.at_most(rears[-1], None),
            CAPACITY.at_most(needed, None),
            MORE_SPROCKETS.equal(count, None),
            MECH_CHAINRINGS.at_most(rings, None),
        ]
    least, most = mech.low_sprocket
    too_small, fewer = rears[-1] < least, count < mech.sprockets
    return [
        SMALLEST_SPROCKET.at_least(rears[0], mech.smallest_sprocket),
        TOO_SMALL_A_LARGEST.at_least(rears[-1], least)
        if too_small
        else LARGEST_SPROCKET.at_most(rears[-1], most),
        CAPACITY.at_most(needed, mech.capacity_teeth),
        (FEWER_SPROCKETS if fewer else MORE_SPROCKETS).equal(count, mech.sprockets),
        MECH_CHAINRINGS.at_most(rings, mech.most_chainrings),
    ]


def front_mech_findings(assembly: Assembly, tyre_mm: float) -> list[Finding]:
    """Chainrings and tyre against the front mech; empty for a single chainring."""
    rings, mech = assembly.chainrings, assembly.front_mech
    if len(rings) == 1:
        return []
    if mech is None:
        return [
            _untold_gap(assembly.ring_gap_teeth),
            FRONT_MECH_CHAINRINGS.equal(len(rings), None),
            FRONT_MECH_LARGEST_RING.at_most(rings[0], None),
            USUAL_FRONT_MECH_TYRE.at_most(tyre_mm, FRONT_MECH_TYRE_MM),
        ]
    least, most = mech.largest_ring
    return [
        FRONT_GAP.at_most(assembly.ring_gap_teeth, mech.largest_gap_teeth),
        FRONT_MECH_CHAINRINGS.equal(len(rings), mech.chainrings),
        FRONT_MECH_SMALL_RING.at_least(rings[0], least)
        if rings[0] < least
        else FRONT_MECH_LARGEST_RING.at_most(rings[0], most),
        FRONT_MECH_TYRE.at_most(tyre_mm, mech.largest_tyre_mm),
    ]


def _untold_gap(gap_teeth: int) -> Finding:
    found = FRONT_GAP.at_most(gap_teeth, None)
    if gap_teeth < WIDE_GAP_TEETH:
        return found
    wide = f"{found.reason}; {WIDE_GAP_TEETH} teeth is already at the wide end"
    return replace(found, reason=wide)
