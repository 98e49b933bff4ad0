"""Whether chainrings, tyre, cassette and number of gears suit the frame, wheels and shifters."""

from __future__ import annotations

from dataclasses import replace

from gearsim.setup.driver_body import DRIVER_BODIES, WITH_A_SPACER
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.finding import Finding, Question, Rule, Verdict, said
from gearsim.setup.frame import Frame

CLOSE_CHAIN = 1
"""How many sprockets more or fewer a chain may be made for and still commonly run on chainrings:
common practice, no source."""

CHAIN_WIDTH = "sprockets, chainset"  # their number decides the chain's width

RING_ALONE = Rule(
    subject="largest ring, frame",
    unit="teeth",
    kept="clears the frame",
    broken="larger than clears the frame: ring or bolts touch the chainstay",
    untold="frame.largest_ring_alone not told; look it up or measure the room at the chainstay",
)
RING_OF_TWO = replace(
    RING_ALONE,
    untold="frame.largest_ring_of_two not told; look it up or measure the room at the chainstay",
)
TYRE = Rule(
    subject="tyre, frame",
    unit="mm",
    kept="clears the frame; measure the room",
    broken="wider than clears the frame",
    untold="frame.largest_tyre_mm not told; look it up or measure the room",
)
SHIFTER_SPROCKETS = Rule(
    subject="sprockets, shifter",
    unit="sprockets",
    kept="the shifter indexes them",
    broken="not as many as the shifter indexes: its steps are for another spacing",
    untold="frame.shifter_sprockets not told; count the shifter's clicks and add one",
)
SHIFTER_CHAINRINGS = Rule(
    subject="chainrings, shifter",
    unit="rings",
    kept="the shifter reaches them",
    broken="more than the shifter reaches",
    untold="frame.shifter_chainrings not told; count the front shifter's clicks and add one",
)
SPARE_SHIFTER = replace(
    SHIFTER_CHAINRINGS,
    broken="fewer than the shifter has; whether the spare click can be left idle, ask its maker",
    breach=Verdict.CAUTION,
)
BODY_ROOM = Rule(
    subject="driver body",
    unit="teeth",
    kept="the rear hub's driver body has room for it",
    broken="smaller than the rear hub's driver body has room for",
    untold="frame.driver_body not told; see on the rear hub which class it is",
)
MOUNT = Question(
    subject="front mech mount",
    yes="the frame takes a front mech",
    no="the frame takes no front mech",
    untold="frame.front_mech_mount not told; see whether the frame takes a front mech",
)


def frame_findings(assembly: Assembly, tyre_mm: float, frame: Frame) -> list[Finding]:
    """Rings and tyre against the frame, sprockets and rings against hub, shifters and chain."""
    found = [
        ring_finding(assembly.chainrings, frame),
        tyre_finding(tyre_mm, frame),
        body_finding(assembly, frame),
    ]
    if len(assembly.sprockets) > 1:
        found.append(SHIFTER_SPROCKETS.equal(len(assembly.sprockets), frame.shifter_sprockets))
    if len(assembly.chainrings) > 1:
        found += _front_shifting(len(assembly.chainrings), frame)
    if len(assembly.sprockets) > 1:
        found.append(chain_width_finding(len(assembly.sprockets), assembly.chain_sprockets))
    return found


def ring_finding(chainrings: tuple[int, ...], frame: Frame) -> Finding:
    """The largest chainring against the frame."""
    if len(chainrings) == 1:
        return RING_ALONE.at_most(chainrings[0], frame.largest_ring_alone)
    return RING_OF_TWO.at_most(chainrings[0], frame.largest_ring_of_two)


def tyre_finding(tyre_mm: float, frame: Frame) -> Finding:
    """The tyre against the frame."""
    return TYRE.at_most(tyre_mm, frame.largest_tyre_mm)


def body_finding(assembly: Assembly, frame: Frame) -> Finding:
    """The cassette against the body of the rear hub that carries it."""
    cassette, hub = assembly.driver_body, frame.driver_body
    if cassette is None or hub is None:
        return _body_by_teeth(assembly.sprockets[0], cassette, hub)
    if cassette == hub:
        return said("driver body", Verdict.OK, f"cassette and rear hub are both {hub!r}")
    if (cassette, hub) in WITH_A_SPACER:
        reason = f"a cassette for {cassette!r} goes on {hub!r} with a spacer; check which"
        return said("driver body", Verdict.CAUTION, reason)
    reason = f"the cassette is for {cassette!r}, the rear hub has {hub!r}"
    return said("driver body", Verdict.DOES_NOT_FIT, reason)


def _body_by_teeth(smallest: int, cassette: str | None, hub: str | None) -> Finding:
    """All that the smallest sprocket tells where one of the two classes is not told."""
    if hub is None:
        wanted = f"; the cassette is for {cassette!r}" if cassette is not None else ""
        return said("driver body", Verdict.CAUTION, f"{BODY_ROOM.untold}{wanted}")
    room = BODY_ROOM.at_least(smallest, DRIVER_BODIES[hub].smallest_sprocket)
    if room.verdict is not Verdict.OK:
        return room
    reason = f"{hub!r} has room for it; the cassette's own class is not told"
    return replace(room, verdict=Verdict.CAUTION, reason=reason)


def _front_shifting(rings: int, frame: Frame) -> list[Finding]:
    spare = frame.shifter_chainrings is not None and frame.shifter_chainrings > rings
    rule = SPARE_SHIFTER if spare else SHIFTER_CHAINRINGS
    shifter = (rule.equal if spare else rule.at_most)(rings, frame.shifter_chainrings)
    return [MOUNT.answered(frame.front_mech_mount), shifter]


def chain_width_finding(sprockets: int, rings_for: tuple[int, int] | None) -> Finding:
    """The chain, which the number of sprockets decides, against what the rings are made for."""
    if rings_for is None:
        reason = f"see whether its rings take a chain for {sprockets} sprockets"
        return Finding(
            CHAIN_WIDTH,
            Verdict.CAUTION,
            sprockets,
            None,
            "sprockets",
            f"no chainset told: {reason}",
        )
    fewest, most = rings_for
    nearest = min(max(sprockets, fewest), most)
    off = abs(sprockets - nearest)
    if off == 0:
        verdict, reason = Verdict.OK, "the chainrings are made for this chain"
    elif off <= CLOSE_CHAIN:
        verdict, reason = Verdict.CAUTION, "the chainrings are made for the next chain; try it"
    else:
        verdict, reason = Verdict.DOES_NOT_FIT, "the chainrings are made for another chain's width"
    return Finding(CHAIN_WIDTH, verdict, sprockets, nearest, "sprockets", reason)
