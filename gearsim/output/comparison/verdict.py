"""Who wins and why, in a sentence or two."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from gearsim.output.cautions import heights_caution
from gearsim.output.fit.words import DOES_NOT_FIT, WHERE_MORE, misfit_words
from gearsim.output.words import (
    STATE_PHRASES,
    TROUBLES,
    about,
    at_least_shown,
    clean,
    listed,
    shorten,
    stretch,
)
from gearsim.ride.score import Score, WorstPlace
from gearsim.ride.states import State
from gearsim.studies.compare import Candidate, Comparison, Ends, doubtful_heights_decide
from gearsim.studies.finish_band import ERROR_BAND
from gearsim.studies.near_tie import near_tie

HARD = TROUBLES[:3]  # what makes a rider get off, push or stop pedalling

TOLD_FROM_S = 30.0  # differences under half a minute are not worth a sentence
TOLD_FINISH_SHARE = 0.005  # nor are finish times within half a percent
NEAR_M = 150.0  # a named place so near is where the trouble begins
MOST_LETTERS = 32  # of a name in a sentence

_HARDSHIP: dict[State, float] = {
    State.WALKING: 3.0,
    State.BELOW_LOWEST_GEAR: 2.0,
    State.SPUN_OUT: 1.0,
    State.UNDER_BAND: 0.5,
    State.OVER_BAND: 0.5,
}
"""Which of two differences is told first; the order only, no figure shown depends on it."""


def verdict(comparison: Comparison) -> str:
    """The winner or the near tie and what tells them apart; what fits, what is left, how sure."""
    told = (
        _won(comparison),
        _doubtful(comparison),
        _fitting(comparison),
        _left_over(comparison.candidates[0]),
        _unsure(comparison),
    )
    return " ".join(sentence for sentence in told if sentence)


def _won(comparison: Comparison) -> str:
    best, *others = comparison.candidates
    if not others:
        return f"{_scored(best)} is the only drivetrain: nothing to rank."
    tied = _tied(comparison)
    apart = _apart(best, others[0])
    if tied:
        names = listed([_scored(candidate) for candidate in (best, *tied)])
        told = f" {_named(best)}, against {_named(others[0])}: {apart}." if apart else ""
        return f"A near tie: {names} are closer than the model can tell apart.{told}"
    told = f": {apart}" if apart else ""
    return f"{_scored(best)} suits this route best, ahead of {_scored(others[0])}{told}."


def _tied(comparison: Comparison) -> list[Candidate]:
    best, *others = comparison.candidates
    return [other for other in others if is_near_tie(best, other)]


def _doubtful(comparison: Comparison) -> str:
    """What to check first where the verdict rests on grades that hardly any road has."""
    if not doubtful_heights_decide(comparison):
        return ""
    return "".join(heights_caution(comparison.candidates[0].ride.course, decide=True))


def _fitting(comparison: Comparison) -> str:
    """Which of those named do not fit as told, and what the best is that does."""
    best, *others = comparison.candidates
    if best.misfits:
        why = f"{_named(best)} {DOES_NOT_FIT} ({misfit_words(best)}; {WHERE_MORE})"
        return f"{why}{_best_that_fits(others)}."
    named = _tied(comparison) or others[:1]
    misfits = [_named(candidate) for candidate in named if candidate.misfits]
    if not misfits:
        return ""
    told = DOES_NOT_FIT if len(misfits) == 1 else DOES_NOT_FIT.replace("does", "do")
    return f"{listed(misfits)} {told} ({WHERE_MORE})."


def _best_that_fits(others: Sequence[Candidate]) -> str:
    fitting = [candidate for candidate in others if not candidate.misfits]
    if not fitting:
        return ", and none of the others does" if others else ""
    left = _troubles(fitting[0])
    return f"; the best that fits is {_scored(fitting[0])}{f', with {left}' if left else ''}"


def _unsure(comparison: Comparison) -> str:
    """What turns were the model off as far as was published: who is ahead, and who walks."""
    fewer, more = (f"{100.0 * abs(error):.3g} %" for error in ERROR_BAND)
    cases = (
        (f"with {fewer} less power", _turns(comparison, lambda ends: ends.slow)),
        (f"with {more} more power", _turns(comparison, lambda ends: ends.fast)),
    )
    told = "; ".join(f"{power} {listed(turns)}" for power, turns in cases if turns)
    return f"{told[:1].upper()}{told[1:]}: the model may be off by as much." if told else ""


def _turns(comparison: Comparison, end: Callable[[Ends], Score]) -> list[str]:
    leaders = [(each, end(each.ends)) for each in comparison.candidates if each.ends is not None]
    if not leaders:
        return []
    best, score = leaders[0]
    ahead, _ = min(leaders, key=lambda found: found[1].mismatch)
    turns = [] if ahead in (best, *_tied(comparison)) else [f"{_named(ahead)} is ahead"]
    walked_s, walks_s = best.score.seconds[State.WALKING], score.seconds[State.WALKING]
    if walked_s < TOLD_FROM_S <= walks_s:
        turns.append(f"{_named(best)} walks {about(walks_s)}")
    return turns


def is_near_tie(better: Candidate, other: Candidate) -> bool:
    """Whether two mismatches are closer than what goes into them is known."""
    return near_tie(better.score.mismatch, other.score.mismatch)


def _named(candidate: Candidate) -> str:
    return f"“{shorten(clean(candidate.name), MOST_LETTERS)}”"


def _scored(candidate: Candidate) -> str:
    return f"{_named(candidate)} (mismatch {at_least_shown(candidate.score.mismatch, 1)})"


def _apart(better: Candidate, other: Candidate) -> str:
    """`9 min less over the band, but 2 min more spun out`; empty where nothing differs much."""
    saved = {state: other.score.seconds[state] - better.score.seconds[state] for state in TROUBLES}
    told = {state: seconds for state, seconds in saved.items() if abs(seconds) >= TOLD_FROM_S}
    order = sorted(told, key=lambda state: -abs(told[state]) * _HARDSHIP[state])
    less = [f"{about(told[s])} less {STATE_PHRASES[s]}" for s in order if told[s] > 0.0]
    more = [f"{about(-told[s])} more {STATE_PHRASES[s]}" for s in order if told[s] < 0.0]
    said = listed(less[:2]) + (", but " if less and more else "") + "".join(more[:1])
    return ", ".join(part for part in (said, _sooner(better, other)) if part)


def _sooner(better: Candidate, other: Candidate) -> str:
    """`finishing 8 min sooner`; empty where the finish hardly differs."""
    seconds = other.score.finish_s - better.score.finish_s
    if abs(seconds) < TOLD_FINISH_SHARE * better.score.finish_s:
        return ""
    return f"finishing {about(abs(seconds))} {'sooner' if seconds > 0.0 else 'later'}"


def _left_over(best: Candidate) -> str:
    """What even the best leaves the rider with, and where it is worst."""
    told = _troubles(best)
    if not told:
        return f"With {_named(best)} the rider never walks, spins out or runs out of low gears."
    hard = [place for place in best.worst if place.state in HARD]
    if not hard:
        return f"{_named(best)} still leaves {told}."
    place = hard[0]
    road = stretch(place.length_m, place.grade)
    at = f"km {place.start_m / 1000.0:.1f}{_near(best, place)} ({road})"
    return f"{_named(best)} still leaves {told}; the worst is at {at}."


def _troubles(candidate: Candidate) -> str:
    """Time walking, below the lowest gear and spun out: `5 min walking and <1 min spun out`."""
    seconds = candidate.score.seconds
    return listed(
        [
            f"{about(seconds[state])} {STATE_PHRASES[state]}"
            for state in HARD
            if seconds[state] > 0.0
        ]
    )


def _near(candidate: Candidate, place: WorstPlace) -> str:
    """The name of the place on the course where it begins, if it has one."""
    for named in candidate.ride.course.places:
        if abs(named.distance_m - place.start_m) <= NEAR_M:
            return f", {shorten(clean(named.name), MOST_LETTERS)}"
    return ""
