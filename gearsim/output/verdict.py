"""Who wins and why, in a sentence or two."""

from __future__ import annotations

from gearsim.output.words import (
    STATE_PHRASES,
    TROUBLES,
    about,
    at_least_shown,
    clean,
    listed,
    percent,
    shorten,
)
from gearsim.ride.score import WorstPlace
from gearsim.ride.states import State
from gearsim.studies.compare import Candidate, Comparison

NEAR_TIE_POINTS = 0.5
NEAR_TIE_SHARE = 0.1
"""Mismatches within half a point, or a tenth, of each other are a near tie: rider, bike and
weather are hardly ever known better than that (judgement, no source)."""

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
    """One to three sentences: the winner or the near tie, what tells them apart, what is left."""
    best, *others = comparison.candidates
    if not others:
        return f"{_scored(best)} is the only drivetrain: nothing to rank. {_left_over(best)}"
    tied = [other for other in others if is_near_tie(best, other)]
    apart = _apart(best, others[0])
    if tied:
        names = listed([_scored(candidate) for candidate in (best, *tied)])
        told = f" {_named(best)}, against {_named(others[0])}: {apart}." if apart else ""
        won = f"A near tie: {names} are closer than the model can tell apart.{told}"
    else:
        told = f": {apart}" if apart else ""
        won = f"{_scored(best)} suits this route best, ahead of {_scored(others[0])}{told}."
    return f"{won} {_left_over(best)}"


def is_near_tie(better: Candidate, other: Candidate) -> bool:
    """Whether two mismatches are closer than what goes into them is known."""
    gap = other.score.mismatch - better.score.mismatch
    return gap < max(NEAR_TIE_POINTS, NEAR_TIE_SHARE * other.score.mismatch)


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
    seconds = best.score.seconds
    hard = [state for state in TROUBLES[:3] if seconds[state] > 0.0]
    if not hard:
        return f"With {_named(best)} the rider never walks, spins out or runs out of low gears."
    told = listed([f"{about(seconds[state])} {STATE_PHRASES[state]}" for state in hard])
    places = [place for place in best.worst if place.state in hard]
    if not places:
        return f"{_named(best)} still leaves {told}."
    at = f"km {places[0].start_m / 1000.0:.1f}{_near(best, places[0])}"
    at += f" ({percent(places[0].grade)})"
    return f"{_named(best)} still leaves {told}; the worst is at {at}."


def _near(candidate: Candidate, place: WorstPlace) -> str:
    """The name of the place on the course where it begins, if it has one."""
    for named in candidate.ride.course.places:
        if abs(named.distance_m - place.start_m) <= NEAR_M:
            return f", {shorten(clean(named.name), MOST_LETTERS)}"
    return ""
