"""What the text, the tables, the picture and the sheet of a fleet say in the same words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from gearsim.lists.bikes import ASSUMED as BIKES_ASSUMED
from gearsim.lists.guests import ASSUMED as GUESTS_ASSUMED
from gearsim.output.cautions import heights_caution
from gearsim.output.fleet.reading import FleetReading
from gearsim.output.places.words import length
from gearsim.output.squad.words import count_of, quoted
from gearsim.output.words import CAUTIONS, about, clean, duration, letter, listed, percent, shorten
from gearsim.setup.fit.finding import Finding
from gearsim.setup.fit.frame import BODY_ROOM
from gearsim.setup.outing_limits import OutingLimits
from gearsim.setup.parts.kinds import Cassette
from gearsim.studies.cue_sheet import Cue
from gearsim.studies.fleet.fleet import Fleet
from gearsim.studies.fleet.group_places import STEEP_DESCENT, STEEP_DESCENT_LOOSE, GroupPlace
from gearsim.studies.fleet.nearest_change import NARROW, Change, NewPart
from gearsim.studies.fleet.outing import Against, Outing, Suits

MOST_LETTERS = 32  # of a name in a sentence
MOST_LETTERS_OF_A_ROW = 64  # of one that stands by itself: sizes of a frame come last
NO_BREAK = "\u00a0"  # a space at which no line ends
MOST_NAMED = 5
MOST_PLACES = 3
FEWEST_EVERYBODY, MOST_EXCEPTED = 3, 2

SHORT_AGAINST = {
    Against.SIZE: "size",
    Against.WALKS: "walk",
    Against.BELOW: "below",
    Against.TIME: "time",
}
"""Why a bike is not suitable, in a cell of the matrix."""

GUIDE_CAUTIONS = (
    "A qualified mechanic checks every bike before it goes out, brakes, wheels and steering first.",
    "Heights are only those told: see every guest stand over the bike and reach the brakes.",
    "The classes of guests are judgement: ask, and change what you see to be wrong.",
)
"""What a guide is told beside what stands under every result."""


def guest_name(fleet: Fleet, guest: int, most: int = MOST_LETTERS) -> str:
    """A guest's name in a sentence or table."""
    return shorten(clean(fleet.guests[guest].name), most)


def bike_name(fleet: Fleet, bike: int, most: int = MOST_LETTERS) -> str:
    """A bike's name in a sentence or table."""
    return shorten(clean(fleet.bikes[bike].name), most)


def guest_names(fleet: Fleet, guests: Sequence[int], most: int = MOST_NAMED) -> str:
    """The names of guests in a row, and how many more there are.

    A name with a comma stands in quotation marks, or it would be read as two guests.
    """
    names = [guest_name(fleet, guest) for guest in guests[:most]]
    shown = [f"“{name}”" if "," in name else name for name in names]
    if len(guests) > most:
        shown.append(f"{len(guests) - most} more")
    return listed(shown)


def bikes_told(fleet: Fleet, counts: Sequence[int]) -> str:
    """So many of each kind of bike; "none" for none of any."""
    told = [
        f"{count} × {bike_name(fleet, bike, MOST_LETTERS_OF_A_ROW)}"
        for bike, count in enumerate(counts)
        if count > 0
    ]
    return listed(told) or "none"


def left_over(fleet: Fleet) -> str:
    """The bikes that nobody is given."""
    return bikes_told(fleet, [fleet.left(bike) for bike in range(len(fleet.bikes))])


def pushing_told(fleet: Fleet, place: GroupPlace) -> str:
    """Who pushes hard at a place: names, or everybody who does not walk, or all of these but a few.

    Empty for nobody.
    """
    there = {*place.walking, *place.pushing, *fleet.without}
    others = [guest for guest in range(len(fleet.guests)) if guest not in there]
    if len(place.pushing) < FEWEST_EVERYBODY or len(others) > MOST_EXCEPTED:
        return guest_names(fleet, place.pushing, len(place.pushing))
    everybody = "everybody else" if place.walking else "everybody"
    return f"{everybody} but {guest_names(fleet, others)}" if others else everybody


def fleet_facts(fleet: Fleet) -> str:
    """How many guests, kinds and bikes there are."""
    kinds = f"{count_of(len(fleet.bikes), 'kind')} of bike"
    bikes = count_of(sum(bike.count for bike in fleet.bikes), "bike")
    return f"{count_of(len(fleet.guests), 'guest')}, {kinds}, {bikes}."


def fleet_verdict(fleet: Fleet) -> str:
    """How many guests have a bike, who walks farthest on it, and who is left without."""
    guests, without = len(fleet.guests), fleet.without
    served = [n for n in range(guests) if n not in without]
    if not served:
        return f"No guest has a suitable bike. {_left(fleet)}"
    if without:
        told = f"{len(served)} of {guests} guests have a suitable bike"
    else:
        everyone = {1: "The one guest has", 2: "Both guests have"}.get(guests)
        told = f"{everyone or f'All {guests} guests have'} a suitable bike"
    return " ".join(part for part in (f"{told}: {_walking(fleet, served)}.", _left(fleet)) if part)


def _walking(fleet: Fleet, served: Sequence[int]) -> str:
    outings = {guest: fleet.given_outing(guest) for guest in served}
    walked = {g: each.walked_m for g, each in outings.items() if each and each.walked_m > 0.0}
    riding = len(served) - len(walked)
    if not walked:
        return "all of them ride it all" if len(served) > 1 else "rides it all"
    farthest = max(walked, key=walked.__getitem__)
    some = f"{riding} {'rides' if riding == 1 else 'ride'} it all, " if riding else ""
    walks = f"{len(walked)} {'walks' if len(walked) == 1 else 'walk'} some of it"
    return f"{some}{walks}, the farthest {guest_name(fleet, farthest)}, {length(walked[farthest])}"


def _left(fleet: Fleet) -> str:
    return f"Left without: {guest_names(fleet, fleet.without)}." if fleet.without else ""


def rows_left_out(fleet: Fleet, read: FleetReading, where: str = "see below") -> str:
    """That guests or bikes of the lists are not in the results, and `where` it is told which.

    Empty where all are.
    """
    guests, bikes = bool(read.guests.faults or fleet.left_out), bool(read.bikes.faults)
    which = listed([*(["guests"] if guests else []), *(["bikes"] if bikes else [])])
    return f"Some {which} of the lists are left out: {where}." if which else ""


def why_without(fleet: Fleet, guest: int) -> str:
    """Why a guest is left without a bike."""
    able = fleet.will_do(guest)
    if able:
        names = listed(
            [bike_name(fleet, bike, MOST_LETTERS_OF_A_ROW) for bike in able[:MOST_NAMED]]
        )
        return f"the bikes that would do are all given or not there ({names})"
    reasons = Counter(why for each in fleet.outings[guest] for why in each.against)
    told = [f"{why} on {number}" for why, number in reasons.most_common()]
    return f"no bike is suitable: {', '.join(told)} of {len(fleet.bikes)}"


def outing_told(each: Outing) -> str:
    """What a bike comes to for a guest, in a few words."""
    if each.suits is Suits.NOT_SUITABLE:
        return listed([str(why) for why in each.against])
    if each.suits is Suits.SOME_WALKING:
        return f"walks {length(each.walked_m)}"
    return "rides it all"


def walks_told(each: Outing, places: Sequence[GroupPlace] = ()) -> str:
    """Where a guest walks and how far: `km 27.7 Kiln lane (210 m)`; empty for nowhere.

    With the group's places each walk begins with the letter of its own, `C km 27.7 …`.
    """
    told = [_walk_told(cue, places) for cue in each.walks[:MOST_PLACES]]
    more = len(each.walks) - MOST_PLACES
    return "; ".join([*told, *([f"{more} more"] if more > 0 else [])])


def _walk_told(cue: Cue, places: Sequence[GroupPlace]) -> str:
    at, near = f"km {cue.start_m / 1000.0:.1f}", cue.near
    for number, place in enumerate(places):
        if place.start_m <= cue.start_m <= place.start_m + place.length_m:
            at = f"{letter(number)} {at}".replace(" ", NO_BREAK)
            near = near or place.near
    return f"{at}{f' {clean(near)}' if near else ''} ({length(cue.advised_m)})"


def place_told(place: GroupPlace) -> str:
    """A place by its kilometre and, where it has one, its name."""
    return f"km {place.start_m / 1000.0:.1f}{f', {clean(place.near)}' if place.near else ''}"


def change_told(part: NewPart, what: str) -> str:
    """A part to fit, and what to look into first."""
    checks = [told for each in part.cautions if (told := _check_told(part, each))]
    check = f" (check first: {', '.join(checks)})" if checks else ""
    return f"{what} {quoted(part.part.name)}{check}"


def _check_told(part: NewPart, caution: Finding) -> str:
    """What to look at before the part is fitted; empty for what another check tells already."""
    if caution.subject == BODY_ROOM.subject and isinstance(part.part, Cassette):
        return f"rear hub of the class “{part.part.driver_body}”"
    return "" if caution.number is None else caution_told(caution)


def caution_told(caution: Finding) -> str:
    """A caution by what it is about and its number: `largest sprocket 46 teeth`."""
    number = "" if caution.number is None else f" {caution.number:g} {caution.unit}".rstrip()
    return f"{caution.subject}{number}"


def changes_of(changes: Sequence[Change], bike: int) -> dict[tuple[str, ...], list[int]]:
    """The guests for whom each pair of changes of a bike does, by what is to be changed."""
    found: dict[tuple[str, ...], list[int]] = {}
    for each in changes:
        if each.bike == bike:
            told = [
                change_told(part, what)
                for part, what in ((each.cassette, "cassette"), (each.chainset, "chainset"))
                if part is not None
            ]
            found.setdefault(tuple(told), []).append(each.guest)
    return found


def rule_told(limits: OutingLimits) -> str:
    """When a bike is not suitable."""
    longest = limits.longest_ride_s
    time = "" if longest is None else f", or rides longer than {duration(longest)} without stops"
    return (
        f"Not suitable: the guest walks more than {length(limits.most_walked_m)} in all, or is "
        f"longer than {about(limits.most_below_s)} below the lowest gear{time}, or the bike is of "
        "the wrong size; the plan's [fleet] changes these (judgement)."
    )


def definitions(fleet: Fleet) -> tuple[str, ...]:
    """What the words of a fleet's results mean, and what was assumed."""
    steep, loose = percent(-STEEP_DESCENT), percent(-STEEP_DESCENT_LOOSE)
    return (
        rule_told(fleet.day.limits),
        "Push hard: in the lowest gear, with more power than wished for.",
        "Who gets which bike: as many guests as can be have a suitable one, then the longest walk "
        "is as short as can be, then the mismatch of all is the least. Where bikes are too few, "
        "who goes without follows from these numbers alone: a guide may choose otherwise.",
        f"What to change: for bikes that miss narrowly (walking and pushing up to {NARROW:g} times "
        "what is suitable), the nearest cassette and chainset of the parts list that fit and, "
        "ridden, let the guest ride it all; the number of sprockets and rings stays. Whether "
        "cranks fit the bottom bracket is not checked; hub gears are not looked at (a larger "
        "sprocket lowers all of their gears).",
        f"Steep descents: {steep} or more over 100 m, {loose} on loose ground (judgement).",
        BIKES_ASSUMED,
        GUESTS_ASSUMED,
    )


def fleet_cautions(fleet: Fleet) -> tuple[str, ...]:
    """Everything to beware of in a fleet's results, what concerns this one alone first."""
    return (*_unsettled(fleet), *heights_caution(fleet.course), *GUIDE_CAUTIONS, *CAUTIONS)


def _unsettled(fleet: Fleet) -> tuple[str, ...]:
    """A caution where shift plans had not settled."""
    if not fleet.unsettled:
        return ()
    rides = count_of(fleet.unsettled, "ride")
    return (
        f"The shift plan had not quite settled in {rides}: times there may be off by a little.",
    )
