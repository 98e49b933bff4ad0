"""What the text, the tables and the picture of a squad say in the same words."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gearsim.lists.athletes import ASSUMED
from gearsim.output.words import about, at_least_shown, clean, letter, listed, shorten
from gearsim.studies.break_even import BreakEven
from gearsim.studies.squad.gears import gears_of
from gearsim.studies.squad.squad import Outlier, Squad
from gearsim.studies.squad.standing import Standing
from gearsim.units import SECONDS_PER_MINUTE

MOST_LETTERS = 32  # of a name in a sentence
MOST_NAMED = 5  # in a sentence


def has_letter(squad: Squad, standing: Standing) -> str:
    """The letter of what an athlete has: small where it is none of the columns; "" for untold."""
    has = standing.athlete.drivetrain
    if has is None:
        return ""
    if standing.has is not None:
        return letter(standing.has)
    return letter(list(squad.others).index(gears_of(has))).lower()


def quoted(name: str) -> str:
    """A name in a sentence."""
    return f"“{shorten(clean(name), MOST_LETTERS)}”"


def count_of(number: int, what: str) -> str:
    """`1 athlete`, `12 athletes`."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def of_all(number: int, total: int) -> str:
    """`9 of 12`, `all 12`, `both`, `the one athlete`."""
    everyone = {1: "the one athlete", 2: "both"}.get(total, f"all {total}")
    return everyone if number == total else f"{number} of {total}"


def names(standings: Sequence[Standing], most: int = MOST_NAMED) -> str:
    """The names of athletes in a row, and how many more there are."""
    shown = [shorten(clean(each.athlete.name), MOST_LETTERS) for each in standings[:most]]
    if len(standings) > most:
        shown.append(f"{len(standings) - most} more")
    return listed(shown)


def stands_out(squad: Squad, outlier: Outlier) -> str:
    """Why the squad's choice, or after a search the best of the few, does not suit an athlete."""
    standing = outlier.standing
    mine = at_least_shown(standing.scores[outlier.on].mismatch, 1)
    on = "the squad's choice" if squad.sought is None else "the best of the few"
    told = []
    if outlier.loses:
        best = at_least_shown(standing.least_mismatch, 1)
        fitting = standing.fitting
        name = squad.drivetrains[standing.best].name if fitting is None else fitting.best.name
        told.append(f"mismatch {best} with {quoted(name)}, {mine} with {on}")
    if outlier.far_above:
        told.append(f"mismatch {mine} with {on}, far above the others'")
    return "; ".join(told)


def break_even_shown(found: BreakEven | None) -> str:
    """The power at which the gears turn enough: `183`, `<86` or `>344` outside the search."""
    if found is None:
        return "-"
    if found.power_w is not None:
        return f"{found.power_w:.0f}"
    low_w, high_w = found.searched_w
    return f"<{math.ceil(low_w)}" if found.holds_now else f">{math.floor(high_w)}"


def more_minutes(seconds: float, decimals: int) -> str:
    """A difference in minutes with its sign: `+12`, `-<1`, `0`."""
    shown = at_least_shown(abs(seconds) / SECONDS_PER_MINUTE, decimals)
    return shown if seconds == 0.0 else f"{'+' if seconds > 0.0 else '-'}{shown}"


def definitions(squad: Squad) -> tuple[str, ...]:
    """What the words of a squad's results mean, and what was assumed."""
    best = "best" if squad.sought is None else "best of all that fits and of what they have"
    closed = any(each.closed for each in squad.standings)
    not_theirs = "( ): cannot be fitted for the athlete as wished; ridden only to be seen."
    return (
        "All together: the seconds of all athletes counted as one ride.",
        f"As good: within half a point of mismatch, or a tenth, of the athlete's {best}; rider, "
        "bike and weather are hardly ever known better (judgement, no source).",
        *([not_theirs] if closed else []),
        "Power needed: the least with which the athlete rides the route on the gears they have "
        f"without walking and with at most {about(squad.most_below_s)} below the lowest gear, "
        "critical and largest power changing with it; known to 1 %, sought from half to twice the "
        "athlete's own.",
        "Far above the others: more than three standard deviations above the median, by the "
        "median absolute deviation; asked of five athletes or more.",
        ASSUMED,
    )


def unsettled(squad: Squad) -> tuple[str, ...]:
    """A caution where shift plans had not settled."""
    if not squad.unsettled:
        return ()
    return (
        f"The shift plan had not quite settled in {count_of(squad.unsettled, 'ride')}: "
        "times there may be off by a little.",
    )
