"""What was learnt from past rides, as text: numbers with intervals, and what cannot be said."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from gearsim.course.recorded.recording import Recording
from gearsim.output.learn.bike_words import bike_lines, doubt_words
from gearsim.output.learn.names import names_of
from gearsim.output.learn.words import Line, climb_words, mass_doubt_words, rider_lines
from gearsim.output.page import Page
from gearsim.output.words import clean, duration, listed, share
from gearsim.studies.learn.climbing import ClimbingPower
from gearsim.studies.learn.estimate import Refusal
from gearsim.studies.learn.gears import SeenGears
from gearsim.studies.learn.learn import Learnt
from gearsim.studies.learn.resistance import Resistance

if TYPE_CHECKING:
    from rich.table import Table

CAUTION = (
    "Intervals hold the truth nine times in ten where the rider rode alone, in a wind that is "
    "steady but for gusts. Riding behind others makes the drag area come out too small; a wind "
    "that turns during the ride is the largest thing that nobody recorded."
)


def learnt_text(learnt: Learnt, width: int, colour: bool) -> str:
    """Moving time, rider, bike and gears with evidence, and what the recordings cannot say.

    No line is wider than `width` columns (from 60 on); without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    page.heading(f"Learnt from {listed(names_of(learnt.recordings))}")
    for recording in learnt.recordings:
        page.item("-", moving_words(recording))
    for assumption in learnt.given.assumptions:
        page.item("-", f"Assumed: {assumption}.")
    _add_cautions(page, learnt)
    page.section("Rider")
    _add_lines(page, rider_lines(learnt))
    if isinstance(learnt.climbing, ClimbingPower):
        page.item("-", climb_words(learnt.climbing))
    page.section("Bike")
    _add_lines(page, bike_lines(learnt))
    if isinstance(learnt.resistance, Resistance):
        _add_resistance(page, learnt, learnt.resistance)
    if isinstance(learnt.gears, SeenGears):
        page.section("Gears seen")
        _add_gears(page, learnt, learnt.gears)
    _add_refusals(page, learnt)
    page.gap()
    page.prose(CAUTION, style="dim")
    return page.text()


def moving_words(recording: Recording) -> str:
    """Moving time, stops and readings of a recording, a few sentences."""
    stopped = sum(stop.duration_s for stop in recording.stops)
    stops = "no stops"
    if recording.stops:
        count = len(recording.stops)
        stops = f"{count} stop{'' if count == 1 else 's'} ({duration(stopped)})"
    has = [
        name
        for name, there in (
            ("speed", recording.speed_recorded),
            ("power", recording.has_power),
            ("cadence", recording.has_cadence),
            ("heart rate", not math.isnan(_mean(recording))),
        )
        if there
    ]
    km = recording.course.length_m / 1000.0
    readings = ", ".join(has) if has else "nothing but places and times"
    return (
        f"{clean(recording.source)}: {km:.1f} km, moving {duration(recording.moving_s)}, {stops}; "
        f"recorded: {readings}."
    )


def _mean(recording: Recording) -> float:
    known = recording.heart_rate_bpm[recording.heart_rate_bpm > 0.0]
    return float(known.mean()) if len(known) else math.nan


def refusal_words(refusal: Refusal) -> str:
    """A refusal as a sentence: what, why, and what recording would tell."""
    return f"{refusal.what[0].upper()}{refusal.what[1:]}: {refusal.why}; {refusal.remedy}."


def _add_lines(page: Page, lines: tuple[Line, ...]) -> None:
    for line in lines:
        if line.left_out:
            page.item(
                "!",
                f"{line.key} = {line.value}, left out of the plan: {line.left_out}. "
                f"Found {line.evidence}.",
            )
        else:
            page.item("-", f"{line.key} = {line.value}: {line.evidence}.")


def _add_cautions(page: Page, learnt: Learnt) -> None:
    """What is likely wrong with what was told or assumed, where everybody reads it."""
    for words in (mass_doubt_words(learnt), doubt_words(learnt)):
        if words:
            page.item("!", words)


def _add_refusals(page: Page, learnt: Learnt) -> None:
    """What all rides together do not tell, and which of them lack what others have."""
    lacking = lacking_words(learnt.recordings)
    if not learnt.refusals and not lacking:
        return
    count = len(learnt.recordings)
    these = "this recording" if count == 1 else f"these {count} recordings together"
    page.section(f"What {these} cannot say")
    for refusal in learnt.refusals:
        page.item("-", refusal_words(refusal))
    for words in lacking:
        page.item("-", words)


def lacking_words(recordings: tuple[Recording, ...]) -> tuple[str, ...]:
    """Which rides lack power or cadence where others have it, a sentence each."""
    names = names_of(recordings)
    said = []
    for what, has in (
        ("power", [recording.has_power for recording in recordings]),
        ("cadence", [recording.has_cadence for recording in recordings]),
    ):
        without = [name for name, there in zip(names, has, strict=True) if not there]
        if 0 < len(without) < len(names):
            said.append(f"No {what} in {listed(without)}: what needs it is from the others.")
    return tuple(said)


def _add_resistance(page: Page, learnt: Learnt, found: Resistance) -> None:
    names = names_of(learnt.recordings)
    for ride, ((north, east), spread) in enumerate(
        zip(found.wind_mps, found.wind_deviation_mps, strict=True)
    ):
        if not (found.windows.ride == ride).any():
            continue
        size = math.hypot(north, east)
        source = math.degrees(math.atan2(east, north)) % 360.0
        page.item(
            "-",
            f"Wind that fits {names[ride]} best, at the rider: {size:.1f} m/s from {source:.0f}°, "
            f"each part known to {max(spread):.1f} m/s.",
        )
    page.item(
        "-",
        f"Windows of {found.windows.minutes:.0f} min in all come out {found.residual_w:.0f} W from "
        f"the recorded power; errors of drag and rolling go together "
        f"({found.correlation:+.2f}: -1 means that one can stand for the other).",
    )


def _add_gears(page: Page, learnt: Learnt, seen: SeenGears) -> None:
    page.indented(
        f"Speed and cadence hold together for {len(seen.held_m)} s of {seen.pedalling_s:.0f} s of "
        f"pedalling; {share(seen.share_explained)} of that is within 2 % of these gears."
    )
    page.table(_gears_table(page, seen))
    if not learnt.parts:
        return
    page.section("Parts with these gears")
    if learnt.clear_parts is None:
        page.indented(
            "Not clear: no pair of the list is sure enough. The plan has only the gears seen, and "
            "these pairs as comments to choose from."
        )
    table = page.ranked(["found\nwithin 1 %", "usual\nerror %", "wheel\nmm", "chance\n%"], "pair")
    for rank, match in enumerate(learnt.parts, start=1):
        name = f"{clean(match.chainset.name)}; {clean(match.cassette.name)}"
        cells = (
            f"{match.found} of {len(seen.gears)}",
            f"{100.0 * match.error:.2f}",
            f"{1000.0 * match.circumference_m:.0f}",
            share(match.chance).removesuffix(" %"),
        )
        page.ranked_row(table, rank, name, cells)
    page.table(table)


def _gears_table(page: Page, seen: SeenGears) -> Table:
    table = page.numbered(
        ["development\nm", "within\n± %", "held\ns", "times\nheld", "scatter\n%", "sure"]
    )
    for number, gear in enumerate(seen.gears, start=1):
        value = gear.development_m.value
        table.add_row(
            str(number),
            f"{value:.3f}",
            f"{100.0 * gear.development_m.half_width / value:.1f}",
            f"{gear.held_s:.0f}",
            str(gear.occasions),
            f"{100.0 * gear.spread:.1f}",
            "yes" if gear.sure else "likely",
        )
    return table
