"""What the text, the page and the picture of one ring against two say in the same words."""

from __future__ import annotations

from dataclasses import fields

from gearsim.output.effort_words import effort_solved, power_held, stops_told
from gearsim.output.fit.to_check import reasons_told
from gearsim.output.ridden_by import day
from gearsim.output.search.words import gained_and_lost
from gearsim.output.words import at_least_shown, clean, listed, shorten
from gearsim.setup.effort import FIXED
from gearsim.setup.frame import Frame
from gearsim.studies.one_or_two.contender import Contender
from gearsim.studies.one_or_two.lever_curve import Lever, LeverCurve, Standing, Turn
from gearsim.studies.one_or_two.one_or_two import OneOrTwo
from gearsim.studies.one_or_two.ring_side import Side
from gearsim.units import KMH_PER_MPS

MOST_LETTERS = 40  # of a name in a sentence
MOST_TIED = 5  # near ties that are named

SIDES = ("one ring", "two rings")
BETTER = {0: "", 1: "◂", 2: "▸"}
"""Which side is the better, by its number of rings: the mark stands between the columns."""

UNITS = {Lever.POWER: "W", Lever.CADENCE: "rpm", Lever.LOAD: "kg", Lever.TYRE: "mm"}

FREE = "; costs nothing."  # as `gained_and_lost` ends

HOW_CHANGED = {
    Lever.POWER: "all powers in proportion",
    Lever.CADENCE: "the band moved along, the limits as they are",
    Lever.LOAD: "on the bike, more or less than in the plan",
    Lever.TYRE: "another wheel size, rolling as before",
}
"""What is meant by a change of each lever."""

HOW_FOUND = (
    "At each value the best of each side was looked for again, among drivetrains of which no "
    "better one has gears as low and as high. A turn is bisected to 1 % of power, 0.5 rpm, 0.25 kg "
    "or 0.5 mm. There the two are level, unless it is where a wall is ridden and no longer walked, "
    "or the other way round. A turn that comes and goes between two values looked at is not seen."
)


def quoted(contender: Contender) -> str:
    """A drivetrain's name in a sentence."""
    return f"“{shorten(clean(contender.drivetrain.name), MOST_LETTERS)}”"


def side_name(found: Side) -> str:
    """A side's drivetrain by name, and whether the rider has it already."""
    has = " (what you have)" if found.contender.has else ""
    return f"{clean(found.contender.drivetrain.name)}{has}"


def verdict(found: OneOrTwo) -> str:
    """Two sentences: which is better and by how much, and what one ring saves and costs."""
    return f"{_who_wins(found)} {_against_two(found)}"


def _who_wins(found: OneOrTwo) -> str:
    sides = (found.two, found.one) if found.two_wins else (found.one, found.two)
    winner, loser = (_scored(each, first=not n) for n, each in enumerate(sides))
    if found.is_near_tie:
        return (
            f"A near tie: the best with {_rings(sides[0])}, {winner}, and the best with "
            f"{_rings(sides[1])}, {loser}, are closer than the model can tell apart."
        )
    suits = "Two rings suit" if found.two_wins else "One ring suits"
    return (
        f"{suits} this route better: the best, {winner}, against the best with "
        f"{_rings(sides[1])}, {loser}."
    )


def _rings(found: Side) -> str:
    return SIDES[found.contender.rings - 1].removesuffix(" rings").removesuffix(" ring")


def _scored(found: Side, *, first: bool) -> str:
    has = ", what you have" if found.contender.has else ""
    mismatch = at_least_shown(found.contender.mismatch, 1)
    return f"{quoted(found.contender)} ({'mismatch ' if first else ''}{mismatch}{has})"


def _against_two(found: OneOrTwo) -> str:
    told = gained_and_lost(found.one_for_two)
    if told.startswith("Much the same"):
        return "One ring instead of two changes little else."
    if told.endswith(FREE):
        told = f"{told.removesuffix(FREE)} and costs nothing on the road."
    return f"One ring instead of two {told[0].lower()}{told[1:]}"


def what_turns_it(found: OneOrTwo) -> str:
    """Whether anything turns the verdict, and the least change of each thing that does."""
    turned = [_short_turn(found, curve) for curve in found.curves if curve.nearest is not None]
    other = SIDES[0] if found.two_wins else SIDES[1]
    tie = "The two are a near tie, so little turns it. " if found.is_near_tie and turned else ""
    if not turned:
        return f"Nothing looked at puts {other} ahead, one thing changed at a time."
    return f"{tie}What would put {other} ahead, one thing changed at a time: {_or(turned)}."


def _or(parts: list[str]) -> str:
    return " or ".join([*([", ".join(parts[:-1])] if len(parts) > 1 else []), parts[-1]])


def _short_turn(found: OneOrTwo, curve: LeverCurve) -> str:
    turn = curve.nearest
    if turn is None:
        return ""
    value = value_told(found, curve, turn.value)
    if turn.by_room:
        return f"{curve.lever} over {value}"
    moved = "raised" if turn.value > curve.own else "lowered"
    return f"{curve.lever} {moved} to {value}{_tied_before(found, curve, turn)}"


def _tied_before(found: OneOrTwo, curve: LeverCurve, turn: Turn) -> str:
    """From where on the way to a turn it hardly matters, ` (a near tie from about 238 W)`."""
    tie = curve.first_tie
    if tie is None or found.is_near_tie or not _between(curve.own, tie.value, turn.value):
        return ""
    return f" (a near tie from about {value_told(found, curve, tie.value)})"


def _between(one: float, middle: float, other: float) -> bool:
    return min(one, other) < middle < max(one, other)


def lever_told(found: OneOrTwo, curve: LeverCurve) -> str:
    """What a change of one lever does to the verdict, in a sentence or two."""
    if curve.nearest is None:
        return f"{_nothing(found, curve)}{_closest(found, curve)}"
    turns = [turn for turn in (curve.down, curve.up) if turn is not None]
    turns.sort(key=lambda turn: turn is not curve.nearest)
    return " ".join([_turn_told(found, curve, turn) for turn in turns])


def _nothing(found: OneOrTwo, curve: LeverCurve) -> str:
    low, high = curve.searched
    if low == high:
        return "There is no room to change it."
    low_told, high_told = (value_told(found, curve, value) for value in (low, high))
    return f"Nothing from {low_told} to {high_told} turns it."


def _closest(found: OneOrTwo, curve: LeverCurve) -> str:
    closest, tie = curve.closest, curve.first_tie
    if curve.hardly_matters and not found.is_near_tie:
        return " It hardly matters."
    if found.is_near_tie and all(each.is_near_tie for each in curve.standings):
        return " A near tie all the way."
    if closest.value == curve.own:
        return " It is closest as it is."
    told = (
        f" Closest at {value_told(found, curve, closest.value)}: {_standing_told(found, closest)}"
    )
    if tie is None or found.is_near_tie:
        return f"{told}."
    if tie.value == closest.value:
        return f"{told}, a near tie."
    return f"{told}; a near tie from about {value_told(found, curve, tie.value)}."


def _turn_told(found: OneOrTwo, curve: LeverCurve, turn: Turn) -> str:
    value = value_told(found, curve, turn.value)
    if turn.by_room:
        fits = SIDES[0] if found.two_wins else SIDES[1]
        return f"Over {value} no front mech leaves room for the tyre: {fits} is all that fits."
    beyond = "up" if turn.value > curve.own else "down"
    return (
        f"From {value}{change_told(curve, turn.value)} {beyond}: "
        f"{_standing_told(found, turn.standing)}."
    )


def _standing_told(found: OneOrTwo, standing: Standing) -> str:
    """`one ring 5.1 (“46 × 11-50”), two 5.2 (“48-35 × 11-44”)`, the loser of today first."""
    both = [
        (SIDES[0], standing.one, standing.one_best),
        (SIDES[1], standing.two, standing.two_best),
    ]
    if not found.two_wins:
        both.reverse()
    return ", ".join(
        f"{side} {at_least_shown(mismatch, 1)} ({quoted(best)})"
        for side, mismatch, best in both
        if best is not None
    )


def value_told(found: OneOrTwo, curve: LeverCurve, value: float) -> str:
    """A lever's value with its unit; power as a multiple where the ride itself sets the watts."""
    if curve.lever is Lever.POWER:
        if found.setting.rider.effort.kind != FIXED:
            return f"{value / curve.own:.2f} × the power"
        return f"{value:.0f} W"
    if curve.lever is Lever.LOAD:
        return f"{value:+.1f} kg" if value else "0 kg"
    return f"{value:.0f} {UNITS[curve.lever]}"


def turn_mark(found: OneOrTwo, curve: LeverCurve, turn: Turn) -> str:
    """What stands at a turn in a drawing: its value, or that there is no room beyond it."""
    value = value_told(found, curve, turn.value)
    return f"{value}: no room" if turn.by_room else value


def change_told(curve: LeverCurve, value: float) -> str:
    """How much a value is off the plan's own, ` (+12 %)`; of load the value tells it."""
    if curve.lever is Lever.POWER:
        return f" ({100.0 * (value / curve.own - 1.0):+.0f} %)"
    if curve.lever is Lever.LOAD:
        return ""
    return f" ({value - curve.own:+.0f} {UNITS[curve.lever]})"


def ridden_by_told(found: OneOrTwo) -> str:
    """Rider, bike and day: what every figure shown depends on."""
    setting = found.setting
    rider, bike = setting.rider, setting.bike
    (low, high), (low_limit, high_limit) = rider.band_rpm, rider.limits_rpm
    ride = found.one.ride
    told = [f"Rider {rider.mass_kg:g} kg", power_held(rider)]
    riding = (
        f"{', '.join(filter(None, told))}; target {rider.target_cadence_rpm:g} "
        f"rpm, band {low:g}-{high:g}, limits {low_limit:g}-{high_limit:g}. Bike {bike.mass_kg:.1f} "
        f"kg and the drivetrain, tyres {bike.tyre_mm:g} mm. {day(setting.conditions)}"
    )
    return " ".join(filter(None, [riding, effort_solved(ride), stops_told(ride)]))


def group_told(found: OneOrTwo) -> str:
    """What is meant by riding in a group."""
    slowest, fastest = (KMH_PER_MPS * pace for pace in found.one.group.paces_mps)
    target = found.one.group.target_rpm
    return (
        f"In a group: the pace is somebody else's, on the flat, {slowest:.0f} to {fastest:.0f} "
        "km/h with every pace as likely; the rider stays on one chainring, in the gear nearest to "
        f"{target:g} rpm. How far off that leaves the legs, on average and at worst."
    )


def who_contends(found: OneOrTwo) -> tuple[str, ...]:
    """What was weighed, what is as good, and why what the rider has is not among it."""
    field = found.field
    one, two = found.one.ridden, found.two.ridden
    told = [
        f"{field.considered} pairs of chainset and cassette considered; {one} with one ring and "
        f"{two} with two fit, are as wished and were ridden."
        if field.considered
        else f"Of the plan's own drivetrains {one} with one ring and {two} with two were ridden; "
        "what fits was not asked (gearsim fit tells)."
    ]
    told += [_as_good(each) for each in (found.one, found.two) if each.as_good]
    if field.considered:
        told += _untold_limits(field.frame)
    if field.against_has and field.has is not None:
        reasons = "; ".join(f"{each.subject}: {clean(each.reason)}" for each in field.against_has)
        told.append(f"What you have, “{clean(field.has)}”, does not contend. {reasons}.")
    return tuple(told)


def _untold_limits(frame: Frame) -> list[str]:
    """The limits that [frame] does not tell, and what that means."""
    names = [each.name for each in fields(frame) if getattr(frame, each.name) is None]
    names = [name for name in names if name != "chain_tensioning"]  # of hub gears
    if not names:
        return []
    return [
        f"The plan's [frame] does not tell {listed(names)}: nothing was left out by that, so check "
        "both sides against it."
    ]


def _as_good(found: Side) -> str:
    named = [quoted(each) for each in found.as_good[:MOST_TIED]]
    if len(found.as_good) > MOST_TIED:
        named.append(f"{len(found.as_good) - MOST_TIED} more")
    rings = SIDES[found.contender.rings - 1]
    return f"A near tie with the best of {rings}: {listed(named)}."


def bought_and_checked(found: OneOrTwo) -> tuple[str, ...]:
    """What each side needs to be bought, and what is to be looked into before."""
    told = []
    for name, side in zip(SIDES, (found.one, found.two), strict=True):
        if side.contender.to_buy:
            bought = "; ".join(clean(part) for part in side.contender.to_buy)
            told.append(f"To buy for {name}: {bought}.")
        if to_check(side):
            told.append(f"To check with {name}: {to_check(side)}.")
    return tuple(told)


def unsettled(found: OneOrTwo) -> tuple[str, ...]:
    """A caution where a shift plan had not settled."""
    sides = zip(SIDES, (found.one, found.two), strict=True)
    names = [name for name, side in sides if not side.ride.settled]
    if not names:
        return ()
    told = listed(names)
    return (f"The shift plan of {told} had not quite settled: times may be off by a little.",)


def to_check(found: Side) -> str:
    """The cautions on a side's parts, without those that only say what [frame] does not tell."""
    told = [each for each in found.contender.cautions if "not told" not in each.reason]
    return reasons_told(told)
