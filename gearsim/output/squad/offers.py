"""What a search found for the athletes of a squad, in words."""

from __future__ import annotations

from gearsim.output.search.words import to_check_told, untold_of_frame
from gearsim.output.squad.words import count_of, quoted
from gearsim.output.words import at_least_shown, clean, letter
from gearsim.studies.search.prospect import Prospect
from gearsim.studies.squad.sought import Sought
from gearsim.studies.squad.squad import Squad
from gearsim.studies.squad.standing import Offer, Standing


def own_best(squad: Squad, standing: Standing) -> str:
    """An athlete's best of all, what it takes, and what does with less, in a few words."""
    fitting = standing.fitting
    if fitting is None:
        return ""
    if standing.athlete.drivetrain is None:
        return f"{_named(squad, fitting.best)}."
    if fitting.best.prospect is None:
        return f"what they have, {_shown(fitting.best)}."
    told = f"{_named(squad, fitting.best)}, {_new_parts(fitting.best.prospect)}"
    simplest = fitting.simplest
    if simplest.prospect is None:
        return f"{told}; what they have is as good, {_shown(simplest)}."
    if simplest != fitting.best:
        told += f"; as good: {_named(squad, simplest)}, {_new_parts(simplest.prospect)}"
    one = fitting.one_part
    if one is None or one.prospect is None or one in (simplest, fitting.best):
        return f"{told}."
    part = clean(one.to_buy[0])
    return f"{told}; with one new part, {part}: {_shown(one)}{_price(one.prospect)}."


def _shown(offer: Offer) -> str:
    return at_least_shown(offer.score.mismatch, 1)


def _named(squad: Squad, offer: Offer) -> str:
    """A drivetrain by its letter where it has one, else by its gears, with the mismatch."""
    names = [each.name for each in squad.drivetrains]
    if offer.name in names:
        return f"{letter(names.index(offer.name))} ({_shown(offer)})"
    return f"{clean(offer.name)} ({_shown(offer)})"


def _new_parts(prospect: Prospect) -> str:
    """`3 new parts, price 272`."""
    return f"{count_of(len(prospect.to_buy), 'new part')}{_price(prospect)}"


def _price(prospect: Prospect) -> str:
    return "" if prospect.price is None else f", price {prospect.price:.0f}"


def made_of(squad: Squad, place: int) -> tuple[str, ...]:
    """Of what parts one of the few is, and what to check; empty for what was not sought."""
    name = squad.drivetrains[place].name
    tried = () if squad.sought is None else squad.sought.tried
    prospects = (each.prospect for each in tried if each.drivetrain.name == name)
    prospect = next((each for each in prospects if each is not None), None)
    if prospect is None:
        return ()
    check = to_check_told(prospect)
    return (
        f"Made of: {clean(prospect.build.name.replace(' + ', '; '))}.",
        *([f"To check: {check}."] if check else []),
    )


def taken_to_be_so(sought: Sought) -> tuple[str, ...]:
    """How all bikes were made comparable, and what was taken for what."""
    told = [
        "Every bike is taken to be as the plan's [frame] says, and to take what its athlete has. "
        "What to keep and what to buy goes by that too, with the lightest mechs of the parts list "
        "that do where it is not told which; a new part is a chainset, a cassette or a mech, and a "
        "chain comes with it.",
        "What an athlete has is ridden with the mass that the list tells, every build with as "
        "much more or less as the parts list says.",
        "Where several sets of so many kinds serve as many athletes, that with the least to check "
        "and then the least to buy is told, each athlete on the kind of it that serves them and "
        "asks for least.",
    ]
    if sought.untold is not None:
        told.append(
            "Those of whom it is not told what they have are fitted out as if it were "
            f"{quoted(sought.untold.name)}."
        )
    guessed = sum(bool(each.guesses) for each in sought.presents)
    if guessed:
        told.append(
            f"What {count_of(guessed, 'drivetrain')} that athletes have "
            f"{'is' if guessed == 1 else 'are'} made of was taken from the parts list where the "
            "plan does not say."
        )
    untold = untold_of_frame(sought.frame, sought.wishes)
    return (*told, *([untold] if untold else []))
