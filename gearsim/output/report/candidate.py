"""One candidate in a report: its cues in riding order, its cadence, its gears."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from gearsim.output.places.words import ADVICE_WORDS, cue_sentence, length
from gearsim.output.report.parts import Bar, BarRow, BarTable, Row, Table, percent_of_longest
from gearsim.output.words import (
    about,
    at_least_shown,
    clean,
    gear_name,
    minute_decimals,
    minutes,
    percent,
)
from gearsim.ride.ride import Ride
from gearsim.ride.usage import Usage, usage
from gearsim.studies.compare import Candidate
from gearsim.studies.cue_sheet import Cue, CueSheet

NO_CUES = (
    "Nothing on this road is worth a warning with these gears: no walk, no hard push, no long "
    "stretch in an end gear. So there is no file of places for a head unit either."
)


@dataclass(frozen=True, kw_only=True)
class CandidatePage:
    """What a report tells of one candidate, beside the comparison."""

    rank: int
    name: str
    gears: str
    file: str
    cues: Table
    no_cues: str
    left_out: str
    cadence: BarTable
    cadence_note: str
    gear_use: BarTable
    gear_note: str


def candidate_page(
    rank: int, candidate: Candidate, sheet: CueSheet, file: str = ""
) -> CandidatePage:
    """A candidate of that rank; `file` names the GPX file that has its places ("": none)."""
    ride = candidate.ride
    used = usage(ride)
    return CandidatePage(
        rank=rank,
        name=clean(candidate.name),
        gears=ride.drivetrain.label,
        file=file,
        cues=cue_table(ride, sheet),
        no_cues="" if sheet.cues else NO_CUES,
        left_out=_left_out(sheet),
        cadence=cadence_table(ride, used),
        cadence_note=_beside_pedalling(used),
        gear_use=gear_table(ride, used),
        gear_note=_gears_used(ride, used),
    )


def cue_table(ride: Ride, sheet: CueSheet) -> Table:
    """The cues in riding order: km, what to expect, length, grades, time."""
    steepest = f"steep\u00adest {ride.course.step_m:.0f} m, %"
    return Table(
        caption=f"Cue sheet for {clean(ride.drivetrain.name)}",
        corner="km",
        heads=("what to expect", "length", "mean %", steepest, "min:s"),
        rows=tuple(_cue_row(ride, cue) for cue in sheet.cues),
        worded=(0,),
    )


def _cue_row(ride: Ride, cue: Cue) -> Row:
    near = f" {clean(cue.near)}." if cue.near else ""
    return Row(
        title=f"{cue.start_m / 1000.0:.1f}",
        cells=(
            cue_sentence(ride, cue),
            length(cue.length_m),
            percent(cue.grade).removesuffix(" %"),
            percent(cue.steepest_grade).removesuffix(" %"),
            minutes_seconds(cue.seconds),
        ),
        note=f"{ADVICE_WORDS[cue.advice]}.{near}",
    )


def minutes_seconds(seconds: float) -> str:
    """A time as `1:05`."""
    minutes_, rest = divmod(round(seconds), 60)
    return f"{minutes_}:{rest:02d}"


def _left_out(sheet: CueSheet) -> str:
    if sheet.left_out == 0:
        return ""
    places = "place is" if sheet.left_out == 1 else "places are"
    return f"{sheet.left_out} less important {places} left out."


def cadence_table(ride: Ride, used: Usage) -> BarTable:
    """Time in each class of cadence while pedalling."""
    edges = [f"{edge:.0f}" for edge in used.cadence_edges_rpm]
    names = [
        f"under {edges[0]}",
        *(f"{low} to {high}" for low, high in pairwise(edges)),
        f"over {edges[-1]}",
    ]
    starts = np.append(-np.inf, used.cadence_edges_rpm)
    decimals = minute_decimals(ride.finish_s)
    rows = [
        BarRow(
            title=name,
            bars=(
                Bar(
                    text=minutes(seconds, decimals),
                    percent=long,
                    filling=_side_of_band(ride, start),
                ),
            ),
        )
        for name, start, seconds, long in zip(
            names, starts, used.cadence_s, percent_of_longest(used.cadence_s.tolist()), strict=True
        )
    ]
    low, high = ride.rider.band_rpm
    return BarTable(
        caption=f"Minutes at each cadence; the band is {low:g} to {high:g} rpm",
        corner="rpm",
        heads=("minutes",),
        rows=tuple(rows),
    )


def _side_of_band(ride: Ride, start_rpm: float) -> str:
    low, high = (round(edge) for edge in ride.rider.band_rpm)
    if start_rpm < low:
        return "under-band"
    return "over-band" if start_rpm >= high else "on-target"


def _beside_pedalling(used: Usage) -> str:
    on_foot = f", {about(used.on_foot_s)} on foot" if used.on_foot_s > 0.0 else ""
    return f"Besides, {about(used.freewheeling_s)} freewheeling{on_foot}."


def gear_table(ride: Ride, used: Usage) -> BarTable:
    """Time and road in every gear: a row a sprocket, the largest first, and a column a ring."""
    gears, decimals = ride.gears, minute_decimals(ride.finish_s)
    long = percent_of_longest(used.gear_s.tolist())

    def bar(gear: int) -> Bar:
        km = f"{at_least_shown(used.gear_m[gear] / 1000.0, 1)} km"
        return Bar(text=minutes(used.gear_s[gear], decimals), percent=long[gear], note=km)

    rings = ride.drivetrain.chainrings
    caption = "Minutes and kilometres pedalled in each gear"
    if not rings:
        order = np.argsort(gears.ratio).tolist()
        return BarTable(
            caption=caption,
            corner="gear",
            heads=("in it",),
            rows=tuple(BarRow(title=gear_name(gears, gear), bars=(bar(gear),)) for gear in order),
        )
    rears = ride.drivetrain.sprockets
    return BarTable(
        caption=caption,
        corner="sprocket",
        heads=tuple(f"ring {ring}" for ring in rings),
        rows=tuple(
            BarRow(
                title=str(rears[rear]),
                bars=tuple(bar(ring * len(rears) + rear) for ring in range(len(rings))),
            )
            for rear in reversed(range(len(rears)))
        ),
    )


def _gears_used(ride: Ride, used: Usage) -> str:
    count = int((used.gear_s > 0.0).sum())
    most = int(np.argmax(used.gear_s))
    return (
        f"{count} of {len(used.gear_s)} gears used; longest {gear_name(ride.gears, most)}, "
        f"{about(float(used.gear_s[most]))}."
    )
