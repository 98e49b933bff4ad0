"""Replays as text: predicted against recorded, errors first, whatever they are."""

from __future__ import annotations

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
from gearsim.studies.replay.use import common_share, predicted_cadence
from gearsim.units import KMH_PER_MPS

MEANING = (
    "By learnt pace: the whole ride is predicted, pace and gears too. By recorded power: the "
    "recorded power is ridden along the course in gears, with the stops where they were, and rolls "
    "where the rider let it roll (pedalling on under 7 km/h, since nobody rolls to a standstill), "
    "so that only forces and gears are put to the test. Both use drag, rolling, wind and gears "
    "learnt elsewhere only."
)


def replay_text(replays: tuple[Replay, ...], width: int, colour: bool) -> str:
    """Moving time, speed by grade, cadence, gear use and energy of every replay.

    No line is wider than `width` columns (from 60 on); without `colour` there are no escape codes.
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
    predicted = duration(replay.ride.moving_s)
    page.item("-", f"By learnt pace: {predicted}, {error_words(replay.error)}.")
    if replay.powered is not None:
        predicted = duration(replay.powered.moving_s)
        page.item("-", f"By recorded power: {predicted}, {error_words(replay.powered_error)}.")
    page.item("-", _ridden_words(replay))
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


def _ridden_words(replay: Replay) -> str:
    """The gears that were ridden, and where they are from."""
    drivetrain, parts = replay.ride.drivetrain, replay.learnt.believed_parts
    rings = "/".join(str(teeth) for teeth in drivetrain.chainrings)
    gears = f"{rings} with {drivetrain.sprockets[0]} to {drivetrain.sprockets[-1]}"
    if parts is None or not replay.gears_found:
        return f"Ridden on stand-in gears, {gears}: no parts were found that have the bike's."
    return (
        f"Ridden on {gears}, of the parts list the likeliest for the gears seen (chance "
        f"{share(parts.chance)})."
    )


def _energy_words(replay: Replay) -> str:
    predicted = replay.ride.energy.pedalling_j / 1000.0
    if replay.recorded_work_j is None or replay.powered is None:
        return f"Work at the cranks: {predicted:.0f} kJ by learnt pace, none recorded."
    recorded = replay.recorded_work_j / 1000.0
    powered = replay.powered.energy.pedalling_j / 1000.0
    return (
        f"Work at the cranks: {recorded:.0f} kJ recorded; {_kj_words(predicted, recorded)} by "
        f"learnt pace, {_kj_words(powered, recorded)} by recorded power."
    )


def _kj_words(kj: float, recorded_kj: float) -> str:
    return f"{kj:.0f} ({100.0 * (kj / recorded_kj - 1.0):+.0f} %)"


def _cadence_words(replay: Replay) -> str:
    if replay.cadence is None:
        mean_rpm = predicted_cadence(replay.ride).mean_rpm
        return f"Cadence while pedalling: {mean_rpm:.0f} rpm by learnt pace, none recorded."
    recorded = f"Cadence while pedalling: {replay.cadence.mean_rpm:.0f} rpm recorded"
    if not replay.gears_found:
        return f"{recorded}; not compared, since no gears were found."
    told = []
    for way, ride in (("learnt pace", replay.ride), ("recorded power", replay.powered)):
        if ride is not None:
            predicted = predicted_cadence(ride)
            common = share(common_share(replay.cadence.shares, predicted.shares))
            told.append(f"{predicted.mean_rpm:.0f} by {way} ({common} of time as recorded)")
    return f"{recorded}; {', '.join(told)}."


def _gear_words(replay: Replay) -> str:
    use = replay.gear_use
    if use is None:
        return "Gear use: not compared, since no gears were found or no cadence was recorded."
    told = f"{share(common_share(use.recorded, use.by_pace))} by learnt pace"
    if use.by_power is not None:
        told = f"{told}, {share(common_share(use.recorded, use.by_power))} by recorded power"
    return f"Gear use, pedalling time in the gears as recorded: {told}."
