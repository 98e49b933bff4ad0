"""Replays as text: predicted against recorded, errors first, whatever they are."""

from __future__ import annotations

import numpy as np

from gearsim.output.learn_text import refusal_words
from gearsim.output.page import Page
from gearsim.output.words import clean, duration, share
from gearsim.studies.replay import (
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
    page.gap()
    page.prose(MEANING, style="dim")
    return page.text()


def error_words(error: float | None) -> str:
    """An error of time: `2.1 % too long`, `3.0 % too short`."""
    if error is None:
        return "no power was recorded"
    side = "too long" if error > 0.0 else "too short"
    return f"{100.0 * abs(error):.1f} % {side}"


def _add_replay(page: Page, replay: Replay) -> None:
    taught = ", ".join(clean(recording.name) for recording in replay.learnt.recordings)
    page.heading(f"{clean(replay.recording.name)}, from what {taught} taught")
    page.item("-", f"Recorded: {duration(replay.moving_s)} of moving.")
    predicted = duration(replay.ride.finish_s)
    page.item("-", f"By learnt pace: {predicted}, {error_words(replay.error)}.")
    if replay.powered is not None:
        predicted = duration(replay.powered.finish_s)
        page.item("-", f"By recorded power: {predicted}, {error_words(replay.powered_error)}.")
    page.item("-", _energy_words(replay))
    page.item("-", _cadence_words(replay))
    page.item("-", _gear_words(replay))
    for refusal in replay.learnt.refusals:
        page.item("-", f"Not learnt, the default used. {refusal_words(refusal)}")
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
