"""The report of a comparison as plain page data: what it says, not how it looks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from gearsim.course.course import Course
from gearsim.output.assumptions import assumption_tables, surface_table
from gearsim.output.cautions import KNEES, comparison_cautions
from gearsim.output.comparison.verdict import verdict
from gearsim.output.course_words import length_and_climb
from gearsim.output.fit.text import FIT_CAUTIONS
from gearsim.output.fit.to_check import to_check_told
from gearsim.output.fit.words import DOES_NOT_FIT, misfit_words
from gearsim.output.report.candidate import CandidatePage, candidate_page
from gearsim.output.report.fit import fit_tables
from gearsim.output.report.parts import Row, Table
from gearsim.output.report.road import Road, road
from gearsim.output.report.speeds import Speeds, speeds
from gearsim.output.report.terms import gears_spelled, terms_told
from gearsim.output.ridden_by import ridden_by
from gearsim.output.words import (
    at_least_shown,
    clean,
    clock,
    finish_head,
    minute_decimals,
    minutes,
)
from gearsim.ride.ride import Ride
from gearsim.ride.score import Weights
from gearsim.ride.states import State
from gearsim.setup.fit.fitment import Fit
from gearsim.setup.steps import distinct_ratios, gear_speed_mps, range_percent, steps_percent
from gearsim.studies.compare import Candidate, Comparison
from gearsim.studies.cue_sheet import CueSheet
from gearsim.studies.finish_band import FinishBand
from gearsim.units import KMH_PER_MPS

if TYPE_CHECKING:
    from gearsim.output.report.days import DaysPage
    from gearsim.studies.days.days import Days

MISFITS_TOLD = 2  # of the findings against each, at the top

_STATE_HEADS = {
    State.WALKING: "walk\u00ading",
    State.BELOW_LOWEST_GEAR: "below lowest",
    State.SPUN_OUT: "spun out",
    State.UNDER_BAND: "under band",
    State.OVER_BAND: "over band",
    State.ON_TARGET: "on target",
    State.COASTING: "coast\u00ading",
}


@dataclass(frozen=True, kw_only=True)
class ReportSources:
    """What was found out besides the comparison, for a report of it.

    `sheets` has a cue sheet for each candidate, in rank order; `band` is of the best; `fits` may
    be empty; `files` name the GPX files with each candidate's places, in rank order, if written;
    `days` are the candidates over uncertain days, if ridden.
    """

    sheets: Sequence[CueSheet]
    band: FinishBand
    weights: Weights = field(default_factory=Weights)
    fits: Sequence[Fit] = ()
    files: Sequence[str] = ()
    days: Days | None = None


@dataclass(frozen=True, kw_only=True)
class Assumed:
    """What the figures rest on: values, surfaces, and what was made of the route."""

    values: tuple[Table, ...]
    surfaces: Table
    surface_note: str
    route: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class ReportPage:
    """Everything that the report of a comparison says."""

    title: str
    facts: str
    ridden_by: str
    verdict: str
    winner: str
    to_check: str
    misfits: tuple[str, ...]
    terms: str
    ranking: Table
    gears: Table
    road: Road
    candidates: tuple[CandidatePage, ...]
    speeds: Speeds
    days: DaysPage | None
    fits: tuple[Table, ...]
    fit_cautions: tuple[str, ...]
    assumed: Assumed
    cautions: tuple[str, ...]


def report_page(comparison: Comparison, sources: ReportSources) -> ReportPage:
    """The report of a comparison."""
    candidates = comparison.candidates
    best = candidates[0].ride
    files = sources.files or [""] * len(candidates)
    return ReportPage(
        title=clean(best.course.name),
        facts=length_and_climb(best.course),
        ridden_by=ridden_by(best),
        verdict=verdict(comparison),
        winner=f"“{clean(candidates[0].name)}” has {gears_spelled(best.drivetrain)}.",
        to_check=to_check_told(candidates),
        misfits=tuple(
            f"“{clean(each.name)}” {DOES_NOT_FIT}: {misfit_words(each, MISFITS_TOLD)}."
            for each in candidates
            if each.misfits
        ),
        terms=terms_told(best.rider),
        ranking=ranking_table(candidates),
        gears=gears_table(candidates),
        road=road(candidates),
        candidates=tuple(
            candidate_page(rank, candidate, sheet, file)
            for rank, (candidate, sheet, file) in enumerate(
                zip(candidates, sources.sheets, files, strict=True), start=1
            )
        ),
        speeds=speeds(best, sources.band),
        days=_days_page(sources.days, candidates),
        fits=fit_tables(_in_rank_order(sources.fits, candidates)),
        fit_cautions=FIT_CAUTIONS,
        assumed=assumed(best, sources.weights),
        cautions=(
            *map(clean, comparison.cautions),
            *comparison_cautions(comparison),
            KNEES,
        ),
    )


def _in_rank_order(fits: Sequence[Fit], candidates: Sequence[Candidate]) -> list[Fit]:
    ranks = {each.name: rank for rank, each in enumerate(candidates)}
    return sorted(fits, key=lambda fit: ranks[fit.drivetrain.name])


def assumed(ride: Ride, weights: Weights) -> Assumed:
    """What a ride and its score rest on."""
    return Assumed(
        values=assumption_tables(ride, weights),
        surfaces=surface_table(ride.course),
        surface_note=surface_note(ride.course),
        route=route_told(ride.course),
    )


def _days_page(days: Days | None, candidates: Sequence[Candidate]) -> DaysPage | None:
    if days is None:
        return None
    from gearsim.output.report.days import days_page

    return days_page(days, frozenset(each.name for each in candidates if each.misfits))


def ranking_table(candidates: Sequence[Candidate]) -> Table:
    """Mismatch, finish and minutes in each state, a row a candidate, the best first."""
    decimals = minute_decimals(max(candidate.score.finish_s for candidate in candidates))
    time = finish_head(candidates[0].score.stopped_s)
    return Table(
        caption=f"Mismatch, {time}, and minutes in each state",
        corner="candidate",
        heads=("mis\u00admatch", f"{time} h:mm", *_STATE_HEADS.values()),
        rows=tuple(
            _row(
                rank,
                candidate,
                at_least_shown(candidate.score.mismatch, 1),
                clock(candidate.score.finish_s),
                *(minutes(candidate.score.seconds[state], decimals) for state in _STATE_HEADS),
            )
            for rank, candidate in enumerate(candidates, start=1)
        ),
        titled=True,
    )


def gears_table(candidates: Sequence[Candidate]) -> Table:
    """What else decides: range, steps, simplicity, shifts, speeds at the limits, mass."""
    low_limit, high_limit = candidates[0].ride.rider.limits_rpm
    return Table(
        caption="What else decides",
        corner="candidate",
        heads=(
            "range %",
            "larg\u00adest step %",
            "dis\u00adtinct ratios",
            "chain\u00adrings",
            "rear shifts an h",
            "front shifts an h",
            f"km/h at {low_limit:g} rpm",
            f"km/h at {high_limit:g} rpm",
            "adds kg",
        ),
        rows=tuple(
            _row(rank, candidate, *_gear_cells(candidate))
            for rank, candidate in enumerate(candidates, start=1)
        ),
        titled=True,
    )


def _row(rank: int, candidate: Candidate, *cells: str) -> Row:
    name, label = clean(candidate.name), candidate.ride.drivetrain.label
    notes = [label] if label != name else []
    notes += [DOES_NOT_FIT] if candidate.misfits else []
    return Row(title=f"{rank}: {name}", note="; ".join(notes), cells=cells)


def _gear_cells(candidate: Candidate) -> tuple[str, ...]:
    ride, score = candidate.ride, candidate.score
    gears, (low_limit, high_limit) = ride.gears, ride.rider.limits_rpm
    steps = steps_percent(gears)
    return (
        f"{range_percent(gears):.0f}",
        f"{steps.max():.0f}" if len(steps) else "-",
        f"{distinct_ratios(gears)}/{len(gears.ratio)}",
        str(len(ride.drivetrain.chainrings) or "-"),
        at_least_shown(score.rear_shifts_per_hour),
        at_least_shown(score.front_shifts_per_hour),
        f"{gear_speed_mps(gears, gears.lowest, low_limit) * KMH_PER_MPS:.1f}",
        f"{gear_speed_mps(gears, gears.highest, high_limit) * KMH_PER_MPS:.0f}",
        at_least_shown(ride.drivetrain.mass_kg, 2),
    )


def route_told(course: Course) -> tuple[str, ...]:
    """What came in and what was made of it: the track, the repairs, the height noise."""
    report = course.report
    if not report.source:
        return ("The course was made of known grades; there was no file to repair.",)
    told = [
        f"File: {clean(Path(report.source).name)}.",
        f"{clean(report.taken)}.",
        f"{report.points} points, of which {report.points_kept} are kept.",
    ]
    told += [f"Repaired: {clean(repair.sentence)}." for repair in report.repairs]
    if not report.repairs:
        told.append("Nothing to repair.")
    if report.noise is not None:
        told.append(report.noise.sentence)
    if report.left_out:
        names = ", ".join(clean(name) for name in report.left_out)
        told.append(f"Waypoints too far from the route to be places on it: {names}.")
    return tuple(told)


def surface_note(course: Course) -> str:
    """What was taken where the plan tells no surface."""
    if not course.report.assumed_surface:
        return "Where the plan tells no surface, its default surface is taken."
    return (
        f"The plan tells no surfaces: {course.report.assumed_surface} is assumed for the whole "
        "route, since a GPX file does not tell them."
    )
