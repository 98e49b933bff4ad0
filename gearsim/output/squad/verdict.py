"""The verdict on a squad, in a few sentences."""

from __future__ import annotations

from gearsim.output.squad.words import MOST_LETTERS, MOST_NAMED, names, of_all, quoted
from gearsim.output.words import at_least_shown, clean, listed, shorten
from gearsim.studies.near_tie import near_tie
from gearsim.studies.squad.squad import Squad
from gearsim.studies.squad.standing import Standing

TOLD_COST_POINTS = 0.5  # of mismatch; less is not worth a sentence
MOST_GAINERS = 3  # named with what they gain
NUMBERS = ("no", "one", "two", "three", "four", "five", "six")


def squad_verdict(squad: Squad) -> str:
    """How few will do, which one suits all together, whom it does not, who gains most."""
    if squad.sought is None:
        told = [_choice(squad), _few(squad), _loses(squad), _far_above(squad)]
        told += [_may_stay(squad), _dearest(squad)]
    else:
        few = _few_of_all(squad, len(squad.sought.tried))
        told = [few, _one_for_all(squad), _may_stay(squad), _gainers(squad)]
    return " ".join(part for part in told if part)


def _choice(squad: Squad) -> str:
    if len(squad.drivetrains) == 1:
        scored = f"{quoted(squad.choice.name)} (mismatch {at_least_shown(squad.together[0], 1)}"
        return f"{scored}, all together) is the only drivetrain: nothing to choose."
    tied = near_tie(squad.together[0], squad.together[1])
    then = "next and hardly worse" if tied else "next"
    return (
        f"{_one_for_all(squad).removesuffix('.')}; {then} is {quoted(squad.drivetrains[1].name)} "
        f"({at_least_shown(squad.together[1], 1)})."
    )


def _one_for_all(squad: Squad) -> str:
    suited = sum(each.will_do(0) for each in squad.standings)
    return (
        f"One for all: {quoted(squad.choice.name)} (mismatch "
        f"{at_least_shown(squad.together[0], 1)}, all together), the best or as good for "
        f"{of_all(suited, len(squad.standings))}."
    )


def _few(squad: Squad) -> str:
    served, everyone = squad.served[-1], len(squad.standings)
    if len(squad.drivetrains) == 1 or served.places == (0,):
        return ""
    named = listed([quoted(squad.drivetrains[place].name) for place in served.places])
    serve = "serves" if len(served.places) == 1 else "serve"
    return (
        f"Nearly as well as each one's best, {named} {serve} {of_all(served.athletes, everyone)}."
    )


def _few_of_all(squad: Squad, tried: int) -> str:
    served, everyone = squad.served[-1], len(squad.standings)
    number = len(served.places)
    named = [
        f"{quoted(squad.drivetrains[place].name)} (for {len(squad.shared.get(place, ()))})"
        for place in served.places
    ]
    does = f"{_spelt(number)} {'kind serves' if number == 1 else 'kinds serve'}"
    return (
        f"Of {tried} drivetrains, {does} {of_all(served.athletes, everyone)} nearly as "
        f"well as each one's best: {listed(named)}."
    )


def _spelt(number: int) -> str:
    return NUMBERS[number] if number < len(NUMBERS) else str(number)


def _loses(squad: Squad) -> str:
    losing = [outlier.standing for outlier in squad.outliers if outlier.loses]
    if not losing or len(losing) > MOST_NAMED:
        return ""
    return f"Better off with others: {names(losing)}."


def _far_above(squad: Squad) -> str:
    far = [outlier.standing for outlier in squad.outliers if outlier.far_above]
    return f"Far worse off with it than the rest: {names(far)}." if far else ""


def _dearest(squad: Squad) -> str:
    dearest: tuple[float, Standing] | None = None
    for each in squad.standings:
        cost = each.cost
        if cost is not None and (dearest is None or cost.mismatch > dearest[0]):
            dearest = cost.mismatch, each
    if dearest is None or dearest[0] < TOLD_COST_POINTS or dearest[1].now is None:
        return ""
    has, best = dearest[1].now.mismatch, dearest[1].scores[dearest[1].best].mismatch
    return (
        f"The gears they have cost most for {names([dearest[1]])}: mismatch "
        f"{at_least_shown(has, 1)}, where {at_least_shown(best, 1)} is possible."
    )


def _may_stay(squad: Squad) -> str:
    have = [each for each in squad.standings if each.now is not None]
    stay = [each for each in have if each.may_stay]
    if not stay:
        return ""
    whom = of_all(len(stay), len(have))
    named = f" ({names(stay)})" if len(stay) <= MOST_NAMED < len(have) else ""
    return f"What they have is as good already for {whom}{named}."


def _gainers(squad: Squad) -> str:
    gains = [
        (each.now.mismatch - each.least_mismatch, number, each)
        for number, each in enumerate(squad.standings)
        if each.now is not None and not each.may_stay
    ]
    most = [each for *_, each in sorted(gains, key=lambda told: (-told[0], told[1]))]
    told = [
        f"{shorten(clean(each.athlete.name), MOST_LETTERS)} "
        f"({at_least_shown(each.now.mismatch, 1)} now, "
        f"{at_least_shown(each.least_mismatch, 1)} possible)"
        for each in most[:MOST_GAINERS]
        if each.now is not None
    ]
    return f"Most to gain: {listed(told)}." if told else ""
