"""Replays as text: predicted against recorded, errors first, whatever they are."""

from __future__ import annotations

import numpy as np

from gearsim.output.learn.names import names_of
from gearsim.output.learn.words import mass_doubt_words
from gearsim.output.page import Page
from gearsim.output.words import duration, listed, share
from gearsim.studies.replay.replay import (
    GradeClass,
    Replay,
    error_together,
    powered_error_together,
)
from gearsim.units import KMH_PER_MPS

MEANING = (
    "By learnt pace: the whole ride is predicted, pace and gears too. By recorded power: the "
    "recorded power is ridden along the course with the stops where they were (pedalling on under "
    "7 km/h, since nobody rolls to a standstill), so that only the forces are put to the test. "
    "Both use drag, rolling and wind learnt elsewhere only."
)


def replay_text(replays: tuple[Replay, ...], width: int, colour: bool) -> str:
    """Moving time, speed by grade, cadence, gear use and energy of every replay.

    No line is wider than `width` columns (from 80 on); without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    for number, replay in enumerate(replays):
        if number > 0:
            page.gap()
        _add_replay(page, replay)
    if len(replays) > 1:
        page.section("All parts together, each predicted by another")
        page.item("-", f"By learnt pace {error_words(error_together(replays))}.")
        powered = powered_error_together(replays)
        if powered is not None:
            page.item("-", f"By recorded power {error_words(powered)}.")
    _add_taken_for_granted(page, replays)
    page.gap()
    page.prose(MEANING, style="dim")
    return page.text()


def error_words(error: float | None) -> str:
    """An error of time: `2.1 % too long`, `3.0 % too short`."""
    if error is None:
        return "no power was recorded"
    side = "too long" if error > 0.0 else "too short"
    return f"{100.0 * abs(error):.1f} % {side}"


def replay_title(replay: Replay) -> str:
    """Which ride is predicted, and by what."""
    ridden, *taught = names_of((replay.recording, *replay.learnt.recordings))
    if replay.recording.part:
        taught = [recording.part for recording in replay.learnt.recordings]
        return f"{ridden}, from what its {listed(taught)} taught"
    return f"{ridden}, from what {listed(taught)} taught"


def _add_taken_for_granted(page: Page, replays: tuple[Replay, ...]) -> None:
    """What was assumed, and what was not learnt, each once with what it concerns."""
    assumed = dict.fromkeys(a for replay in replays for a in replay.learnt.given.assumptions)
    doubted = dict.fromkeys(mass_doubt_words(replay.learnt) for replay in replays)
    not_learnt = _refusal_sentences(replays)
    if not (assumed or not_learnt):
        return
    page.section("Assumed, or the plan's default where it was not learnt")
    for assumption in assumed:
        page.item("-", f"Assumed: {assumption}.")
    for words in doubted:
        if words:
            page.item("!", words)
    for sentence in not_learnt:
        page.item("-", sentence)


def _refusal_sentences(replays: tuple[Replay, ...]) -> list[str]:
    """What was not learnt: the reasons of all teachers together, the remedy once."""
    reasons: dict[str, dict[str, list[str]]] = {}
    remedies: dict[str, str] = {}
    for replay in replays:
        teacher = listed([recording.part for recording in replay.learnt.recordings])
        for refusal in replay.learnt.refusals:
            reasons.setdefault(refusal.what, {}).setdefault(refusal.why, []).append(teacher)
            remedies[refusal.what] = refusal.remedy
    sentences = []
    for what, whys in reasons.items():
        told = "; ".join(_of_teachers(why, by, len(replays)) for why, by in whys.items())
        sentences.append(f"{what[0].upper()}{what[1:]}: {told}; {remedies[what]}.")
    return sentences


def _of_teachers(why: str, teachers: list[str], all_of_them: int) -> str:
    return why if len(teachers) == all_of_them else f"{why} ({listed(teachers)})"


def _add_replay(page: Page, replay: Replay) -> None:
    page.heading(replay_title(replay))
    page.item("-", f"Recorded: {duration(replay.moving_s)} of moving.")
    predicted = duration(replay.ride.finish_s)
    page.item("-", f"By learnt pace: {predicted}, {error_words(replay.error)}.")
    if replay.powered is not None:
        predicted = duration(replay.powered.finish_s)
        page.item("-", f"By recorded power: {predicted}, {error_words(replay.powered_error)}.")
    page.item("-", _energy_words(replay))
    page.item("-", _cadence_words(replay))
    page.item("-", _gear_words(replay))
    for doubt in replay.learnt.doubts:
        page.item("!", f"Used as it was found, though {doubt}.")
    page.section("Speed by grade, km/h")
    table = page.ranked(["km", "recorded", "learnt\npace", "recorded\npower"], "grade")
    for number, one in enumerate(replay.classes, start=1):
        if one.length_m > 0.0:
            table.add_row(str(number), one.name, *_class_cells(one))
    page.table(table)


def _class_cells(one: GradeClass) -> tuple[str, ...]:
    speeds = [one.recorded_s, one.predicted_s, one.powered_s]
    shown = ["-" if s is None else f"{KMH_PER_MPS * one.speed_mps(s):.1f}" for s in speeds]
    return (f"{one.length_m / 1000.0:.1f}", *shown)


def _energy_words(replay: Replay) -> str:
    predicted = replay.ride.energy.pedalling_j / 1000.0
    if replay.recorded_work_j is None:
        return f"Work at the cranks: {predicted:.0f} kJ predicted, none recorded."
    recorded = replay.recorded_work_j / 1000.0
    more = 100.0 * (predicted / recorded - 1.0)
    told = f"{recorded:.0f} kJ recorded, {predicted:.0f} predicted ({more:+.0f} %)"
    return f"Work at the cranks: {told}."


def _cadence_words(replay: Replay) -> str:
    rpm, seconds = replay.predicted_cadence
    predicted = float(np.average(rpm, weights=seconds)) if len(rpm) else 0.0
    recorded = replay.recorded_cadence_rpm
    if len(recorded) == 0:
        return f"Cadence: {predicted:.0f} rpm predicted, none recorded."
    return (
        f"Cadence while pedalling: {recorded.mean():.0f} rpm recorded, {predicted:.0f} predicted."
    )


def _gear_words(replay: Replay) -> str:
    use = replay.gear_use
    if use is None:
        return "Gear use: not compared, since no gears were learnt or no cadence was recorded."
    return f"Gear use: {share(use.overlap)} of pedalling time is in the same gears in both."
