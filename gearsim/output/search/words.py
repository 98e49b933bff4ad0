"""What the text, the table and the picture of a search say in the same words."""

from __future__ import annotations

from dataclasses import fields

from gearsim.output.cautions import heights_caution
from gearsim.output.fit.text import FIT_CAUTIONS
from gearsim.output.fit.to_check import reasons_told
from gearsim.output.ridden_by import ridden_by
from gearsim.output.words import (
    CAUTIONS,
    STATE_PHRASES,
    TROUBLES,
    about,
    at_least_shown,
    clean,
    duration,
    listed,
    shorten,
)
from gearsim.ride.states import State
from gearsim.setup.fit.build import InternalBuild
from gearsim.setup.fit.finding import Finding
from gearsim.setup.frame import Frame
from gearsim.setup.parts.kinds import Cassette, Chainset, FrontMech, RearMech
from gearsim.setup.wishes import Wishes
from gearsim.studies.search.answer import Answer
from gearsim.studies.search.gains import Change
from gearsim.studies.search.options import TradeOff
from gearsim.studies.search.prospect import Prospect
from gearsim.studies.search.search import Search
from gearsim.studies.search.trade_off import FEW_POINTS, Allowance
from gearsim.units import SECONDS_PER_MINUTE

MOST_LETTERS = 40  # of a name in a sentence
MOST_TIED = 4  # near ties that are named
MOST_STATES = 3  # that one half of a sentence names

TOLD_FROM_S = {
    State.WALKING: 1.0,
    State.BELOW_LOWEST_GEAR: 10.0,
    State.SPUN_OUT: 10.0,
    State.UNDER_BAND: 30.0,
    State.OVER_BAND: 30.0,
}
"""Differences from which on a state is worth a word; the harder the state, the less."""

HARDSHIP = {
    State.WALKING: 3.0,
    State.BELOW_LOWEST_GEAR: 2.0,
    State.SPUN_OUT: 1.0,
    State.UNDER_BAND: 0.5,
    State.OVER_BAND: 0.5,
}
"""Which of two differences is told first; the order only, no figure shown depends on it."""

ONLY_THE_BEST = (
    "Ridden on other days are only the best few of the plan's own day, and what you have now: a "
    "build further down may do better on other days."
)

TOLD_TIME_S, TOLD_KG, TOLD_REAR, TOLD_FRONT = 30.0, 0.0095, 4.5, 1.0

REASONS = {
    "largest ring, frame": "a ring larger than clears the frame",
    "tyre, frame": "the tyre is wider than clears the frame",
    "driver body": "the cassette is for another driver body than the rear hub's",
    "sprockets, shifter": "another number of sprockets than the shifter indexes",
    "chainrings, shifter": "more chainrings than the shifter reaches",
    "front mech mount": "the frame takes no front mech",
    "sprockets, chainset": "the chainrings are made for a chain of another width",
    "smallest sprocket": "a smaller sprocket than the rear mech allows",
    "largest sprocket": "a larger sprocket than the rear mech allows",
    "total capacity": "more slack than the rear mech takes up",
    "sprockets, rear mech": "more sprockets than the rear mech is made for",
    "chainrings, rear mech": "more chainrings than the rear mech is made for",
    "drive ratio": "a drive below what the internal gear's maker allows",
    "chain tension": "nothing on the frame tightens the chain",
    "gearbox mount": "the frame is not made for a gearbox",
    "no rear mech": "no rear mech of the list does it",
    "no front mech": "no front mech of the list does it (gap, rings or tyre)",
    "same gears as now": "the gears that you have",
    "same gears as another, and no better": "the gears of another build that is no worse",
    "too heavy": "heavier than wished",
    "too dear": "dearer than wished",
    "no price": "a part without a price, so it may be dearer than wished",
}
"""Why builds are left out, by the subject of the finding or the study's own reason."""


PART_WORDS: dict[type, str] = {
    Chainset: "chainset",
    Cassette: "cassette",
    RearMech: "rear mech",
    FrontMech: "front mech",
}
"""What the parts of a build are called."""


def reason_told(reason: str) -> str:
    """Why builds are left out, in words."""
    return REASONS.get(reason, reason)


def quoted(name: str) -> str:
    """A name in a sentence."""
    return f"“{shorten(clean(name), MOST_LETTERS)}”"


def now_name(search: Search) -> str:
    """The plan's name of what the rider has."""
    return search.question.present.drivetrain.name


def gained_and_lost(change: Change) -> str:
    """One sentence: what a build saves against now, and what it costs."""
    saves = [*_states(change, -1.0), *_more(change, -1.0)]
    costs = [*_states(change, 1.0), *_more(change, 1.0)]
    if not saves and not costs:
        return "Much the same as now."
    if not costs:
        return f"Saves {listed(saves)}; costs nothing."
    if not saves:
        return f"Saves nothing; costs {listed(costs)}."
    return f"Saves {listed(saves)}; costs {listed(costs)}."


def _states(change: Change, sign: float) -> list[str]:
    """`9 min under the band uphill`, hardest first; `sign` 1 for more than now, -1 for less."""
    apart = {state: sign * change.seconds[state] for state in TROUBLES}
    told = [state for state in TROUBLES if apart[state] >= TOLD_FROM_S[state]]
    told.sort(key=lambda state: -apart[state] * HARDSHIP[state])
    return [
        " ".join(
            part
            for part in (_time(apart[state]), STATE_PHRASES[state], change.ground[state] or "")
            if part
        )
        for state in told[:MOST_STATES]
    ]


def _more(change: Change, sign: float) -> list[str]:
    """Riding time, weight, shifts, parts and price, as far as they differ that way."""
    told = []
    if sign * change.finish_s >= TOLD_TIME_S:
        told.append(f"{_time(abs(change.finish_s))} of riding time")
    if sign * change.mass_kg >= TOLD_KG:
        told.append(weight(abs(change.mass_kg)))
    if sign < 0.0 and change.loses_all_front_shifts:
        told.append("all front shifts")
    elif sign * change.front_shifts_per_hour >= TOLD_FRONT:
        told.append(_an_hour(change.front_shifts_per_hour, "front shift"))
    if sign * change.rear_shifts_per_hour >= TOLD_REAR:
        told.append(_an_hour(change.rear_shifts_per_hour, "rear shift"))
    if sign * change.parts_to_adjust > 0:
        count = abs(change.parts_to_adjust)
        told.append(f"{count} part{'' if count == 1 else 's'} to keep adjusted")
    if sign > 0.0 and change.price is not None and change.price > 0.0:
        told.append(f"{change.price:.0f} in price")
    return told


def _time(seconds: float) -> str:
    return duration(seconds) if seconds < SECONDS_PER_MINUTE else about(seconds)


def _an_hour(more: float, what: str) -> str:
    shown = at_least_shown(abs(more))
    return f"{shown} {what}{'' if shown == '1' else 's'} an hour"


def weight(mass_kg: float) -> str:
    """A weight of a kilogram or less in grams, `250 g`; else `1.2 kg`."""
    if mass_kg < 0.9995:
        return f"{at_least_shown(1000.0 * mass_kg)} g"
    return f"{mass_kg:.1f} kg"


def signed_grams(mass_kg: float) -> str:
    """A difference in whole grams with its sign: `+250`, `-40`, `0`."""
    grams = round(1000.0 * mass_kg)
    return f"{grams:+d}" if grams else "0"


def search_verdict(search: Search) -> str:
    """What is best, against what the rider has, and what is as good; two or three sentences."""
    best = search.options[0]
    scored = f"{quoted(best.name)} (mismatch {at_least_shown(best.mismatch, 1)})"
    now = f"{quoted(now_name(search))} (mismatch {at_least_shown(search.now.score.mismatch, 1)})"
    number = (
        f"the {len(search.options)} ridden" if len(search.options) > 1 else "what can be fitted"
    )
    if best.mismatch < search.now.score.mismatch:
        tie = "; the two are a near tie" if search.near_now(0) else ""
        won = f"Best of {number} is {scored}; what you have is {now}{tie}."
    else:
        tie = ", a near tie" if search.near_now(0) else ""
        won = f"Nothing that fits does better than what you have, {now}; next is {scored}{tie}."
    return " ".join(part for part in (_incomplete(search), won, _as_good(search)) if part)


def _incomplete(search: Search) -> str:
    if not search.stopped:
        return ""
    return (
        f"Stopped after {search.ridden} of {len(search.question.prospects)} builds: "
        "what follows is of those only."
    )


def _as_good(search: Search) -> str:
    tied = [each for place, each in enumerate(search.options) if place and search.as_good(place)]
    if not tied:
        return ""
    named = [quoted(each.name) for each in tied[:MOST_TIED]]
    if len(tied) > MOST_TIED:
        named.append(f"{len(tied) - MOST_TIED} more")
    return f"A near tie with the best: {listed(named)}.{_least_trouble(search)}"


def _least_trouble(search: Search) -> str:
    """Which of those that are as good asks for the least, and what that is; "" for the best."""
    place = search.least_trouble
    if place == 0:
        return ""
    option = search.options[place]
    return (
        f" Of all these {quoted(option.name)} asks for the least checking and buying "
        f"(rank {place + 1}; to buy: {_parts(len(option.prospect.to_buy))})."
    )


def _parts(number: int) -> str:
    if number == 0:
        return "nothing"
    return "1 part" if number == 1 else f"{number} parts"


def least_told(trade_off: TradeOff) -> str:
    """What an option has the least of: `least weight and fewest parts ..., no worse than now`."""
    by_allowance: dict[str, list[str]] = {}
    for criterion, allowance in trade_off.least:
        by_allowance.setdefault(str(allowance), []).append(str(criterion))
    return "; ".join(f"least {listed(what)}, {how}" for how, what in by_allowance.items())


def noted(search: Search, place: int) -> str:
    """What an option is told for beside its mismatch, as a sentence; "" for nothing."""
    told = [least_told(each) for each in search.ranking.trade_offs if each.place == place]
    if place and search.as_good(place):
        told.insert(0, "a near tie with the best")
    words = "; ".join(told)
    return f"{words[0].upper()}{words[1:]}." if words else ""


def considered_told(search: Search) -> str:
    """How many builds were looked at, what a build is, and how many were ridden."""
    question = search.question
    ridden = f", of which {search.ridden} were ridden" if search.stopped else ""
    return (
        f"{question.considered} builds considered, a chainset with a cassette and the lightest "
        f"mechs that fit. {len(question.prospects)} fit and are as wished{ridden}."
    )


def to_buy_told(prospect: Prospect) -> str:
    """What is to be bought, each part after what it is."""
    build = prospect.build
    if isinstance(build, InternalBuild):
        return f"{build.internal_gear.name}, and a chainring and sprocket for it"
    parts = [part for part in build.parts if part.name in prospect.to_buy]
    return "; ".join(f"{PART_WORDS[type(part)]} {clean(part.name)}" for part in parts) or "nothing"


def to_check_told(prospect: Prospect) -> str:
    """The cautions on a build, without those that only say what [frame] does not tell."""
    return reasons_told(_to_check(prospect))


def subjects_to_check(prospect: Prospect) -> str:
    """What of a build is to be checked, without why."""
    return "; ".join(each.subject for each in _to_check(prospect))


def _to_check(prospect: Prospect) -> list[Finding]:
    return [each for each in prospect.cautions if "not told" not in each.reason]


def front_told(search: Search) -> str:
    """How many builds are on the front, and of what it is."""
    number = sum(option.on_front for option in search.options)
    criteria = listed([str(each) for each in search.ranking.criteria])
    return (
        f"On the trade-off front of {criteria} are {number} of {len(search.options)} builds: no "
        "other beats them in one without losing in another. All are marked in search.csv."
    )


def weight_told(search: Search) -> str:
    """What a weight saving is worth on this route."""
    saved, lighter = search.weight.saved_s, weight(search.weight.lighter_kg)
    sooner = f"{duration(abs(saved))} {'sooner' if saved >= 0.0 else 'later'}"
    return (
        f"What you have now, ridden {lighter} lighter, is there {sooner}: "
        f"{search.weight.seconds_per_100_g:.1f} s for each 100 g."
    )


def weighed_told(search: Search) -> tuple[str, ...]:
    """How weights were made comparable, and what was taken for what."""
    present = search.question.present
    guesses = f" ({listed([clean(each) for each in present.guesses])})" if present.guesses else ""
    return (
        f"What you have weighs {present.mass_kg:.2f} kg by the parts list{guesses}. It is ridden "
        "with the plan's whole mass, and every build with as much more or less as the list says.",
        "A build's weight is that of chainset with cranks, cassette, mechs, chain and the cable "
        "of a front mech, by typical weights; its price that of the parts to buy, without a chain.",
        "A part is yours where its teeth are the same or the plan names it under your drivetrain, "
        "and so is a mech that is taken for one of yours; all others are to be bought.",
        f"“{Allowance.AS_GOOD}” is a near tie of mismatch (within half a point, or a tenth), "
        f"“{Allowance.NO_WORSE}” goes by mismatch too, and “{Allowance.LITTLE_WORSE}” is up to "
        f"{FEW_POINTS:g} points above both.",
    )


def untold_limits(search: Search) -> str:
    """The limits that [frame] does not tell, and what that means; empty where it tells all."""
    return untold_of_frame(search.question.frame, search.question.wishes)


def untold_of_frame(frame: Frame, wishes: Wishes) -> str:
    """The limits that a [frame] does not tell, and what that means; empty where it tells all."""
    names = [each.name for each in fields(frame) if getattr(frame, each.name) is None]
    if not wishes.internal_gears:
        names = [name for name in names if name != "chain_tensioning"]
    if not names:
        return ""
    return (
        f"The plan's [frame] does not tell {listed(names)}: nothing was left out by that, so check "
        "each build against it."
    )


def wishes_told(wishes: Wishes) -> str:
    """The wishes in a sentence; empty where there are none."""
    told = [
        words
        for key, words in (
            ("keep_cassette", "keep the cassette"),
            ("keep_chainset", "keep the chainset"),
            ("keep_rear_mech", "keep the rear mech"),
        )
        if getattr(wishes, key)
    ]
    if wishes.chainrings is not None:
        rings = ("one chainring", "two chainrings", "three chainrings")[wishes.chainrings - 1]
        told.append(rings)
    if wishes.smallest_tyre_mm is not None:
        told.append(f"room for tyres of {wishes.smallest_tyre_mm:g} mm")
    if wishes.largest_mass_kg is not None:
        told.append(f"at most {wishes.largest_mass_kg:g} kg")
    if wishes.largest_price is not None:
        told.append(f"a price of at most {wishes.largest_price:g}")
    if wishes.internal_gears:
        told.append("hub gears and gearboxes too")
    return f"Wished: {listed(told)}." if told else ""


def ridden_by_told(answer: Answer) -> str:
    """Rider, bike and day: what every figure shown depends on."""
    whole_kg = whole_bike_kg(answer.search)
    return ridden_by(answer.best[0].ride, f"Bike with what you have now {whole_kg:.4g} kg")


def whole_bike_kg(search: Search) -> float:
    """What the bike weighs with the drivetrain that the rider has."""
    return search.bike.mass_kg + search.question.present.mass_kg


def cautions_told(search: Search) -> tuple[str, ...]:
    """Everything to beware of in any search, what concerns this one alone first."""
    return (
        *heights_caution(search.course),
        *_unsettled(search),
        *FIT_CAUTIONS,
        *CAUTIONS,
    )


def _unsettled(search: Search) -> list[str]:
    number = sum(not each.outcome.settled for each in search.options) + (not search.now.settled)
    if not number:
        return []
    return [
        f"The shift plan had not quite settled in {number} ride{'' if number == 1 else 's'}: "
        "times there may be off by a little."
    ]
