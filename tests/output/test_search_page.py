"""The page of a search: what it says, and that anyone can open, hear and trust it."""

import re
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from lxml import html
from made_parts import FRAME, TWO_RINGS, UNTOLD
from made_report import EVIL
from made_search import BIKE, CLOSE, NOW, PARTS, RIDER, answered, hills

from gearsim.course.course import Place
from gearsim.output.places.words import cue_sentence
from gearsim.output.search.drawings import HEIGHT, WIDTH, _Box, front_drawings
from gearsim.output.search.marks import LOOKS
from gearsim.output.search.page import page_data, search_page
from gearsim.output.search.rows import places_told
from gearsim.output.search.words import (
    ONLY_THE_BEST,
    gained_and_lost,
    reason_told,
    search_verdict,
    to_buy_told,
)
from gearsim.output.words import CAUTIONS, clock
from gearsim.setup.conditions import Conditions
from gearsim.setup.fit.build import Build
from gearsim.setup.fit.finding import Verdict
from gearsim.setup.wishes import Wishes
from gearsim.studies.cue_sheet import cue_sheet
from gearsim.studies.days.days import Days, ride_days
from gearsim.studies.finish_band import finish_band
from gearsim.studies.search.answer import Answer, answer_of
from gearsim.studies.search.search import search
from gearsim.studies.search.trade_off import FEW_POINTS

PLACES = "places-of-the-best.gpx"


@cache
def hostile() -> Answer:
    """A search in which every name that a file can bring is an attack."""
    course = hills()
    report = replace(course.report, source=f"/tmp/{EVIL}.gpx", taken=EVIL, left_out=(EVIL,))
    places = (Place(name=EVIL, distance_m=0.4 * course.length_m),)
    parts = replace(
        PARTS,
        cassettes=tuple(replace(each, name=f"{each.name} {EVIL}") for each in PARTS.cassettes),
        chainsets=tuple(
            each if each is TWO_RINGS else replace(each, name=f"{each.name} \u202e{EVIL}")
            for each in PARTS.chainsets
        ),
    )
    found = search(
        replace(course, name=EVIL, report=report, places=places),
        replace(RIDER, name=EVIL),
        replace(BIKE, name=EVIL),
        Conditions(),
        now=replace(NOW, name=EVIL),
        parts=parts,
        frame=FRAME,
    )
    return answer_of(found, cautions=(EVIL,))


@cache
def over_days() -> Days:
    return ride_days(answered().comparison, most_days=16)


def untold() -> Answer:
    """The search on a frame of which nothing is told, so that much fits."""
    return answered(frame=UNTOLD)


@cache
def untold_page() -> str:
    return search_page(untold(), PLACES).decode()


@cache
def hostile_page() -> str:
    return search_page(hostile(), PLACES).decode()


@cache
def days_page() -> str:
    return search_page(answered(), PLACES, over_days()).decode()


@pytest.fixture(params=[untold_page, hostile_page, days_page])
def page(request: pytest.FixtureRequest) -> str:
    """Each of the pages as it is written."""
    return str(request.param())


def parsed(page: str) -> html.HtmlElement:
    return html.document_fromstring(page)


def text(element: html.HtmlElement) -> str:
    return " ".join(element.text_content().split())


def table(page: str, caption: str) -> html.HtmlElement:
    """The table whose caption begins so."""
    tables = parsed(page).iter("table")
    return next(each for each in tables if text(each.find("caption")).startswith(caption))


# Anyone can open it


def test_nothing_comes_from_elsewhere_and_no_script_runs(page: str) -> None:
    tags = [e.tag for e in parsed(page).iter("script", "link", "img", "iframe", "object", "embed")]
    assert tags == []
    assert "://" not in page
    names = [name for element in parsed(page).iter() for name in element.attrib]
    assert not [name for name in names if name.startswith("on")]


def test_links_and_labels_point_to_places_on_the_page(page: str) -> None:
    ids = [element.get("id") for element in parsed(page).iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert {a.get("href") for a in parsed(page).iter("a")} <= {f"#{name}" for name in ids}
    pointed = [e.get("aria-labelledby") for e in parsed(page).iter() if e.get("aria-labelledby")]
    assert {name for names in pointed for name in names.split()} <= set(ids)


def test_landmarks_and_headings_without_gaps(page: str) -> None:
    for landmark in ("header", "nav", "main", "footer"):
        assert len(list(parsed(page).iter(landmark))) == 1
    levels = [int(e.tag[1]) for e in parsed(page).iter("h1", "h2", "h3", "h4")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_drawings_are_told_in_words_and_tables_have_captions_and_heads(page: str) -> None:
    for drawing in parsed(page).iter("svg"):
        if drawing.get("aria-hidden") != "true":
            assert drawing.get("role") == "img"
            assert text(drawing.find("title"))
            assert text(drawing.find("desc"))
    for found in parsed(page).iter("table"):
        assert text(found.find("caption"))
        columns = len(found.findall("thead/tr/th"))
        for row in found.iterfind("tbody/tr"):
            assert sum(int(cell.get("colspan", 1)) for cell in row) == columns


def test_hostile_names_are_shown_as_text() -> None:
    page = parsed(hostile_page())
    assert text(page.find("body//h1")) == f"{EVIL}: what to fit?"
    assert text(page).count(EVIL) > 10
    assert not re.search("[\x00-\x09\x0b-\x1f\u202a-\u202e]", hostile_page())


# What it says


def test_verdict_comes_first_with_what_the_best_brings() -> None:
    header = text(parsed(untold_page()).find("body/header"))
    best = untold().search.options[0]
    assert search_verdict(untold().search) in header
    assert gained_and_lost(best.change) in header
    assert f"To buy for it: {to_buy_told(best.prospect)}." in header


def test_the_top_says_what_to_check_with_a_mechanic_and_why() -> None:
    header = text(parsed(untold_page()).find("body/header"))
    checked = header.split("To check with a mechanic: ")[1].split("Every finding")[0]
    prospect = untold().search.options[0].prospect
    told = [each for each in prospect.cautions if "not told" not in each.reason]
    assert all(f"{each.subject} ({each.reason})" in checked for each in told)
    assert "[frame] does not tell" in checked


def test_parts_to_buy_are_told_with_what_they_are() -> None:
    prospect = untold().search.options[0].prospect
    build = prospect.build
    assert isinstance(build, Build)
    assert build.cassette.name in prospect.to_buy
    assert f"cassette {build.cassette.name}" in to_buy_told(prospect).split("; ")


def test_every_build_told_of_has_its_gains_losses_and_parts_to_buy() -> None:
    told = text(parsed(untold_page()))
    for place in places_told(untold().search):
        option = untold().search.options[place]
        assert gained_and_lost(option.change) in told
        assert f"To buy: {to_buy_told(option.prospect)}." in told


def test_what_you_have_stands_above_the_best_few_and_beside_them_on_the_road() -> None:
    rows = table(untold_page(), "Mismatch, riding time").iterfind("tbody")
    titles, cells = zip(
        *[(text(row.find("tr/th")), [text(c) for c in row.iterfind("tr/td")]) for row in rows],
        strict=True,
    )
    names = [each.name for each in untold().best]
    assert list(titles) == [
        "now: what I have",
        *(f"{rank}: {name}" for rank, name in enumerate(names, start=1)),
    ]
    now = untold().search.now.score
    assert cells[0][:2] == [f"{now.mismatch:.1f}", clock(now.moving_s)]
    lanes = [lane.name for lane in page_data(untold()).road.lanes]
    assert lanes == ["what I have (now)", *names]


def test_front_has_the_builds_on_it_that_are_not_far_worse() -> None:
    found = untold().search
    most = max(found.options[0].mismatch, found.now.score.mismatch) + FEW_POINTS
    wanted = [each.name for each in found.options if each.on_front and each.mismatch <= most]
    rows = [row.title.split(": ", 1)[1] for row in page_data(untold()).front.table.rows[1:]]
    assert rows == wanted[: len(rows)]
    left_out = re.findall(r"(\d+) with more", page_data(untold()).front.table_note)
    on_front = sum(each.on_front for each in found.options)
    assert sum(map(int, left_out)) == on_front - len(rows) > 0


def test_cues_of_the_best_are_in_riding_order_and_name_their_file() -> None:
    best = untold().best[0].ride
    rows = table(untold_page(), f"Cue sheet for {best.drivetrain.name}").findall("tbody/tr")
    cues = cue_sheet(best).cues
    assert len(rows) == len(cues) > 0
    for row, cue in zip(rows, cues, strict=True):
        assert text(row.find("th")) == f"{cue.start_m / 1000.0:.1f}"
        assert cue_sentence(best, cue) in text(row)
    assert PLACES in text(parsed(untold_page()))


def test_findings_on_each_of_the_best_are_told_and_what_is_ok_in_one_row() -> None:
    for each in untold().best:
        assert each.fit is not None
        rows = text(table(untold_page(), f"{each.name}: "))
        for finding in each.fit.findings:
            assert finding.subject.split(",")[0] in rows
        number = each.fit.count(Verdict.OK)
        assert f"{number} checks are ok" in rows


def test_all_that_was_left_out_is_counted_with_its_reason() -> None:
    rows = table(days_page(), "Builds left out").findall("tbody/tr")
    left_out = answered().search.question.left_out
    assert [[text(cell) for cell in row] for row in rows] == [
        [str(count), reason_told(reason)] for reason, count in left_out.items()
    ]
    assert "does not tell largest_ring_alone" in text(parsed(untold_page()))


def test_times_are_told_with_their_error_and_cautions_end_it() -> None:
    told = text(parsed(untold_page()))
    band = finish_band(untold().best[0].ride)
    for score in (band.slow, band.likely, band.fast):
        assert clock(score.finish_s) in told
    assert all(caution in told for caution in CAUTIONS)
    assert "knees" in told


def test_bike_is_told_with_what_the_rider_has_on_it() -> None:
    rows = {row.title: row.cells for row in page_data(untold()).assumed.values[1].rows}
    found = untold().search
    whole_kg = found.bike.mass_kg + found.question.present.mass_kg
    assert rows["mass, ready to ride"][0] == f"{whole_kg:.4g} kg"


def test_days_have_their_part_and_say_who_was_ridden_on_them() -> None:
    page = parsed(days_page())
    (part,) = page.xpath("//section[@aria-labelledby='days']")
    assert ONLY_THE_BEST in text(part)
    assert len(over_days().candidates) == len(answered().best) + 1
    assert all(each.name in text(part) for each in over_days().candidates)
    assert not parsed(untold_page()).xpath("//section[@aria-labelledby='days']")


def test_the_same_search_gives_the_same_bytes() -> None:
    assert search_page(untold(), PLACES).decode() == untold_page()


# The front, drawn


def test_every_build_in_the_drawing_is_one_dot_of_its_look() -> None:
    by_weight = front_drawings(untold().search)[0].drawing
    dots = [shape for shape in by_weight.shapes if shape.filling.startswith("dots")]
    fillings = [shape for shape in dots if "rim" not in shape.filling]
    rims = [shape for shape in dots if "rim" in shape.filling]
    drawn = sum(shape.path.count("M") for shape in fillings)
    assert drawn == sum(shape.path.count("M") for shape in rims)
    depths = [float(y) for shape in fillings for y in re.findall(r"M\S+ ([-\d.]+)", shape.path)]
    assert len(depths) == drawn <= len(untold().search.options)
    assert all(0.0 <= depth <= HEIGHT for depth in depths)
    assert {shape.filling.split()[1] for shape in fillings} <= {
        look.dots for look in LOOKS.values()
    }


def test_all_that_is_told_of_has_its_rank_beside_its_dot_and_its_words() -> None:
    by_weight = front_drawings(untold().search)[0].drawing
    ranks = {label.text: label for label in by_weight.labels if label.beside_px}
    assert set(ranks) == {"now", *(str(place + 1) for place in places_told(untold().search))}
    for label in ranks.values():
        assert 5.0 < np.hypot(*label.beside_px) < 40.0
    for place in places_told(untold().search):
        assert f"{place + 1}: {untold().search.options[place].name}" in by_weight.about


def test_better_is_lower_and_lighter_is_further_left() -> None:
    labels = front_drawings(untold().search)[0].drawing.labels
    at = {each.text: (each.left_percent, each.top_percent) for each in labels if each.beside_px}
    now, options = at["now"], untold().search.options
    for place in places_told(untold().search):
        across, down = at[str(place + 1)]
        change = options[place].change
        assert (across < now[0]) == (change.mass_kg < 0.0)
        assert (down > now[1]) == (change.mismatch < 0.0)


def test_price_is_drawn_only_where_it_is_known_and_steps_end_at_the_right() -> None:
    priced = front_drawings(untold().search)
    assert [each.drawing.title for each in priced] == [
        "Mismatch against weight",
        "Mismatch against price",
    ]
    for each in priced:
        steps = next(shape.path for shape in each.drawing.shapes if shape.filling == "step")
        assert steps.endswith(f"H{WIDTH}")
    bare = replace(CLOSE, price=None)
    found = search(
        hills(),
        RIDER,
        BIKE,
        Conditions(),
        now=NOW,
        parts=replace(PARTS, cassettes=(*PARTS.cassettes[:1], bare)),
        frame=UNTOLD,
        wishes=Wishes(keep_chainset=True),
    )
    assert all(each.prospect.price is None for each in found.options)
    (only,) = front_drawings(found)
    assert "price" not in only.drawing.title


def test_no_steps_are_drawn_where_all_that_is_known_is_off_the_drawing() -> None:
    """A search stopped early may have ridden no priced build that is near the best."""
    box = _Box(window=(0.0, 100.0, 5.0, 20.0))
    assert box.steps([(40.0, 30.0)]) == ""
    assert box.steps([(40.0, 30.0), (60.0, 10.0)]).startswith("M600")
