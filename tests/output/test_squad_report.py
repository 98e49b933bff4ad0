"""The report of a squad: what it says, and that anyone can open, hear, print and trust it."""

import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from lxml import html
from made_comparison import FIVE, TWELVE, hills
from made_report import EVIL
from made_squad import READ, athlete, sought_of, squad_of

from gearsim.lists.athletes import AthleteList
from gearsim.output.squad.matrix import MOST_COLUMNS, Cell
from gearsim.output.squad.offers import own_best
from gearsim.output.squad.report import MOST_SHEETS, squad_page, squad_report
from gearsim.output.squad.verdict import squad_verdict
from gearsim.output.squad.words import definitions, stands_out
from gearsim.output.words import CAUTIONS, at_least_shown
from gearsim.ride.states import State
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.studies.squad.ride_squad import ride_squad
from gearsim.studies.squad.squad import Squad

MANY = (*TWELVE, *(replace(FIVE[n % 5], name=f"another {n}") for n in range(8)))


@cache
def hostile() -> Squad:
    """A squad in which every name that a file can bring is an attack, or far too long."""
    course = hills(6.0, EVIL)
    report = replace(course.report, source=f"/tmp/{EVIL}.gpx", taken=EVIL, left_out=(EVIL,))
    drivetrains = (
        replace(FIVE[0], name=EVIL),
        replace(FIVE[1], name="\u202eright to left\x00\x1b[31m"),
        Drivetrain(name="W" * 200, ratios=(1.0, 2.0)),
    )
    athletes = [
        replace(athlete(n, name), drivetrain=drivetrains[0])
        for n, name in enumerate((EVIL, "W" * 200, "\x1b[31m"))
    ]
    return ride_squad(replace(course, report=report), athletes, drivetrains, Conditions())


def hostile_list() -> AthleteList:
    """A list in a folder that is nobody's business, with faults and guesses that attack."""
    path = Path("/home/somebody/athletes.csv")
    told = (f"{path}: line 2: mass_kg is '{EVIL}'; allowed is 20 to 250",)
    return AthleteList(path=path, athletes=(), faults=told, guesses=told)


def source(squad: Squad, read: AthleteList = READ) -> str:
    return squad_report(squad, read).decode()


def document(squad: Squad, read: AthleteList = READ) -> html.HtmlElement:
    return html.document_fromstring(source(squad, read))


def text(element: html.HtmlElement) -> str:
    return " ".join(element.text_content().split())


def tables(page: html.HtmlElement, caption: str) -> list[html.HtmlElement]:
    """The tables whose caption begins so."""
    return [t for t in page.iter("table") if text(t.find("caption")).startswith(caption)]


SQUADS = {
    "plain": lambda: (squad_of(), READ),
    "many": lambda: (squad_of(12, MANY, hostile=True), READ),
    "hostile": lambda: (hostile(), hostile_list()),
    "one line each": lambda: (squad_of(14, MANY, hostile=True), READ),
    "sought": lambda: (sought_of(), READ),
    "sought, one line each": lambda: (sought_of(14), READ),
}
EACH = pytest.mark.parametrize("kind", SQUADS)


# Anyone can open it


@EACH
def test_nothing_comes_from_elsewhere_and_no_script_runs(kind: str) -> None:
    written = source(*SQUADS[kind]())
    page = html.document_fromstring(written)
    assert [e.tag for e in page.iter("script", "link", "img", "iframe", "object", "embed")] == []
    assert "://" not in written
    assert "url(" not in written.replace("url(#below)", "")
    assert not [name for e in page.iter() for name in e.attrib if name.startswith("on")]


@EACH
def test_links_and_labels_point_to_places_on_the_page(kind: str) -> None:
    page = document(*SQUADS[kind]())
    ids = [element.get("id") for element in page.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert {a.get("href")[1:] for a in page.iter("a")} <= set(ids)
    pointed = [e.get("aria-labelledby") for e in page.iter() if e.get("aria-labelledby")]
    assert {name for names in pointed for name in names.split()} <= set(ids)


@EACH
def test_landmarks_language_title_and_headings_in_order(kind: str) -> None:
    page = document(*SQUADS[kind]())
    assert page.get("lang") == "en"
    assert text(page.find("head/title"))
    for landmark in ("header", "nav", "main", "footer"):
        assert len(list(page.iter(landmark))) == 1
    levels = [int(e.tag[1]) for e in page.iter("h1", "h2", "h3", "h4")]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@EACH
def test_every_table_has_a_caption_heads_with_a_direction_and_full_rows(kind: str) -> None:
    for found in document(*SQUADS[kind]()).iter("table"):
        assert text(found.find("caption"))
        heads = list(found.iter("th"))
        assert {head.get("scope") for head in heads} <= {"col", "row", "rowgroup"}
        columns = len(found.findall("thead/tr/th"))
        rows = list(found.iterfind("tbody/tr"))
        assert {sum(int(cell.get("colspan", 1)) for cell in row) for row in rows} == {columns}


def test_what_may_be_wider_than_a_phone_can_be_scrolled_with_keys() -> None:
    for found in tables(document(squad_of(12, MANY)), "Mismatch"):
        assert found.getparent().get("tabindex") == "0"
        assert found.getparent().get("aria-label")


# What it says


def test_it_says_the_verdict_the_definitions_and_the_cautions() -> None:
    said = text(document(squad_of()))
    assert squad_verdict(squad_of()) in said
    assert all(told in said for told in (*definitions(squad_of()), *CAUTIONS))


def test_every_cell_has_its_mismatch_and_says_what_is_marked() -> None:
    squad = squad_of(12)
    flagged = set()
    for row, standing in zip(
        squad_page(squad, READ).matrices[0].rows, squad.standings, strict=True
    ):
        for place, cell in enumerate(row.cells):
            score = standing.scores[place]
            assert cell.mismatch == at_least_shown(score.mismatch, 1)
            assert ("best" in cell.flags) == (place == standing.best)
            assert ("as good" in cell.flags) == (place != standing.best and standing.will_do(place))
            assert ("has" in cell.flags) == (place == standing.has)
            assert ("walks" in cell.flags) == (score.seconds[State.WALKING] > 0.0)
            flagged |= set(cell.flags)
    assert flagged == {"best", "as good", "has", "walks"}


def test_flags_are_words_on_the_page_not_only_its_looks() -> None:
    squad = squad_of()
    (matrix,) = tables(document(squad), "Mismatch")
    (told,) = squad_page(squad, READ).matrices
    shown = [text(cell) for cell in matrix.iterfind("tbody/tr/td")]
    wanted = [in_words(cell) for row in (*told.rows, told.together) for cell in row.cells]
    assert shown == wanted


def in_words(cell: Cell) -> str:
    return " ".join((cell.mismatch, *cell.flags))


def test_longest_rod_is_that_of_the_largest_mismatch() -> None:
    squad = squad_of(12)
    cells = [cell for row in squad_page(squad, READ).matrices[0].rows for cell in row.cells]
    assert max(cell.percent for cell in cells) == 100.0
    assert min(cell.percent for cell in cells) >= 0.0


def test_many_drivetrains_stand_in_several_matrices_each_once() -> None:
    squad = squad_of(12, MANY, hostile=True)
    matrices = squad_page(squad, READ).matrices
    assert len(matrices) > 1
    assert all(len(matrix.heads) <= MOST_COLUMNS for matrix in matrices)
    letters = [letter for matrix in matrices for letter, _ in matrix.heads]
    assert letters == [chr(ord("A") + place) for place in range(len(MANY))]


def test_every_drivetrain_tells_whom_it_suits() -> None:
    squad = squad_of(12)
    for place, shared in enumerate(squad_page(squad, READ).shared):
        suited = [each for each in squad.standings if each.will_do(place)]
        said = " ".join(shared.told)
        assert all(each.athlete.name in said for each in suited)
        assert ("for no one" in said) == (not suited)


def test_it_says_who_stands_out_and_why() -> None:
    squad = squad_of(5, FIVE[1:3])
    assert len(squad.outliers) == 2
    said = text(document(squad))
    assert all(stands_out(squad, outlier) in said for outlier in squad.outliers)


def test_nobody_stands_out_where_one_suits_all() -> None:
    squad = squad_of(3, FIVE[:1])
    assert "No one: “low” suits all about equally." in text(document(squad))


def test_costs_are_told_only_of_those_who_told_what_they_have() -> None:
    squad = squad_of()
    for row, standing in zip(squad_page(squad, READ).costs.rows, squad.standings, strict=True):
        assert (row.cells[2] == "-") == (standing.has is None)


def test_what_was_assumed_of_an_athlete_is_marked() -> None:
    ridden = squad_page(squad_of(), READ).sheets[0].ridden
    assert ridden.startswith("*75 kg, 110 W")
    assert "band *75-95, limits 50-115" in ridden


# A block for each of a few, a line for each of many


def test_few_athletes_have_a_block_each_with_what_they_have_and_the_best() -> None:
    squad = squad_of()
    sheets = squad_page(squad, READ).sheets
    assert [sheet.name for sheet in sheets] == [each.athlete.name for each in squad.standings]
    for sheet, each in zip(sheets, squad.standings, strict=True):
        roles = ", ".join(row.title for row in sheet.rides.rows)
        assert ("has" in roles) == (each.now is not None)
        assert "one for all" in roles
        best = next(row for row in sheet.rides.rows if "best" in row.title)
        assert best.cells[0] == at_least_shown(each.scores[each.best].mismatch, 1)


def test_many_athletes_have_a_line_each_and_no_block() -> None:
    squad = squad_of(MOST_SHEETS + 1)
    page = squad_page(squad, READ)
    assert page.board is not None
    assert (page.matrices, page.costs, page.sheets) == ((), None, ())
    assert len(page.board.rows) == MOST_SHEETS + 1
    assert [mark for mark, _ in page.board.heads] == ["A", "B", "C", "D", "E"]
    assert "mass_kg of 13" in page.assumed
    board = document(squad).find_class("board")[0]
    assert len(board.findall("tbody")) == MOST_SHEETS + 2  # and all together


def test_of_many_drivetrains_a_line_has_the_few_that_serve_all() -> None:
    squad = squad_of(14, MANY, hostile=True)
    squad = replace(squad, few=(4, 2, 9))
    board = squad_page(squad, READ).board
    assert board is not None
    shown = [mark for mark, _ in board.heads]
    assert len(shown) <= MOST_COLUMNS
    assert shown == ["A", "C", "E", "J"]


def test_cells_of_a_line_say_in_words_what_their_looks_say() -> None:
    squad = squad_of(14)
    (board,) = document(squad).find_class("board")
    told = squad_page(squad, READ).board
    assert told is not None
    wanted = [in_words(cell) for row in told.rows for cell in row.cells]
    columns = len(told.heads)
    rows = [row for row in board.iterfind("tbody/tr") if row.getparent().get("class") is None]
    shown = [text(cell) for row in rows for cell in row.findall("td")[:columns]]
    assert shown == wanted
    assert {"best", "as good", "has", "walks"} <= {
        f for r in told.rows for c in r.cells for f in c.flags
    }


# What a search found


def test_search_tells_of_each_the_own_best_and_of_what_the_few_are_made() -> None:
    squad = sought_of()
    page = squad_page(squad, READ)
    said = text(document(squad))
    for sheet, each in zip(page.sheets, squad.standings, strict=True):
        assert sheet.told == f"Best of all that fits: {own_best(squad, each)}"
        assert sheet.told in said
    parts = [" ".join(shared.made_of) for shared in page.shared]
    assert any("Made of: " in told for told in parts)


def test_search_of_many_tells_the_own_best_under_each_line() -> None:
    squad = sought_of(14)
    board = squad_page(squad, READ).board
    assert board is not None
    assert [row.more for row in board.rows] == [own_best(squad, each) for each in squad.standings]


def test_what_athletes_have_beside_the_columns_has_small_letters() -> None:
    squad = sought_of(4)
    page = squad_page(squad, READ)
    assert page.costs is not None
    told = [row.cells[2] for row in page.costs.rows]
    assert told == ["A", "a", "-", "b"]
    assert page.others == (
        "a: old road bike, 50-34 × 11-30 (11)",
        "b: mum's bike, 48 × 11-30 (11)",
    )


def test_rows_left_out_and_guesses_are_told_without_the_folder() -> None:
    said = text(document(squad_of(), hostile_list()))
    assert said.count("athletes.csv: line 2: mass_kg") == 2
    assert "/home/somebody" not in said
    assert "Left out" not in text(document(squad_of()))


def test_surfaces_and_what_was_made_of_the_route_are_told() -> None:
    said = text(document(squad_of()))
    assert "tarmac" in said
    assert "from memory" in said
    assert "The route, and what was repaired" in said


# Names that attack


def test_hostile_names_are_shown_as_text() -> None:
    page = document(hostile(), hostile_list())
    assert text(page.find("body//h1")) == f"{EVIL}: gears for a squad"
    assert EVIL in text(page.find("head/title"))
    assert text(page).count(EVIL) > 5


def test_no_control_or_direction_characters_come_through() -> None:
    written = source(hostile(), hostile_list())
    assert not re.search("[\x00-\x09\x0b-\x1f\u202a-\u202e\u2066-\u2069]", written)


def test_the_same_squad_gives_the_same_bytes() -> None:
    assert squad_report(squad_of(), READ) == squad_report(squad_of(), READ)
