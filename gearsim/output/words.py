"""Numbers and names as people read them: the same in tables, text and pictures."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from gearsim.ride.states import Cause, State
from gearsim.setup.gears import Gears
from gearsim.units import SECONDS_PER_HOUR, SECONDS_PER_MINUTE

SHORT_RIDE_S = 3600.0  # up to an hour, tenths of a minute are told

STATE_PHRASES: dict[State, str] = {
    State.ON_TARGET: "on target",
    State.UNDER_BAND: "under the band",
    State.OVER_BAND: "over the band",
    State.BELOW_LOWEST_GEAR: "below the lowest gear",
    State.WALKING: "walking",
    State.SPUN_OUT: "spun out",
    State.COASTING: "coasting",
}
"""The states as they stand in a sentence."""

TROUBLES = (
    State.WALKING,
    State.BELOW_LOWEST_GEAR,
    State.SPUN_OUT,
    State.UNDER_BAND,
    State.OVER_BAND,
)
"""The states in which gears do not suit, the hardest on the rider first."""

CAUTIONS = (
    "An estimate, not a promise: outdoors, climbing power from such a model differed from a power "
    "meter by -0.95 % on average, 95 % of the time between -10.4 and +8.5 % (Millet et al. 2014). "
    "Predicted speeds and times share that band.",
    "Local rules, makers' limits and a qualified mechanic come first.",
    "Descending speeds are an upper bound in a model, not advice.",
)
"""What stands under every result."""


def clean(text: str) -> str:
    """A name on one line: control, formatting and unassigned characters become spaces."""
    shown = (" " if unicodedata.category(letter)[0] == "C" else letter for letter in text)
    return " ".join("".join(shown).split())


def shorten(text: str, most: int) -> str:
    """The text, cut to `most` characters with an ellipsis where it is longer."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def at_least_shown(value: float, decimals: int = 0) -> str:
    """A number of 0 or more, rounded: `0` for a true zero only, else `<1` (`<0.1`, ...) or more."""
    if value == 0.0:
        return "0"
    smallest = 10.0**-decimals
    if value < smallest:
        return f"<{smallest:.{decimals}f}"
    return f"{value:.{decimals}f}"


def minute_decimals(longest_s: float) -> int:
    """Decimals that minutes deserve in a table of rides of which the longest takes so long."""
    return 1 if longest_s < SHORT_RIDE_S else 0


def minutes(seconds: float, decimals: int = 0) -> str:
    """A time in minutes, the unit left to the column's head."""
    return at_least_shown(seconds / SECONDS_PER_MINUTE, decimals)


def duration(seconds: float) -> str:
    """A time with its units: `45 s`, `1 min 27 s`, `12 min`, `4 h 16 min`."""
    if seconds < SECONDS_PER_MINUTE - 0.5:
        return f"{at_least_shown(seconds)} s"
    if seconds < 10 * SECONDS_PER_MINUTE:
        whole, rest = divmod(round(seconds), round(SECONDS_PER_MINUTE))
        return f"{whole} min {rest:02d} s" if rest else f"{whole} min"
    if seconds < SECONDS_PER_HOUR - SECONDS_PER_MINUTE / 2:
        return f"{seconds / SECONDS_PER_MINUTE:.0f} min"
    whole, rest = divmod(round(seconds / SECONDS_PER_MINUTE), 60)
    return f"{whole} h {rest:02d} min"


def about(seconds: float) -> str:
    """A sum of time in whole minutes: `<1 min`, `12 min`, `4 h 16 min`."""
    if seconds < SECONDS_PER_HOUR - SECONDS_PER_MINUTE / 2:
        return f"{minutes(seconds)} min"
    return duration(seconds)


def clock(seconds: float) -> str:
    """A finish time as hours and minutes, `4:16`."""
    whole, rest = divmod(round(seconds / SECONDS_PER_MINUTE), 60)
    return f"{whole}:{rest:02d}"


def percent(fraction: float) -> str:
    """A grade in whole percent: `16 %`; `<1 %` or `>-1 %` where rounding would make it level."""
    whole = 100.0 * fraction
    if 0.0 < abs(whole) < 0.5:
        return "<1 %" if whole > 0.0 else ">-1 %"
    return f"{whole:.0f} %"


def mean_grade(fraction: float) -> str:
    """The mean grade of a stretch of road: `16 %`, or `level` where it is less than half a percent.

    Where the sign of almost nothing would only puzzle.
    """
    return percent(fraction) if abs(fraction) >= 0.005 else "level"


def stretch(length_m: float, grade: float) -> str:
    """A stretch of road by its length and mean grade: `180 m, mean 23 %`, `40 m, level`."""
    told = mean_grade(grade)
    return f"{length_m:.0f} m, {told if told == 'level' else f'mean {told}'}"


def share(fraction: float) -> str:
    """A share in whole percent: `0 %` only for none, `100 %` only for all."""
    if 0.99 < fraction < 1.0:
        return ">99 %"
    return f"{at_least_shown(100.0 * fraction)} %"


def finish_head(stops_s: float) -> str:
    """What a time from start to finish is called: it has only those stops in it that are told."""
    return "finish" if stops_s > 0.0 else "riding time"


def listed(parts: Sequence[str]) -> str:
    """Words in a row: `a`, `a and b`, `a, b and c`."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def gear_name(gears: Gears, gear: int) -> str:
    """A gear as riders say it: `30×34`, or `ratio 0.85` for a hub gear."""
    if gears.chainring[gear] == 0:
        return f"ratio {gears.ratio[gear]:.2f}"
    return f"{gears.chainring[gear]}×{gears.sprocket[gear]}"


def what_happens(state: State, cause: Cause) -> str:
    """The state, and for cadence outside the band also its cause."""
    if cause == Cause.NONE or state not in (State.UNDER_BAND, State.OVER_BAND):
        return str(state)
    return f"{state}, {cause}"


def letter(place: int) -> str:
    """The letters that stand for a column: A to Z, AA, AB ..."""
    before, last = divmod(place, 26)
    return (letter(before - 1) if before else "") + chr(ord("A") + last)
