"""What to change on a bike that misses narrowly: the nearest cassette or chainset that does."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from gearsim.errors import PlanError
from gearsim.setup.fit.finding import Finding, Verdict, verdict_of
from gearsim.setup.fit.fitment import assembly_of, drivetrain_findings
from gearsim.setup.fit.frame import BODY_ROOM
from gearsim.setup.fit.mechs import SMALLEST_SPROCKET
from gearsim.setup.fit.part_choice import front_mechs_that_do, rear_mechs_that_do
from gearsim.setup.hire_bike import HireBike
from gearsim.setup.parts.kinds import Cassette, Chainset
from gearsim.setup.parts.parts_list import PartsList
from gearsim.studies.fleet.fleet import Fleet
from gearsim.studies.fleet.outing import Against, Outing, Suits, outing
from gearsim.studies.over_cores import over_cores

NARROW = 2.5
"""A bike misses narrowly up to so many times what the limits of the day allow (judgement)."""

Done = Callable[[], None]


@dataclass(frozen=True, kw_only=True)
class NewPart:
    """A cassette or chainset that fits a bike and has a lower lowest gear, and the bike with it.

    `cautions` are what to look into before it is fitted, beyond what holds for the bike as it is,
    which works; none of the findings says that it does not fit.
    """

    part: Cassette | Chainset
    bike: HireBike
    cautions: tuple[Finding, ...]


@dataclass(frozen=True, kw_only=True)
class Change:
    """A bike (by its number) that misses narrowly for a guest, and what to change on it.

    `cassette` and `chainset` are the nearest of their kind with which the guest, ridden and
    confirmed, rides it all; None where none in the parts list that fits does.
    """

    guest: int
    bike: int
    cassette: NewPart | None
    chainset: NewPart | None


def narrow_misses(fleet: Fleet) -> list[tuple[int, int]]:
    """Guests and bikes, by number, that come near to riding it all but for the gears.

    That is some walking, or not suitable for walking or time below the lowest gear alone, each no
    more than `NARROW` times the day's limit.
    """
    return [
        (guest, bike)
        for guest, row in enumerate(fleet.outings)
        for bike, each in enumerate(row)
        if _is_narrow(fleet, each) and fleet.bikes[bike].drivetrain.chainrings
    ]


def _is_narrow(fleet: Fleet, each: Outing) -> bool:
    limits = fleet.day.limits
    if each.suits is Suits.RIDES_ALL or not set(each.against) <= {Against.WALKS, Against.BELOW}:
        return False
    near_walk = each.walked_m <= NARROW * limits.most_walked_m or each.suits is Suits.SOME_WALKING
    return near_walk and each.below_s <= NARROW * limits.most_below_s


def nearest_changes(
    fleet: Fleet, parts: PartsList, *, workers: int | None = None, done: Done | None = None
) -> tuple[Change, ...]:
    """For each of the `narrow_misses` the nearest cassette and the nearest chainset that do.

    Parts are tried from the nearest on, each ridden, until the guest rides it all.  `done` is
    called after each of the misses.
    """
    misses = narrow_misses(fleet)
    numbers = {bike for _, bike in misses}
    cassettes = {n: new_cassettes(fleet.bikes[n], parts) for n in numbers}
    chainsets = {n: new_chainsets(fleet.bikes[n], parts) for n in numbers}

    def found(miss: tuple[int, int]) -> Change:
        guest, bike = miss
        return Change(
            guest=guest,
            bike=bike,
            cassette=_first_that_does(fleet, guest, cassettes[bike]),
            chainset=_first_that_does(fleet, guest, chainsets[bike]),
        )

    return tuple(over_cores(found, misses, workers=workers, done=done))


def _first_that_does(fleet: Fleet, guest: int, tried: Sequence[NewPart]) -> NewPart | None:
    for each in tried:
        try:
            ridden = outing(fleet.day, fleet.guests[guest], each.bike)
        except PlanError:
            continue
        if ridden.suits is Suits.RIDES_ALL:
            return each
    return None


def new_cassettes(bike: HireBike, parts: PartsList) -> list[NewPart]:
    """Cassettes that fit the bike and have a larger largest sprocket, the nearest first.

    Nearest: the fewest teeth other at the ends, then in all, then the fewest cautions, then light.
    """
    known, own = _with_hub_class(bike, parts)
    now = known.drivetrain
    found = []
    for cassette in parts.cassettes:
        lower = cassette.sprockets[-1] > now.sprockets[-1]
        if lower and len(cassette.sprockets) == len(now.sprockets):
            gears = replace(now, sprockets=cassette.sprockets, driver_body=cassette.driver_body)
            more_kg = 0.0 if own is None else (cassette.mass_g - own.mass_g) / 1000.0
            heavier = replace(known.bike, mass_kg=known.bike.mass_kg + more_kg)
            changed = replace(known, drivetrain=gears, bike=heavier)
            found += _fitting(known, changed, cassette, parts)
    return _nearest_first(found, lambda part: _apart(part.bike.drivetrain.sprockets, now.sprockets))


def new_chainsets(bike: HireBike, parts: PartsList) -> list[NewPart]:
    """Chainsets of as many rings that fit and have a smaller smallest one, the nearest first."""
    known, _ = _with_hub_class(bike, parts)
    now = known.drivetrain
    found = []
    for chainset in parts.chainsets:
        lower = chainset.chainrings[-1] < now.chainrings[-1]
        if lower and len(chainset.chainrings) == len(now.chainrings):
            gears = replace(now, chainrings=chainset.chainrings, chainset=chainset.name)
            found += _fitting(known, replace(known, drivetrain=gears), chainset, parts)
    return _nearest_first(
        found, lambda part: _apart(part.bike.drivetrain.chainrings, now.chainrings)
    )


def _with_hub_class(bike: HireBike, parts: PartsList) -> tuple[HireBike, Cassette | None]:
    """The bike with its hub's class, where not told that of its own cassette, and the latter.

    Its own is the cassette of the list that has the same sprockets, and the class where told.
    """
    body, sprockets = bike.frame.driver_body, bike.drivetrain.sprockets
    same = [each for each in parts.cassettes if each.sprockets == sprockets]
    own = next((each for each in same if body in (None, each.driver_body)), None)
    if own is not None:
        body = own.driver_body
    frame = replace(bike.frame, driver_body=body)
    return replace(bike, frame=frame, drivetrain=replace(bike.drivetrain, driver_body=body)), own


def _fitting(
    known: HireBike, changed: HireBike, part: Cassette | Chainset, parts: PartsList
) -> list[NewPart]:
    """The changed bike, unless something says that it does not fit."""
    found = drivetrain_findings(changed.drivetrain, parts, changed.bike, changed.frame)
    if verdict_of(found) is Verdict.DOES_NOT_FIT or not _has_mechs(changed, parts):
        return []
    now = drivetrain_findings(known.drivetrain, parts, known.bike, known.frame)
    if changed.drivetrain.driver_body != known.drivetrain.driver_body:
        now = tuple(each for each in now if each.subject != BODY_ROOM.subject)
    return [NewPart(part=part, bike=changed, cautions=_new_cautions(found, now))]


def _new_cautions(found: Sequence[Finding], now: Sequence[Finding]) -> tuple[Finding, ...]:
    """The cautions that the bike as it is, which works, has not or in a smaller number."""
    cautions = [each for each in found if each.verdict is Verdict.CAUTION]
    before = {each.subject: each for each in now if each.verdict is Verdict.CAUTION}
    return tuple(each for each in cautions if _is_new(each, before.get(each.subject)))


def _is_new(caution: Finding, now: Finding | None) -> bool:
    if now is None:
        return True
    if caution.number is None or now.number is None:
        return caution.reason != now.reason
    if caution.subject == SMALLEST_SPROCKET.subject:
        return caution.number < now.number
    return caution.number > now.number


def _has_mechs(bike: HireBike, parts: PartsList) -> bool:
    """Whether mechs that are not told are at least among those that there are."""
    assembly = assembly_of(bike.drivetrain, parts)
    rear = assembly.rear_mech is not None or rear_mechs_that_do(assembly, parts)
    several = len(assembly.chainrings) > 1 and assembly.front_mech is None
    front = not several or front_mechs_that_do(assembly, bike.bike.tyre_mm, parts)
    return bool(rear) and bool(front)


def _nearest_first(
    found: Sequence[NewPart], apart: Callable[[NewPart], tuple[int, int]]
) -> list[NewPart]:
    ordered = sorted(found, key=lambda each: (*apart(each), len(each.cautions), each.part.mass_g))
    seen: set[object] = set()
    kept = []
    for each in ordered:
        gears = (each.bike.drivetrain.chainrings, each.bike.drivetrain.sprockets)
        if gears not in seen:
            seen.add(gears)
            kept.append(each)
    return kept


def _apart(teeth: tuple[int, ...], now: tuple[int, ...]) -> tuple[int, int]:
    """Teeth by which the ends differ, and sizes that are in one only."""
    return abs(teeth[0] - now[0]) + abs(teeth[-1] - now[-1]), len(set(teeth) ^ set(now))
