"""A comparison as text: the verdict, two tables, the worst places and what to beware of."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from gearsim.output.cautions import comparison_cautions
from gearsim.output.comparison.reasons import reason
from gearsim.output.comparison.verdict import verdict
from gearsim.output.course_words import course_heading
from gearsim.output.fit.misfits import add_misfits, marked_name
from gearsim.output.page import Page
from gearsim.output.ridden_by import ridden_by
from gearsim.output.words import (
    about,
    at_least_shown,
    clean,
    clock,
    duration,
    finish_head,
    listed,
    minute_decimals,
    minutes,
    stretch,
    what_happens,
)
from gearsim.ride.states import State
from gearsim.ride.why import why
from gearsim.setup.steps import distinct_ratios, gear_speed_mps, range_percent, steps_percent
from gearsim.studies.compare import Candidate, Comparison
from gearsim.units import KMH_PER_MPS

if TYPE_CHECKING:
    from rich.table import Table

WORST_TOLD = 3  # of each candidate,
WORST_OF_MANY = 1  # or of each where there are
MANY = 7

_STATE_HEADS = {
    State.ON_TARGET: "on\ntarget",
    State.UNDER_BAND: "under\nband",
    State.OVER_BAND: "over\nband",
    State.BELOW_LOWEST_GEAR: "below\nlowest",
    State.WALKING: "walk-\ning",
    State.SPUN_OUT: "spun\nout",
    State.COASTING: "coast-\ning",
}


def comparison_text(comparison: Comparison, width: int, colour: bool) -> str:
    """The answer for people: the verdict, two tables, the worst places, and what to beware of.

    No line is wider than `width` columns (from 60 on); without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    candidates = comparison.candidates
    page.heading(course_heading(candidates[0].ride.course))
    page.prose(ridden_by(candidates[0].ride), style="dim")
    page.gap()
    page.prose(verdict(comparison), style="bold")
    page.section("Minutes in each state")
    page.table(_ranked_table(page, candidates))
    add_misfits(page, candidates)
    page.section("What else decides")
    page.table(_gears_table(page, candidates))
    page.gap()
    page.prose(_sprockets_passed(candidates), style="dim")
    page.section("Worst places")
    told = WORST_TOLD if len(candidates) < MANY else WORST_OF_MANY
    for rank, candidate in enumerate(candidates, start=1):
        _add_worst(page, rank, candidate, told)
    page.section("Cautions")
    for caution in comparison_cautions(comparison):
        page.item("-", caution)
    return page.text()


def _ranked_table(page: Page, candidates: Sequence[Candidate]) -> Table:
    decimals = minute_decimals(max(candidate.score.finish_s for candidate in candidates))
    time = finish_head(candidates[0].score.stopped_s).replace(" ", "\n")
    heads = ["mis-\nmatch", f"{time}\nh:mm", *_STATE_HEADS.values()]
    table = page.ranked(heads)
    for rank, candidate in enumerate(candidates, start=1):
        score = candidate.score
        cells = [at_least_shown(score.mismatch, 1), clock(score.finish_s)]
        cells += [minutes(score.seconds[state], decimals) for state in _STATE_HEADS]
        page.ranked_row(table, rank, marked_name(candidate), cells)
    return table


def _gears_table(page: Page, candidates: Sequence[Candidate]) -> Table:
    weighed = any(candidate.ride.drivetrain.mass_kg > 0.0 for candidate in candidates)
    low_limit, high_limit = candidates[0].ride.rider.limits_rpm
    heads = [
        "range\n%",
        "larg-\nest\nstep %",
        "dis-\ntinct\nratios",
        "chain-\nrings",
        "rear\nshifts\nan h",
        "front\nshifts\nan h",
        f"km/h\nat {low_limit:g}\nrpm",
        f"km/h\nat {high_limit:g}\nrpm",
    ]
    table = page.ranked([*heads, *(["adds\nkg"] if weighed else [])], named="gears")
    for rank, candidate in enumerate(candidates, start=1):
        cells = _gear_cells(candidate, weighed)
        page.ranked_row(table, rank, candidate.ride.drivetrain.label, cells)
    return table


def _gear_cells(candidate: Candidate, weighed: bool) -> list[str]:
    ride, score = candidate.ride, candidate.score
    gears, (low_limit, high_limit) = ride.gears, ride.rider.limits_rpm
    steps = steps_percent(gears)
    lowest_kmh = gear_speed_mps(gears, gears.lowest, low_limit) * KMH_PER_MPS
    top_kmh = gear_speed_mps(gears, gears.highest, high_limit) * KMH_PER_MPS
    rings = len(ride.drivetrain.chainrings)
    return [
        f"{range_percent(gears):.0f}",
        f"{steps.max():.0f}" if len(steps) else "-",
        f"{distinct_ratios(gears)}/{len(gears.ratio)}",
        str(rings) if rings else "-",
        at_least_shown(score.rear_shifts_per_hour),
        at_least_shown(score.front_shifts_per_hour),
        f"{lowest_kmh:.1f}",
        f"{top_kmh:.0f}",
        *([at_least_shown(ride.drivetrain.mass_kg, 2)] if weighed else []),
    ]


def _sprockets_passed(candidates: Sequence[Candidate]) -> str:
    """What the rear shifts come to, sprocket by sprocket: the table has no room for it."""
    passed = [at_least_shown(each.score.rear_clicks_per_hour) for each in candidates]
    told = [f"{count} (#{rank})" for rank, count in enumerate(passed, start=1)]
    return f"Sprockets passed an hour (a shift may pass several): {listed(told)}."


def _add_worst(page: Page, rank: int, candidate: Candidate, told: int) -> None:
    page.item(str(rank), clean(candidate.name), style="bold")
    page.indented(_off_band(candidate), style="dim")
    worst = candidate.worst[:told]
    for place, because in zip(worst, why(candidate.ride, worst), strict=True):
        page.indented(
            f"km {place.start_m / 1000.0:.1f}, {stretch(place.length_m, place.grade)}: "
            f"{what_happens(place.state, place.cause)}, {duration(place.seconds)}"
        )
        page.indented(reason(candidate.ride, place, because), level=2, style="dim")


def _off_band(candidate: Candidate) -> str:
    """Time pedalling outside the band but inside the limits, and what it comes from."""
    score = candidate.score
    total = score.seconds[State.UNDER_BAND] + score.seconds[State.OVER_BAND]
    if total == 0.0:
        return "Never under or over the band."
    causes = [
        f"{about(seconds)} {words}"
        for seconds, words in (
            (score.end_of_range_s, "at the end of the range"),
            (score.between_gears_s, "between gears"),
        )
        if seconds > 0.0
    ]
    if len(causes) == 1:
        return f"Under or over the band: {causes[0]}."
    return f"Under or over the band {about(total)}: {listed(causes)}."
