"""What the text, the tables and the picture of a squad say in the same words."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gearsim.lists.athletes import ASSUMED
from gearsim.output.words import about, at_least_shown, clean, listed, shorten
from gearsim.setup.conditions import Conditions
from gearsim.studies.break_even import BreakEven
from gearsim.studies.near_tie import near_tie
from gearsim.studies.squad import Outlier, Squad, Standing
from gearsim.units import KMH_PER_MPS, SECONDS_PER_MINUTE

MOST_LETTERS = 32  # of a name in a sentence
MOST_NAMED = 5  # in a sentence
TOLD_COST_POINTS = 0.5  # of mismatch; less is not worth a sentence


def letter(place: int) -> str:
    """The letters that stand for a column: A to Z, AA, AB ..."""
    before, last = divmod(place, 26)
    return (letter(before - 1) if before else "") + chr(ord("A") + last)


def quoted(name: str) -> str:
    """A name in a sentence."""
    return f"“{shorten(clean(name), MOST_LETTERS)}”"


def count_of(number: int, what: str) -> str:
    """`1 athlete`, `12 athletes`."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def names(standings: Sequence[Standing], most: int = MOST_NAMED) -> str:
    """The names of athletes in a row, and how many more there are."""
    shown = [shorten(clean(each.athlete.name), MOST_LETTERS) for each in standings[:most]]
    if len(standings) > most:
        shown.append(f"{len(standings) - most} more")
    return listed(shown)


def squad_verdict(squad: Squad) -> str:
    """Which drivetrain suits all together, whom it does not, and whose own gears cost most."""
    told = [_choice(squad), _loses(squad), _far_above(squad), _dearest(squad)]
    return " ".join(part for part in told if part)


def _choice(squad: Squad) -> str:
    scored = f"{quoted(squad.choice.name)} (mismatch {at_least_shown(squad.together[0], 1)}"
    if len(squad.drivetrains) == 1:
        return f"{scored}, all together) is the only drivetrain: nothing to choose."
    number = len(squad.standings)
    suited = sum(each.will_do(0) for each in squad.standings)
    everyone = {1: "the one athlete", 2: "both"}.get(number, f"all {number}")
    whom = everyone if suited == number else f"{suited} of {number}"
    tied = near_tie(squad.together[0], squad.together[1])
    then = "next and hardly worse" if tied else "next"
    return (
        f"One for all: {scored}, all together), the best or as good for {whom}; {then} is "
        f"{quoted(squad.drivetrains[1].name)} ({at_least_shown(squad.together[1], 1)})."
    )


def _loses(squad: Squad) -> str:
    losing = [outlier.standing for outlier in squad.outliers if outlier.loses]
    return f"Better off with others: {names(losing)}." if losing else ""


def _far_above(squad: Squad) -> str:
    far = [outlier.standing for outlier in squad.outliers if outlier.far_above]
    return f"Far worse off with it than the rest: {names(far)}." if far else ""


def _dearest(squad: Squad) -> str:
    dearest: tuple[float, Standing] | None = None
    for each in squad.standings:
        cost = each.cost
        if cost is not None and (dearest is None or cost.mismatch > dearest[0]):
            dearest = cost.mismatch, each
    if dearest is None or dearest[0] < TOLD_COST_POINTS:
        return ""
    standing = dearest[1]
    has, best = (standing.scores[n or 0].mismatch for n in (standing.has, standing.best))
    return (
        f"The gears they have cost most for {names([standing])}: mismatch "
        f"{at_least_shown(has, 1)}, where {at_least_shown(best, 1)} is possible."
    )


def stands_out(squad: Squad, outlier: Outlier) -> str:
    """Why the squad's choice does not suit an athlete."""
    standing = outlier.standing
    mine = at_least_shown(standing.scores[0].mismatch, 1)
    told = []
    if outlier.loses:
        best = at_least_shown(standing.scores[standing.best].mismatch, 1)
        gears = quoted(squad.drivetrains[standing.best].name)
        told.append(f"mismatch {best} with {gears}, {mine} with the squad's choice")
    if outlier.far_above:
        told.append(f"mismatch {mine} with the squad's choice, far above the others'")
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


def day(conditions: Conditions) -> str:
    """The day in a few words."""
    from_deg = math.degrees(conditions.wind_from_rad) % 360.0
    wind = f"wind {conditions.wind_mps * KMH_PER_MPS:.0f} km/h from {from_deg:.0f}°"
    ground = "wet" if conditions.wet else "dry"
    blowing = wind if conditions.wind_mps > 0.0 else "no wind"
    return f"{conditions.temperature_c:g} °C, {ground}, {blowing}."


def definitions(squad: Squad) -> tuple[str, ...]:
    """What the words of a squad's results mean, and what was assumed."""
    return (
        "All together: the seconds of all athletes counted as one ride.",
        "As good: within half a point of mismatch, or a tenth, of the athlete's best; rider, bike "
        "and weather are hardly ever known better (judgement, no source).",
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
