"""The sentences on a squad that stand both on a terminal and on a page."""

from __future__ import annotations

from collections.abc import Sequence

from gearsim.lists.athletes import AthleteList
from gearsim.output.squad.offers import taken_to_be_so
from gearsim.output.squad.words import MOST_LETTERS, count_of, names, of_all, quoted, stands_out
from gearsim.output.words import at_least_shown, clean, letter, listed, shorten
from gearsim.setup.drivetrain import Drivetrain
from gearsim.studies.squad.squad import Outlier, Served, Squad

MANY = 24  # athletes, from which on not all names are told twice
MOST_ALSO = 8  # then named of those for whom a drivetrain would do as well
MOST_OUTLIERS = 8  # told of; squad.csv has all


def ridden_told(squad: Squad) -> str:
    """How many athletes rode how many drivetrains."""
    athletes = count_of(len(squad.standings), "athlete")
    if squad.sought is None:
        return f"{athletes}, {count_of(len(squad.drivetrains), 'drivetrain')}."
    tried = count_of(len(squad.sought.tried), "drivetrain")
    return f"{athletes}, {tried} that fit or that they have."


def gears_told(drivetrain: Drivetrain) -> str:
    """A drivetrain's name, and its gears where the name does not begin with them."""
    name, label = clean(drivetrain.name), drivetrain.label
    return name if name.startswith(label.partition(" (")[0]) else f"{name}, {label}"


def others_told(squad: Squad) -> tuple[tuple[str, str], ...]:
    """The small letters, and what athletes have that is none of the squad's drivetrains."""
    return tuple(
        (
            letter(place).lower(),
            gears_told(same[0]) if len(same) == 1 else same[0].label,
        )
        for place, same in enumerate(squad.others.values())
    )


def served_told(squad: Squad, served: Served) -> str:
    """Whom some of the few serve: `A and B: as good as the best for 9 of 12; ...`."""
    which = listed([letter(place) for place in served.places])
    whom = of_all(served.athletes, len(squad.standings))
    lost = at_least_shown(served.most_lost, 1)
    loser = shorten(clean(served.loser.athlete.name), MOST_LETTERS)
    most = f"{lost} of mismatch lost at most ({loser})" if served.most_lost else "nothing lost"
    return f"{which}: as good as the best for {whom}; {most}."


def shared_told(squad: Squad, place: int) -> tuple[str, ...]:
    """Whom a drivetrain is the best for, and for whom it is as good."""
    best = squad.shared.get(place, ())
    also = [each for each in squad.standings if each.best != place and each.will_do(place)]
    few = len(also) if len(squad.standings) < MANY else MOST_ALSO
    told = [
        f"{what} for {len(group)}: {names(group, most)}."
        for what, group, most in (("The best", best, len(best)), ("As good", also, few))
        if group
    ]
    if squad.sought is not None and place not in squad.few:
        told.insert(0, "The least mismatch for all together.")
    return tuple(told) or ("The best for no one.",)


def outliers_told(squad: Squad) -> tuple[str, ...]:
    """Who stands out and why, those who lose most first where there are many."""
    outliers = list(squad.outliers)
    if not outliers:
        if squad.sought is not None:
            return ("No one: each is served by one of the few, and none is far behind.",)
        return (f"No one: {quoted(squad.choice.name)} suits all about equally.",)
    if len(outliers) > MOST_OUTLIERS:
        outliers.sort(key=_gain)
    told = [
        f"{clean(each.standing.athlete.name)}: {stands_out(squad, each)}."
        for each in outliers[:MOST_OUTLIERS]
    ]
    more = len(outliers) - len(told)
    return (*told, f"{more} more lose less; squad.csv has all.") if more else tuple(told)


def _gain(outlier: Outlier) -> float:
    """The less, the more mismatch is lost on what the athlete stands out with."""
    return outlier.standing.least_mismatch - outlier.standing.scores[outlier.on].mismatch


def guessed(squad: Squad, read: AthleteList) -> tuple[str, ...]:
    """What was taken to be so, in reading the list and in a search."""
    told: Sequence[str] = () if squad.sought is None else taken_to_be_so(squad.sought)
    return (*read.guesses, *told)
