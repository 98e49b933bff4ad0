"""A fleet as text, tables, picture and sheet: complete, within its bounds, and safe."""

import io
import json
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from lxml import html
from made_comparison import HOSTILE
from made_fleet import BIKES, GUESTS, LOW, ONE, bike, fleet_of, guest
from made_report import EVIL
from matplotlib.figure import Figure
from matplotlib.text import Text
from PIL import Image

from gearsim.course.course import course_from_grades
from gearsim.lists.bikes import BikeList
from gearsim.lists.guests import GuestList
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.fleet.abilities import abilities_table, abilities_told
from gearsim.output.fleet.chart import fleet_figure
from gearsim.output.fleet.reading import FleetReading
from gearsim.output.fleet.sheet import fleet_sheet, sheet_page
from gearsim.output.fleet.tables import allocation_table, fleet_records, fleet_table
from gearsim.output.fleet.text import fleet_text
from gearsim.output.fleet.words import (
    fleet_cautions,
    fleet_verdict,
    guest_names,
    rows_left_out,
    why_without,
)
from gearsim.output.page import NARROWEST
from gearsim.setup.outing_limits import OutingLimits
from gearsim.setup.parts.parts_list import load_parts
from gearsim.studies.fleet.fleet import Fleet
from gearsim.studies.fleet.group_places import group_places, steep_descents
from gearsim.studies.fleet.nearest_change import nearest_changes

FOUND: dict[int, FleetReading] = {}


def reading(fleet: Fleet) -> FleetReading:
    """What is read and found beside a fleet, worked out once for each (they are kept)."""
    if id(fleet) not in FOUND:
        FOUND[id(fleet)] = FleetReading(
            bikes=BikeList(path=Path("bikes.csv"), bikes=(), faults=(), guesses=()),
            guests=GuestList(path=Path("guests.csv"), guests=(), faults=(), guesses=()),
            places=group_places(fleet),
            descents=steep_descents(fleet.course),
            changes=nearest_changes(fleet, load_parts()),
        )
    return FOUND[id(fleet)]


@cache
def hostile() -> Fleet:
    """A fleet in which every name that a file can bring is an attack, or far too long."""
    names = (EVIL, *HOSTILE)
    bikes = tuple(bike(name, (48, 36, 26) if n % 2 else (42,)) for n, name in enumerate(names))
    classes = ("new to riding", "now and then", "strong")
    guests = tuple(guest(name, classes[n % 3]) for n, name in enumerate(names))
    return fleet_of(bikes, guests, name=EVIL)


def short() -> Fleet:
    """Fewer bikes than guests, one of them too weak for any."""
    return fleet_of((ONE,), limits=OutingLimits(most_walked_m=100.0))


FLEETS = pytest.mark.parametrize(
    "fleet", [fleet_of(), hostile(), short()], ids=["plain", "hostile", "short"]
)


# Text


@FLEETS
@pytest.mark.parametrize("width", [40, 80, 100, 160])
def test_no_line_is_wider_than_the_page(fleet: Fleet, width: int) -> None:
    text = fleet_text(fleet, reading(fleet), width, colour=False)
    assert max(len(line) for line in text.splitlines()) <= max(width, NARROWEST)
    assert "\x1b" not in text
    assert "\u202e" not in text


def test_verdict_counts_and_names_the_farthest_walker() -> None:
    assert fleet_verdict(fleet_of()) == (
        "All 3 guests have a suitable bike: 2 ride it all, 1 walks some of it, the farthest "
        "Bruno, 71 m."
    )
    assert fleet_verdict(fleet_of((LOW,), GUESTS[:1])) == (
        "The one guest has a suitable bike: rides it all."
    )
    assert fleet_verdict(short()).startswith("2 of 3 guests have a suitable bike: ")
    assert fleet_verdict(short()).endswith("Left without: Alma.")


def test_why_a_guest_is_left_without_is_told() -> None:
    assert why_without(short(), 0) == "no bike is suitable: walks too far on 1 of 1"
    few = fleet_of((LOW,))
    assert why_without(few, few.without[0]) == (
        "the bikes that would do are all given or not there (low)"
    )


def test_every_guest_has_one_bike_marked_in_the_matrix() -> None:
    fleet = fleet_of()
    text = fleet_text(fleet, reading(fleet), 80, colour=False)
    rows = text.partition("EVERY GUEST WITH EVERY BIKE")[2].partition("metres walked")[0]
    for name in ("Alma", "Bruno", "Cleo"):
        (row,) = (line for line in rows.splitlines() if name in line)
        assert row.count("[") == 1


def test_changes_are_told_by_bike_with_the_guests() -> None:
    fleet = fleet_of()
    text = " ".join(fleet_text(fleet, reading(fleet), 80, colour=False).split())
    assert "For Bruno: cassette “11-46, 9 sprockets” (check first: largest sprocket 46" in text
    assert "For Alma: no cassette or chainset that fits does." in text
    without = replace(reading(fleet), changes=())
    assert "No bike misses narrowly." in fleet_text(fleet, without, 80, colour=False)


def test_faults_and_guesses_stand_in_the_text() -> None:
    read = reading(fleet_of())
    bikes = replace(read.bikes, faults=("bikes.csv: line 3: wrong",), guesses=("taken so",))
    read = replace(read, bikes=bikes)
    fleet = replace(fleet_of(), left_out=("Ben: cannot be computed",))
    text = fleet_text(fleet, read, 80, colour=False)
    assert "LEFT OUT\n-  bikes.csv: line 3: wrong\n-  Ben: cannot be computed\n" in text
    assert "TAKEN TO BE SO\n-  taken so\n" in text


# Tables


def test_one_row_for_each_guest_with_each_bike() -> None:
    fleet = fleet_of()
    table = fleet_table(fleet, reading(fleet))
    assert len(table) == len(fleet.guests) * len(fleet.bikes)
    assert list(table["given"]) == [
        fleet.given[g] == b for g in range(3) for b in range(len(BIKES))
    ]
    bruno = table[(table["guest"] == "Bruno") & (table["bike"] == "one")].iloc[0]
    assert bruno["verdict"] == "some walking"
    assert bruno["nearest_cassette"] == "11-46, 9 sprockets"
    assert bruno["walks"].startswith("km 2.5 Wall (70 m)")


def test_allocation_tells_also_who_has_none() -> None:
    table = allocation_table(short())
    assert list(table["guest"]) == ["Alma", "Bruno", "Cleo"]
    assert pd.isna(table.iloc[0]["bike"])
    assert table.iloc[0]["verdict"].startswith("no bike is suitable")
    assert list(table["bike"])[1:] == ["one", "one"]


def test_each_class_in_use_has_a_row_and_then_each_guest() -> None:
    table = abilities_table(fleet_of())
    assert list(table["ability"])[:3] == ["new to riding", "now and then", "strong"]
    assert list(table["guest"])[3:] == ["Alma", "Bruno", "Cleo"]
    weakest, alma = table.iloc[0], table.iloc[3]
    assert pd.isna(weakest["power_w"])
    assert weakest["power_w_per_kg"] * alma["mass_kg"] == pytest.approx(alma["power_w"])
    assert weakest["reserve_j_per_kg"] * alma["mass_kg"] == pytest.approx(1000 * alma["reserve_kj"])
    assert alma["uphill_factor"] == weakest["uphill_factor"] == 1.4
    assert alma["descending_kmh"] == pytest.approx(26.0)


def test_power_and_cadence_of_each_class_in_use_are_told() -> None:
    told = abilities_told(fleet_of(BIKES, GUESTS[::2]))
    assert "new to riding 1 W at 65 rpm (band 54-78) and strong 2.6 W at 86 rpm" in told
    assert "every week" not in told
    text = fleet_text(fleet_of(), reading(fleet_of()), 80, colour=False)
    assert "now and then 1.4 W at 72 rpm" in " ".join(text.split())
    assert sheet_page(fleet_of(), reading(fleet_of())).abilities_note == abilities_told(fleet_of())


@FLEETS
def test_records_are_plain_and_complete(fleet: Fleet) -> None:
    found = json.loads(json.dumps(fleet_records(fleet, reading(fleet)), allow_nan=False))
    assert len(found["outings"]) == len(fleet.guests) * len(fleet.bikes)
    assert len(found["allocation"]) == len(fleet.guests)
    assert sum(each["given"] for each in found["outings"]) == len(fleet.guests) - len(fleet.without)
    assert found["guests"][0]["by_class"] == ["power_w"]


# Picture


@FLEETS
def test_all_that_is_drawn_is_on_the_picture(fleet: Fleet) -> None:
    figure: Figure = fleet_figure(fleet, reading(fleet))
    figure.draw_without_rendering()
    renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
    for text in figure.findobj(Text):
        if text.get_text() and text.get_visible():
            box = text.get_window_extent(renderer)
            assert box.x0 >= 0.0, text.get_text()
            assert box.x1 <= figure.bbox.x1, text.get_text()
            assert box.y1 <= figure.bbox.y1, text.get_text()
            assert box.y0 >= 0.0, text.get_text()


def test_picture_tells_walks_and_why_not() -> None:
    figure = fleet_figure(short(), reading(short()))
    told = [text.get_text() for text in figure.findobj(Text)]
    assert "walk" in told
    assert "71 m" in told
    assert "none" in told
    assert Image.open(io.BytesIO(figure_png(figure))).width > 1000


@FLEETS
def test_picture_tells_that_rows_are_left_out(fleet: Fleet) -> None:
    def told(read: FleetReading) -> list[str]:
        figure = fleet_figure(fleet, read)
        return [t.get_text() for t in figure.findobj(Text) if "left out" in t.get_text()]

    read = reading(fleet)
    assert told(read) == []
    guests = replace(read.guests, faults=("guests.csv: line 3: wrong",))
    (line,) = told(replace(read, guests=guests))
    assert line == "Some guests of the lists are left out: fleet-sheet.html says which."


# Sheet


def document(fleet: Fleet) -> html.HtmlElement:
    return html.document_fromstring(fleet_sheet(fleet, reading(fleet)).decode())


@FLEETS
def test_sheet_brings_nothing_from_elsewhere_and_runs_no_script(fleet: Fleet) -> None:
    source, page = fleet_sheet(fleet, reading(fleet)).decode(), document(fleet)
    assert [e.tag for e in page.iter("script", "link", "img", "iframe", "object", "embed")] == []
    assert "://" not in source
    names = [name for element in page.iter() for name in element.attrib]
    assert not [name for name in names if name.startswith("on")]
    ids = [element.get("id") for element in page.iter() if element.get("id")]
    assert len(ids) == len(set(ids))


@FLEETS
def test_sheet_has_landmarks_headings_and_heads_of_tables(fleet: Fleet) -> None:
    page = document(fleet)
    for landmark in ("header", "main", "footer"):
        assert len(page.findall(f".//{landmark}")) == 1
    levels = [int(e.tag[1]) for e in page.iter("h1", "h2", "h3")]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    for table in page.iter("table"):
        assert table.find("caption") is not None
        assert all(th.get("scope") for th in table.iter("th"))
    labelled = [e.get("aria-labelledby") for e in page.iter() if e.get("aria-labelledby")]
    ids = {element.get("id") for element in page.iter()}
    assert {one for each in labelled for one in each.split()} <= ids


def test_sheet_tells_each_guests_bike_and_where_they_walk() -> None:
    fleet = fleet_of()
    page = sheet_page(fleet, reading(fleet))
    assert [row.title for row in page.given.rows] == ["Alma", "Bruno", "Cleo"]
    assert [row.cells[0] for row in page.given.rows] == ["low", "one", "one"]
    assert page.given.rows[0].cells[1] == "nowhere"
    assert page.given.rows[1].cells[1] == "B\u00a0km\u00a02.5 Wall (70 m)"
    assert page.bikes_note == "Bikes to bring: 1 × low and 2 × one. Left over: 1 × high."
    assert [row.cells[1] for row in page.places.rows] == ["The bank", "Wall"]
    assert page.places.rows[1].cells[4:] == ("Bruno", "Alma and Cleo")
    assert page.descent_note == "Alma may rather walk down."
    assert "mass not told: ask" in page.given.rows[0].cells[3]


def test_rows_left_out_are_told_beside_the_verdict() -> None:
    fleet = fleet_of()
    read = reading(fleet)
    wrong = replace(read, guests=replace(read.guests, faults=("guests.csv: line 3: wrong",)))
    told = "Some guests of the lists are left out: see below."
    assert rows_left_out(fleet, replace(read, guests=replace(read.guests, faults=()))) == ""
    assert sheet_page(fleet, wrong).verdict.endswith(told)
    assert told in " ".join(fleet_text(fleet, wrong, 80, colour=False).split())


def test_sheet_names_those_who_are_left_without() -> None:
    page = sheet_page(short(), reading(short()))
    assert page.without == ("Alma: no bike is suitable: walks too far on 1 of 1.",)
    assert "Alma" not in [row.title for row in page.given.rows]


def test_only_those_with_a_bike_are_told_to_walk_down() -> None:
    assert sheet_page(short(), reading(short())).descent_note == ""


def test_everybody_who_pushes_hard_is_named_and_a_name_with_a_comma_is_one_guest() -> None:
    few = [guest(f"Guest {n}", "strong") for n in range(3)]
    many = [guest(f"Ash, {n}", "now and then") for n in range(6)]
    fleet = fleet_of((bike("low", (48, 36, 26), 9),), (*few, *many))
    named = "“Ash, 0”, “Ash, 1”, “Ash, 2”, “Ash, 3”, “Ash, 4” and “Ash, 5”"
    assert guest_names(fleet, range(3, 9), 6) == named
    assert named in [row.cells[5] for row in sheet_page(fleet, reading(fleet)).places.rows]


def test_sizes_at_the_end_of_long_names_are_on_the_sheet() -> None:
    names = [f"the hire shop's touring bike, frame {size}" for size in ("S", "L")]
    fleet = fleet_of(tuple(bike(name, (48, 36, 26), 2) for name in names))
    page = sheet_page(fleet, reading(fleet))
    assert {row.cells[0] for row in page.given.rows} <= {*names}
    assert all(name in page.bikes_note for name in names)


def test_plans_cautions_are_on_the_sheet_above_all_others() -> None:
    fleet = fleet_of()
    found = fleet_sheet(fleet, reading(fleet), ("bike.rim_mm is <b>9</b>",)).decode()
    caution, told, mechanic = (
        found.index(words)
        for words in ("Look again at the plan", "is &lt;b&gt;9", "A qualified mechanic checks")
    )
    assert caution < told < mechanic
    assert "Look again" not in fleet_sheet(fleet, reading(fleet)).decode()


def test_heights_that_no_road_has_are_told_before_the_usual_cautions() -> None:
    fleet = fleet_of()
    wall = course_from_grades(np.r_[np.zeros(100), np.full(10, 0.6), np.zeros(100)])
    first = fleet_cautions(replace(fleet, day=replace(fleet.day, course=wall)))[0]
    assert first.startswith("At km 1.0 the heights make 60 %")
    assert fleet_cautions(fleet)[0].startswith("A qualified mechanic")


def test_wet_day_and_mechanic_are_told() -> None:
    fleet = fleet_of()
    wet = replace(fleet.day, conditions=replace(fleet.day.conditions, wet=True))
    page = sheet_page(replace(fleet, day=wet), reading(fleet))
    assert "It is wet" in page.descent_note
    assert any("qualified mechanic" in caution for caution in page.cautions)
    assert any("qualified mechanic" in check for check in page.checks)
