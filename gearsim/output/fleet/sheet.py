"""The sheet that a guide prints: guest, bike, where to walk, what to beware of, as page data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gearsim.course.course import Course
from gearsim.output.course_words import length_and_gain
from gearsim.output.drawing.profile import LEAST_HEIGHT_SPAN_M, Floats, round_ticks, thinned
from gearsim.output.fleet.abilities import abilities_told
from gearsim.output.fleet.reading import FleetReading
from gearsim.output.fleet.words import (
    MOST_LETTERS_OF_A_ROW,
    bike_name,
    bikes_told,
    fleet_cautions,
    fleet_facts,
    fleet_verdict,
    guest_name,
    guest_names,
    left_over,
    pushing_told,
    rows_left_out,
    walks_told,
    why_without,
)
from gearsim.output.places.words import length
from gearsim.output.report.html import rendered
from gearsim.output.report.parts import Drawing, Label, Row, Shape, Table
from gearsim.output.ridden_by import day
from gearsim.output.words import about, clean, clock, finish_head, letter, listed, percent
from gearsim.setup.ability import ABILITIES
from gearsim.studies.fleet.fleet import Fleet
from gearsim.studies.fleet.group_places import GroupPlace, SteepDescent
from gearsim.studies.fleet.outing import Outing

WIDTH, HEIGHT = 1000, 120
LEAST_SHADE = 0.006  # of the course's length
MOST_KM_LABELS = 8
LONG_BELOW = 0.5  # of what is suitable: from here on told of a guest
NEWEST = next(iter(ABILITIES))

CHECKS = (
    "Bikes checked by a qualified mechanic; brakes tried by every guest on the flat.",
    "Saddle height set; every guest can stand over the bike and reach the brakes.",
    "Everybody knows the lowest gear, and to change down before the ramp, not on it.",
    "Where to walk and where to brake talked over; meeting points agreed.",
    "Local rules and the day's weather looked up; lights, water, spare tube, first aid.",
)
"""What a guide ticks off before setting out (common practice, no source)."""


@dataclass(frozen=True, kw_only=True)
class SheetPage:
    """Everything on the sheet, every text final."""

    title: str
    facts: str
    verdict: str
    given: Table
    without: tuple[str, ...]
    bikes_note: str
    abilities_note: str
    profile: Drawing
    places: Table
    descents: Table
    descent_note: str
    checks: tuple[str, ...]
    look_again: tuple[str, ...]
    left_out: tuple[str, ...]
    cautions: tuple[str, ...]


def fleet_sheet(fleet: Fleet, read: FleetReading, cautions: Sequence[str] = ()) -> bytes:
    """The sheet as one HTML file that opens without a network; a large group prints on two pages.

    `cautions` are those of the plan.
    """
    return rendered("fleet.html", page=sheet_page(fleet, read, cautions))


def sheet_page(fleet: Fleet, read: FleetReading, cautions: Sequence[str] = ()) -> SheetPage:
    """What the sheet says; `cautions` are those of the plan."""
    course = fleet.course
    up = length_and_gain(course)
    return SheetPage(
        title=clean(course.name),
        facts=f"{up}. {fleet_facts(fleet)} {day(fleet.day.conditions)}",
        verdict=f"{fleet_verdict(fleet)} {rows_left_out(fleet, read)}".rstrip(),
        given=_given_table(fleet, read.places),
        without=tuple(
            f"{guest_name(fleet, guest, MOST_LETTERS_OF_A_ROW)}: {why_without(fleet, guest)}."
            for guest in fleet.without
        ),
        bikes_note=_bikes_note(fleet),
        abilities_note=abilities_told(fleet),
        profile=_profile(course, read.places, read.descents),
        places=_places_table(fleet, read.places),
        descents=_descents_table(read.descents),
        descent_note=_descent_note(fleet, read.descents),
        checks=CHECKS,
        look_again=tuple(map(clean, cautions)),
        left_out=tuple(clean(fault) for fault in (*read.faults, *fleet.left_out)),
        cautions=fleet_cautions(fleet),
    )


def _given_table(fleet: Fleet, places: tuple[GroupPlace, ...]) -> Table:
    rows = []
    for guest, bike in enumerate(fleet.given):
        each = fleet.given_outing(guest)
        if bike is not None and each is not None:
            cells = (
                bike_name(fleet, bike, MOST_LETTERS_OF_A_ROW),
                walks_told(each, places) or "nowhere",
                clock(each.score.finish_s),
                _look_after(fleet, guest, each),
            )
            name = guest_name(fleet, guest, MOST_LETTERS_OF_A_ROW)
            rows.append(Row(title=name, cells=cells))
    stops_s = fleet.outings[0][0].score.stopped_s
    return Table(
        caption="Who rides what",
        corner="guest",
        heads=("bike", "walks", f"{finish_head(stops_s)}, h:mm", "look after"),
        rows=tuple(rows),
        worded=(0, 1, 3),
    )


def _bikes_note(fleet: Fleet) -> str:
    """How many of each kind are to be brought, and which are spare."""
    out = [fleet.given.count(bike) for bike in range(len(fleet.bikes))]
    return f"Bikes to bring: {bikes_told(fleet, out)}. Left over: {left_over(fleet)}."


def _look_after(fleet: Fleet, guest: int, each: Outing) -> str:
    """What to see to with this guest on this bike."""
    one, bike = fleet.guests[guest], fleet.bikes[fleet.given[guest] or 0]
    told = []
    if each.below_s > LONG_BELOW * fleet.day.limits.most_below_s:
        told.append(f"{about(each.below_s)} hard in the lowest gear")
    guessed = ["mass"] if "mass_kg" in one.assumed else []
    if one.ability is None and "power_w" in one.assumed:
        guessed.append("strength")
    if guessed:
        told.append(f"{listed(guessed)} not told: ask")
    if one.height_cm is None and (bike.rider_from_cm or bike.rider_to_cm):
        told.append("height not told: try the size")
    return "; ".join(told) or "-"


def _places_table(fleet: Fleet, places: tuple[GroupPlace, ...]) -> Table:
    return Table(
        caption="Where guests walk or push hard, in riding order",
        corner="",
        heads=("km", "place", "length", "up to", "walk", "push hard"),
        rows=tuple(
            Row(
                title=letter(number),
                cells=(
                    f"{place.start_m / 1000.0:.1f}",
                    clean(place.near) or "-",
                    length(place.length_m),
                    percent(place.steepest_grade),
                    guest_names(fleet, place.walking, len(fleet.guests)) or "nobody",
                    pushing_told(fleet, place) or "nobody",
                ),
            )
            for number, place in enumerate(places)
        ),
        worded=(1, 4, 5),
    )


def _descents_table(descents: tuple[SteepDescent, ...]) -> Table:
    return Table(
        caption="Steep descents: brake early, leave room, regroup below",
        corner="",
        heads=("km", "length", "steepest at", "down", "ground there"),
        rows=tuple(
            Row(
                title="▼",
                cells=(
                    f"{each.start_m / 1000.0:.1f}",
                    length(each.length_m),
                    f"km {each.steepest_at_m / 1000.0:.1f}",
                    percent(-each.steepest_grade),
                    f"{each.ground}{', loose' if each.loose else ''}",
                ),
            )
            for each in descents
        ),
        worded=(0, 1, 2, 3, 4),
    )


def _descent_note(fleet: Fleet, descents: tuple[SteepDescent, ...]) -> str:
    """Who is best told that a steep descent may be walked, and what the wet does."""
    if not descents:
        return ""
    new = [
        guest
        for guest, each in enumerate(fleet.guests)
        if each.ability == NEWEST and guest not in fleet.without
    ]
    told = [f"{guest_names(fleet, new, len(new))} may rather walk down."] if new else []
    if fleet.day.conditions.wet:
        told.append("It is wet: brakes and tyres need far more road.")
    return " ".join(told)


def _profile(
    course: Course, places: tuple[GroupPlace, ...], descents: tuple[SteepDescent, ...]
) -> Drawing:
    km, height = thinned(course.distance_m / 1000.0, course.elevation_m)
    low, span = float(height.min()), max(float(np.ptp(height)), LEAST_HEIGHT_SPAN_M)
    x, y = WIDTH * km / km[-1], HEIGHT * (0.94 - 0.7 * (height - low) / span)
    skyline = "L".join(f"{left:.1f} {top:.1f}" for left, top in zip(x, y, strict=True))
    spans = _spans(course, places)
    length_km = course.length_m / 1000.0
    marks = [(letter(n), float(middle)) for n, middle in enumerate(spans.mean(axis=1))]
    marks += [("▼", WIDTH * each.steepest_at_m / course.length_m) for each in descents]
    return Drawing(
        title="Profile of the course",
        about=f"{length_km:.1f} km between {low:.0f} and {low + float(np.ptp(height)):.0f} m; "
        "letters mark the places and triangles the descents of the tables below.",
        width=WIDTH,
        height=HEIGHT,
        shapes=(
            Shape(filling="ground", path=f"M{skyline}L{WIDTH} {HEIGHT}L0 {HEIGHT}Z"),
            Shape(filling="shade", path=_spans_path(spans)),
            Shape(filling="skyline", path=f"M{skyline}"),
        ),
        labels=tuple(
            Label(text=text, left_percent=100.0 * middle / WIDTH, top_percent=16.0)
            for text, middle in marks
        ),
        below=tuple(
            Label(text=f"{tick:g} km", left_percent=float(100.0 * tick / length_km))
            for tick in round_ticks(0.0, length_km, MOST_KM_LABELS)
        ),
    )


def _spans(course: Course, places: tuple[GroupPlace, ...]) -> Floats:
    """From and to of each place across the width (k, 2), wide enough to be seen."""
    start = np.array([place.start_m for place in places]).reshape(-1) / course.length_m
    half = np.array([0.5 * place.length_m for place in places]).reshape(-1) / course.length_m
    middle, half = start + half, np.maximum(half, 0.5 * LEAST_SHADE)
    return WIDTH * np.clip(np.stack([middle - half, middle + half], axis=1), 0.0, 1.0)


def _spans_path(spans: Floats) -> str:
    return "".join(f"M{left:.1f} 0H{right:.1f}V{HEIGHT}H{left:.1f}Z" for left, right in spans)
