"""A fleet as text: who rides what, who walks where, which bikes will do, what to change."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from gearsim.output.course_words import course_heading
from gearsim.output.fleet.abilities import abilities_told
from gearsim.output.fleet.reading import FleetReading
from gearsim.output.fleet.words import (
    SHORT_AGAINST,
    bike_name,
    changes_of,
    definitions,
    fleet_cautions,
    fleet_facts,
    fleet_verdict,
    guest_name,
    guest_names,
    left_over,
    outing_told,
    place_told,
    pushing_told,
    rows_left_out,
    why_without,
)
from gearsim.output.page import Page
from gearsim.output.places.words import length
from gearsim.output.ridden_by import day
from gearsim.output.words import (
    at_least_shown,
    clean,
    clock,
    finish_head,
    letter,
    listed,
    minutes,
    percent,
)
from gearsim.studies.fleet.fleet import Fleet
from gearsim.studies.fleet.nearest_change import Change
from gearsim.studies.fleet.outing import Outing, Suits
from gearsim.units import KMH_PER_MPS

if TYPE_CHECKING:
    from rich.table import Table

CELL = 7
MATRIX_KEY = (
    "metres walked, 0: rides it all   [ ] the bike given   a word: not suitable "
    "(size; walk, below the lowest gear, time: too much)"
)


def fleet_text(fleet: Fleet, read: FleetReading, width: int, colour: bool) -> str:
    """The answer for a guide, the evening before.

    No line is wider than `width` columns (from 60 on); without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    course = fleet.course
    page.heading(course_heading(course))
    page.prose(f"{fleet_facts(fleet)} {day(fleet.day.conditions)}", style="dim")
    page.gap()
    page.prose(f"{fleet_verdict(fleet)} {rows_left_out(fleet, read)}".rstrip(), style="bold")
    page.section("Who rides what")
    page.table(_given_table(page, fleet))
    _add_without(page, fleet)
    _add_places(page, fleet, read)
    page.section("Every guest with every bike")
    _add_matrix(page, fleet)
    _add_bikes_that_do(page, fleet)
    _add_changes(page, fleet, read.changes)
    page.section("The bikes, * where assumed")
    page.table(_bikes_table(page, fleet))
    page.section("The guests, ~ by their class, * where assumed")
    page.table(_guests_table(page, fleet))
    _add_abilities(page, fleet)
    _add_reading(page, fleet, read)
    page.section("What the words mean")
    for words in definitions(fleet):
        page.item("-", words)
    page.section("Cautions")
    for caution in fleet_cautions(fleet):
        page.item("-", caution)
    return page.text()


def _given_table(page: Page, fleet: Fleet) -> Table:
    time = finish_head(fleet.outings[0][0].score.stopped_s).replace(" ", "\n")
    heads = ["bike", "walks\nm", "below low-\nest, min", "mis-\nmatch", f"{time}\nh:mm"]
    table = page.ranked(heads, named="guest")
    table.columns[2].justify = "left"
    for guest, bike in enumerate(fleet.given):
        each = fleet.given_outing(guest)
        if bike is None or each is None:
            cells = ["- none -", "", "", "", ""]
        else:
            cells = [f"{letter(bike)} {bike_name(fleet, bike)}", *_given_cells(each)]
        _add_row(table, guest, fleet.guests[guest].name, cells)
    return table


def _given_cells(each: Outing) -> list[str]:
    return [
        at_least_shown(each.walked_m),
        minutes(each.below_s),
        at_least_shown(each.score.mismatch, 1),
        clock(each.score.finish_s),
    ]


def _add_row(table: Table, number: int, name: str, cells: Sequence[str]) -> None:
    from rich.text import Text

    table.add_row(str(number + 1), Text(clean(name)), *[Text(cell) for cell in cells])


def _add_without(page: Page, fleet: Fleet) -> None:
    if fleet.without:
        page.section("Left without a bike")
    for guest in fleet.without:
        page.item("-", f"{guest_name(fleet, guest)}: {why_without(fleet, guest)}.")
    page.gap()
    page.prose(f"Bikes left over: {left_over(fleet)}.")


def _add_places(page: Page, fleet: Fleet, read: FleetReading) -> None:
    page.section("Where the group needs you")
    if not read.places and not read.descents:
        page.prose("Nobody walks or pushes hard, and no descent is steep.")
    for place in read.places:
        page.item(
            "-",
            f"{place_told(place)}: {length(place.length_m)}, up to "
            f"{percent(place.steepest_grade)}.",
            style="bold",
        )
        if place.walking:
            page.indented(f"Walk: {guest_names(fleet, place.walking, len(place.walking))}.")
        if place.pushing:
            page.indented(f"Push hard: {pushing_told(fleet, place)}.")
    for descent in read.descents:
        page.item(
            "-",
            f"km {descent.start_m / 1000.0:.1f}, down for {length(descent.length_m)}: "
            f"{percent(-descent.steepest_grade)} at km {descent.steepest_at_m / 1000.0:.1f}, "
            f"{descent.ground}{' (loose)' if descent.loose else ''}. Brake early.",
        )


def _add_matrix(page: Page, fleet: Fleet) -> None:
    bikes = range(len(fleet.bikes))
    table = page.ranked([f"{letter(bike):>{CELL - 1}}" for bike in bikes], named="guest")
    for guest, each in enumerate(fleet.guests):
        cells = [_matrix_cell(fleet, guest, bike) for bike in bikes]
        _add_row(table, guest, each.name, cells)
    page.table(table)
    page.prose(MATRIX_KEY, style="dim")


def _matrix_cell(fleet: Fleet, guest: int, bike: int) -> str:
    each = fleet.outings[guest][bike]
    if each.suits is Suits.NOT_SUITABLE:
        shown = SHORT_AGAINST[each.against[0]]
    else:
        shown = at_least_shown(each.walked_m)
    return f"[{shown}]" if fleet.given[guest] == bike else f"{shown} "


def _add_bikes_that_do(page: Page, fleet: Fleet) -> None:
    page.section("The bikes that will do, least walking first")
    for guest in range(len(fleet.guests)):
        able = fleet.will_do(guest)
        told = [
            f"{letter(bike)} {bike_name(fleet, bike)}"
            + (f" ({outing_told(each)})" if each.walked_m > 0.0 else "")
            for bike in able
            for each in (fleet.outings[guest][bike],)
        ]
        page.item("-", f"{guest_name(fleet, guest)}: {listed(told) if told else 'none'}.")


def _add_changes(page: Page, fleet: Fleet, changes: Sequence[Change]) -> None:
    page.section("What to change on a bike that misses narrowly")
    if not changes:
        page.prose("No bike misses narrowly.")
    for bike in sorted({each.bike for each in changes}):
        now = fleet.bikes[bike].drivetrain.label
        page.item(letter(bike), f"{bike_name(fleet, bike)}, now {now}", style="bold")
        for told, guests in changes_of(changes, bike).items():
            names = guest_names(fleet, guests, len(guests))
            if told:
                page.indented(f"For {names}: {'; or '.join(told)}.")
            else:
                page.indented(f"For {names}: no cassette or chainset that fits does.")


def _bikes_table(page: Page, fleet: Fleet) -> Table:
    heads = ["count", "gears", "lowest\nratio", "tyre\nmm", "mass\nkg", "drag\nm²", "for cm"]
    table = page.ranked(heads, named="bike")
    table.columns[3].justify = "left"
    for number, each in enumerate(fleet.bikes):
        bike = each.bike
        told = (
            (f"{each.count}", "count"),
            (each.drivetrain.label, ""),
            (f"{each.drivetrain.gear_ratios[-1]:.2f}", ""),
            (f"{bike.tyre_mm:g}", "tyre_mm"),
            (f"{bike.mass_kg:g}", "mass_kg"),
            (f"{bike.drag_area_m2:g}", "drag_area_m2"),
            (_heights(each.rider_from_cm, each.rider_to_cm), ""),
        )
        cells = [f"{'*' if key in each.assumed else ''}{shown}" for shown, key in told]
        _add_row(table, number, f"{letter(number)} {clean(each.name)}", cells)
    return table


def _heights(low_cm: float | None, high_cm: float | None) -> str:
    if low_cm is None and high_cm is None:
        return "-"
    return f"{'' if low_cm is None else f'{low_cm:g}'}-{'' if high_cm is None else f'{high_cm:g}'}"


def _guests_table(page: Page, fleet: Fleet) -> Table:
    heads = [
        "class",
        "mass\nkg",
        "power\nW",
        "criti-\ncal W",
        "target\nrpm",
        "band\nrpm",
        "limits\nrpm",
        "down\nkm/h",
        "cm",
    ]
    table = page.ranked(heads, named="guest")
    table.columns[2].justify = "left"
    for number, each in enumerate(fleet.guests):
        rider = each.rider
        (low, high), (low_limit, high_limit) = rider.band_rpm, rider.limits_rpm
        told = (
            (f"{rider.mass_kg:g}", ("mass_kg",)),
            (f"{rider.power_w:.0f}", ("power_w",)),
            (f"{rider.critical_w:.0f}", ("critical_power_w",)),
            (f"{rider.target_cadence_rpm:g}", ("target_cadence_rpm",)),
            (f"{low:g}-{high:g}", ("band_low_rpm", "band_high_rpm")),
            (f"{low_limit:g}-{high_limit:g}", ("limit_low_rpm", "limit_high_rpm")),
            (f"{rider.descending_mps * KMH_PER_MPS:.0f}", ("descending_kmh",)),
        )
        marks = dict.fromkeys(each.by_class, "~") | dict.fromkeys(each.assumed, "*")
        cells = [
            f"{next((marks[c] for c in columns if c in marks), '')}{shown}"
            for shown, columns in told
        ]
        height = "-" if each.height_cm is None else f"{each.height_cm:g}"
        _add_row(table, number, each.name, [each.ability or "-", *cells, height])
    return table


def _add_abilities(page: Page, fleet: Fleet) -> None:
    told = abilities_told(fleet)
    if told:
        page.prose(f"{told} abilities.csv has all that was taken for a class and for a guest.")


def _add_reading(page: Page, fleet: Fleet, read: FleetReading) -> None:
    if read.faults or fleet.left_out:
        page.section("Left out")
        for fault in (*read.faults, *fleet.left_out):
            page.item("-", clean(fault))
    if read.guesses:
        page.section("Taken to be so")
        for guess in read.guesses:
            page.item("-", clean(guess))
