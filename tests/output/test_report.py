"""The report: what it says, and that anyone can open, hear, print and trust it."""

import re
from dataclasses import fields
from itertools import pairwise
from pathlib import Path

import pytest
from jinja2 import UndefinedError
from lxml import html
from made_comparison import FIVE, FIXED, HIGH, HUB, LOW, ridden
from made_report import EVIL, document, hostile, page_of, text_of
from made_rides import HILLS, course_of_height
from made_rides import ridden as made_ride

from gearsim.course.stops import Stop, with_stops
from gearsim.output import assumptions
from gearsim.output.assumptions import assumption_tables
from gearsim.output.comparison.verdict import verdict
from gearsim.output.drawing.style import MARKS
from gearsim.output.report.candidate import NO_CUES, candidate_page
from gearsim.output.report.html import rendered, report_html
from gearsim.output.report.speeds import hours_minutes_seconds, speeds
from gearsim.output.report.terms import gears_spelled
from gearsim.output.words import CAUTIONS, clock
from gearsim.ride.score import Weights
from gearsim.ride.states import State
from gearsim.ride.usage import usage
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.finding import Finding, Verdict
from gearsim.setup.fit.fitment import Fit
from gearsim.studies.compare import Comparison
from gearsim.studies.cue_sheet import CueSheet
from gearsim.studies.finish_band import finish_band

STYLE = Path(assumptions.__file__).with_name("templates") / "style.css"
BOTH = pytest.mark.parametrize("comparison", [ridden(), hostile()], ids=["plain", "hostile"])


def text(element: html.HtmlElement) -> str:
    return " ".join(element.text_content().split())


def table(page: html.HtmlElement, caption: str) -> html.HtmlElement:
    """The table whose caption begins so."""
    return next(t for t in page.iter("table") if text(t.find("caption")).startswith(caption))


# Anyone can open it


@BOTH
def test_nothing_comes_from_elsewhere_and_no_script_runs(comparison: Comparison) -> None:
    page, source = document(comparison), text_of(comparison)
    assert [e.tag for e in page.iter("script", "link", "img", "iframe", "object", "embed")] == []
    assert "://" not in source
    assert "url(" not in source.replace("url(#below)", "")
    names = [name for element in page.iter() for name in element.attrib]
    assert not [name for name in names if name.startswith("on")]
    assert {a.get("href")[0] for a in page.iter("a")} == {"#"}


@BOTH
def test_links_go_to_places_on_the_page(comparison: Comparison) -> None:
    page = document(comparison)
    ids = [element.get("id") for element in page.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert {a.get("href")[1:] for a in page.iter("a")} <= set(ids)
    pointed = [e.get("aria-labelledby") for e in page.iter() if e.get("aria-labelledby")]
    assert {name for names in pointed for name in names.split()} <= set(ids)


@BOTH
def test_landmarks_language_and_title(comparison: Comparison) -> None:
    page = document(comparison)
    assert page.get("lang") == "en"
    assert text(page.find("head/title"))
    for landmark in ("header", "nav", "main", "footer"):
        assert len(list(page.iter(landmark))) == 1
    assert page.find("body//nav").get("aria-label")
    assert "width=device-width" in page.find("head/meta[@name='viewport']").get("content")


@BOTH
def test_headings_have_an_order_without_gaps(comparison: Comparison) -> None:
    levels = [int(e.tag[1]) for e in document(comparison).iter("h1", "h2", "h3", "h4")]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@BOTH
def test_every_drawing_is_told_in_words_or_hidden_from_those_who_hear(
    comparison: Comparison,
) -> None:
    drawings = list(document(comparison).iter("svg"))
    told = [drawing for drawing in drawings if drawing.get("aria-hidden") != "true"]
    assert len(told) == 1 + len(comparison.candidates)
    for drawing in told:
        assert drawing.get("role") == "img"
        assert text(drawing.find("title"))
        assert text(drawing.find("desc"))


@BOTH
def test_every_table_has_a_caption_and_every_head_its_direction(comparison: Comparison) -> None:
    for found in document(comparison).iter("table"):
        assert text(found.find("caption"))
        heads = list(found.iter("th"))
        assert {head.get("scope") for head in heads} <= {"col", "row", "rowgroup"}
        assert all(text(head) for head in heads)
        for row in found.iterfind("tbody/tr"):
            named = row.find("th") is not None or row.getprevious().find("th") is not None
            assert named


@BOTH
def test_every_row_is_as_wide_as_its_table(comparison: Comparison) -> None:
    for found in document(comparison).iter("table"):
        columns = len(found.findall("thead/tr/th"))
        widths = {
            sum(int(cell.get("colspan", 1)) for cell in row) for row in found.iterfind("tbody/tr")
        }
        assert widths <= {columns}


def test_text_stands_out_from_what_is_behind_it() -> None:
    style = STYLE.read_text()
    colour = dict(re.findall(r"--(\w+): (#\w+);", style))
    behind = ["#ffffff", colour["ground"]]
    behind.append(colour["shade"])
    assert all(contrast(colour["faint"], ground) >= 4.5 for ground in behind)
    bars = [*behind, MARKS[State.UNDER_BAND].colour, MARKS[State.OVER_BAND].colour]
    assert all(contrast(colour["ink"], bar) >= 4.5 for bar in bars)


def test_no_browser_turns_its_drawings_dark() -> None:
    scheme = document(ridden()).find("head/meta[@name='color-scheme']").get("content")
    assert scheme == "only light"
    assert "color-scheme: only light;" in STYLE.read_text()


def test_states_have_the_colours_of_the_picture() -> None:
    style, page = STYLE.read_text(), text_of(ridden())
    for state, mark in MARKS.items():
        name = state.name.lower().replace("_", "-")
        if mark.hatch:
            assert 'id="below" width' in page
            assert f'fill="{mark.colour}"' in page
        else:
            assert f".{name} {{ fill: {mark.colour}; }}" in style


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.1, relative luminance)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255.0 for place in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return sum(w * p for w, p in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_contrast_is_that_of_the_standard() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


# What it says


def test_it_says_the_verdict_and_the_cautions() -> None:
    said = text(document(ridden()))
    assert verdict(ridden()) in said
    assert all(caution in said for caution in CAUTIONS)
    assert "knees" in said


def test_the_top_says_which_gears_what_to_check_and_what_its_words_mean() -> None:
    header = text(document(ridden()).find("body/header"))
    best = ridden().candidates[0]
    low_rpm, high_rpm = best.ride.rider.limits_rpm
    assert f"“{best.name}” has {gears_spelled(best.ride.drivetrain)}." in header
    assert "tells nothing of the frame and the parts" in header
    for word in (f"cannot turn at {low_rpm:g} rpm", f"already turned at {high_rpm:g} rpm"):
        assert word in header


@pytest.mark.parametrize(
    ("drivetrain", "told"),
    [
        (LOW, "chainrings of 46 and 30 teeth, 9 sprockets of 11 to 34"),
        (HIGH, "chainring of 50 teeth, 8 sprockets of 11 to 25"),
        (FIXED, "chainring of 44 teeth, 1 sprocket of 17"),
        (HUB, "8 ratios of 0.80 to 4.20"),
    ],
    ids=["two rings", "one ring", "fixed", "hub"],
)
def test_gears_are_spelled_out_in_teeth_or_ratios(drivetrain: Drivetrain, told: str) -> None:
    assert gears_spelled(drivetrain) == told


def test_candidates_stand_side_by_side_in_rank_order() -> None:
    found = table(document(ridden()), "Mismatch, riding time")
    titles = [text(row) for row in found.iterfind("tbody/tr[@class='title']")]
    names = [candidate.name for candidate in ridden().candidates]
    assert [title.split()[1] for title in titles] == names
    first = [text(cell) for cell in found.iterfind("tbody/tr/td")][:2]
    best = ridden().candidates[0].score
    assert first == [f"{best.mismatch:.1f}", clock(best.finish_s)]


def test_cue_sheet_of_every_candidate_is_in_riding_order() -> None:
    for candidate in ridden().candidates:
        found = table(document(ridden()), f"Cue sheet for {candidate.name}")
        kilometres = [float(text(head)) for head in found.iterfind("tbody/tr/th")]
        assert kilometres == sorted(kilometres)


def test_each_cue_sheet_says_at_its_head_whose_it_is_on_every_page_it_is_printed_on() -> None:
    for candidate in ridden().candidates:
        found = table(document(ridden()), f"Cue sheet for {candidate.name}")
        assert [each.get("data-of") for each in found.iterfind("thead//th[@data-of]")] == [
            text(found.find("caption"))
        ]
    assert ".cues thead th[data-of]::before { content: attr(data-of)" in STYLE.read_text()


def test_gears_that_need_no_warning_have_neither_cues_nor_a_file() -> None:
    easy = candidate_page(1, ridden().candidates[0], CueSheet(cues=(), left_out=0))
    assert easy.no_cues == NO_CUES
    assert "no file of places" in NO_CUES


def test_walking_is_in_the_cue_sheet() -> None:
    worst = ridden().candidates[-1]
    assert worst.score.seconds[State.WALKING] > 0.0
    assert "Walk." in text(table(document(ridden()), f"Cue sheet for {worst.name}"))


def test_minutes_at_each_cadence_are_those_of_the_ride() -> None:
    page = page_of(ridden())
    for candidate, told in zip(ridden().candidates, page.candidates, strict=True):
        seconds = usage(candidate.ride).cadence_s
        longest = max(told.cadence.rows, key=lambda row: row.bars[0].percent)
        assert longest.bars[0].text == f"{seconds.max() / 60.0:.1f}"
        assert longest.bars[0].percent == 100.0


def test_gears_stand_by_sprocket_and_ring() -> None:
    low = next(c for c in ridden().candidates if c.name == "low")
    rank = ridden().candidates.index(low)
    use = page_of(ridden()).candidates[rank].gear_use
    assert use.heads == ("ring 46", "ring 30")
    assert [row.title for row in use.rows] == [
        str(teeth) for teeth in (34, 28, 24, 21, 19, 17, 15, 13, 11)
    ]
    seconds = usage(low.ride).gear_s
    gear = int(seconds.argmax())
    rear = low.ride.drivetrain.sprockets.index(low.ride.gears.sprocket[gear])
    bar = use.rows[len(use.rows) - 1 - rear].bars[low.ride.gears.ring[gear]]
    assert bar.percent == 100.0
    assert bar.text == f"{seconds[gear] / 60.0:.1f}"


def test_finish_is_told_with_what_it_may_become() -> None:
    band = finish_band(ridden().candidates[0].ride)
    said = page_of(ridden()).speeds.sentence
    assert "-10.4 and +8.5 %" in said
    for score in (band.slow, band.likely, band.fast):
        assert clock(score.finish_s) in said


def test_stops_are_in_the_finish_and_in_no_speed() -> None:
    road = course_of_height(HILLS, 10_000.0)
    ride = made_ride(with_stops(road, [Stop(at_km=3.0, minutes=10.0)]))
    told = speeds(ride, finish_band(ride))
    whole, *grounds = told.grounds.rows
    assert whole.cells[3] == hours_minutes_seconds(ride.moving_s)
    length_km = float(ride.course.road_length_m.sum()) / 1000.0
    assert whole.cells[0] == f"{length_km / (ride.moving_s / 3600.0):.1f}"
    hours = [each.cells[3].split(":") for each in (whole, *grounds)]
    seconds = [3600 * int(h) + 60 * int(m) + int(s) for h, m, s in hours]
    assert seconds[0] == pytest.approx(sum(seconds[1:]), abs=2)
    assert told.finish.rows[0].title == "finish, h:mm"
    assert told.finish.rows[0].cells[1] == clock(ride.moving_s + 600.0)


def test_every_value_of_rider_bike_day_and_score_is_told_and_defaults_are_marked() -> None:
    ride = ridden().candidates[0].ride
    tables = assumption_tables(ride, Weights(walking=4.0))
    values = (ride.rider, ride.bike, ride.conditions, Weights())
    for told, value in zip(tables, values, strict=True):
        assert len(told.rows) == sum(field.name != "name" for field in fields(value))
    rows = {row.title: row.cells for told in tables for row in told.rows}
    assert rows["mass"] == ("75 kg", "default")
    assert rows["power held for the ride"] == ("190 W", "given")
    assert rows["critical power"] == ("247 W, from the power held", "default")
    assert rows["walking"] == ("4", "given")


def test_surfaces_are_told_with_their_standing() -> None:
    found = table(document(ridden()), "Surfaces")
    assert "tarmac" in text(found)
    assert "0.005" in text(found)
    assert "from memory" in text(found)


def test_fit_findings_have_a_part_only_where_there_are_some() -> None:
    assert "What fits" not in text(document(ridden()))
    bad = Finding("largest ring", Verdict.DOES_NOT_FIT, 46.0, 42.0, "teeth", "it hits the frame")
    good = Finding("tyre", Verdict.OK, 40.0, 45.0, "mm", "there is room")
    page = page_of(ridden(), Fit(drivetrain=FIVE[0], findings=(good, bad)))
    found = table(html.document_fromstring(report_html(page).decode()), "low: does not fit")
    rows = [" ".join(text(cell) for cell in row) for row in found.iterfind("tbody/tr")]
    assert rows == [
        "largest ring it hits the frame",
        "does not fit 46 teeth 42 teeth",
        "tyre there is room",
        "ok 40 mm 45 mm",
    ]


def test_findings_on_fit_stand_in_rank_order() -> None:
    finding = Finding("tyre", Verdict.OK, 40.0, 45.0, "mm", "there is room")
    fits = [Fit(drivetrain=each, findings=(finding,)) for each in FIVE]
    told = [each.caption.split(":")[0] for each in page_of(ridden(), *fits).fits]
    assert told == [candidate.name for candidate in ridden().candidates]


# Names that attack


def test_hostile_names_are_shown_as_text() -> None:
    page = document(hostile())
    assert text(page.find("body//h1")) == f"{EVIL}: which gears?"
    assert EVIL in text(page.find("head/title"))
    assert EVIL in text(page)
    assert "right to left [31m" in text(page)


def test_no_control_or_direction_characters_come_through() -> None:
    assert not re.search("[\x00-\x09\x0b-\x1f\u202a-\u202e\u2066-\u2069]", text_of(hostile()))


def test_a_file_is_named_without_its_folder() -> None:
    assert "/tmp" not in text_of(hostile()).replace("</", "")


def test_a_template_that_lacks_a_value_is_an_error_not_a_blank() -> None:
    with pytest.raises(UndefinedError):
        rendered("comparison.html")


def test_the_same_ride_gives_the_same_bytes() -> None:
    assert report_html(page_of(ridden())) == report_html(page_of(ridden()))


def test_a_long_course_stays_a_small_file() -> None:
    assert len(text_of(ridden(FIVE, 300.0)).encode()) < 2_000_000
