import json
import math
import re
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser

import numpy as np
import pytest
from made_parts import FRAME
from made_search import BIKE, NOW, PARTS, RIDER, hills

from gearsim.course.stops import Stop, with_stops
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.one_or_two.chart import one_or_two_figure
from gearsim.output.one_or_two.drawings import ladders, lever_drawing
from gearsim.output.one_or_two.page import one_or_two_page, page_data
from gearsim.output.one_or_two.rows import Measure, parts
from gearsim.output.one_or_two.tables import levers_table, one_or_two_records, one_or_two_table
from gearsim.output.one_or_two.text import one_or_two_text
from gearsim.output.one_or_two.words import lever_told, verdict, what_turns_it
from gearsim.setup.conditions import Conditions
from gearsim.setup.rider import Rider
from gearsim.studies.one_or_two.contender import Contender
from gearsim.studies.one_or_two.lever_curve import Lever, LeverCurve, Standing, Turn
from gearsim.studies.one_or_two.one_or_two import OneOrTwo, one_or_two
from gearsim.studies.one_or_two.ring_side import Side

PNG = b"\x89PNG\r\n\x1a\n"
PROMISES = ("guarantee", "certainly", "you should")


@cache
def found(power_w: float = RIDER.power_w) -> OneOrTwo:
    """The invented list weighed for a rider of that power."""
    rider = Rider(power_w=power_w)
    return one_or_two(hills(), rider, BIKE, Conditions(), now=NOW, parts=PARTS, frame=FRAME)


def scored(side: Side, mismatch: float, *, has: bool = False) -> Side:
    """The side with a ride that comes to this mismatch."""
    contender = side.contender
    score = contender.outcome.score
    weighted_s = mismatch / 100.0 * score.pedalling_or_walking_s
    outcome = replace(contender.outcome, score=replace(score, weighted_s=weighted_s))
    return replace(side, contender=replace(contender, outcome=outcome, has=has))


def as_told(one: float, two: float, *curves: LeverCurve) -> OneOrTwo:
    """One ring against two with these mismatches."""
    made = found()
    return replace(
        made, one=scored(made.one, one), two=scored(made.two, two, has=True), curves=curves
    )


def with_stops_of(made: OneOrTwo, stopped_s: float) -> OneOrTwo:
    """The same, had the course so much standing in it."""
    course = made.setting.course
    stops = with_stops(course, [Stop(at_km=0.5, minutes=stopped_s / 60.0)] if stopped_s else [])
    sides = [replace(s, ride=replace(s.ride, course=stops)) for s in (made.one, made.two)]
    return replace(made, one=sides[0], two=sides[1])


@pytest.mark.parametrize(
    ("stopped_s", "called", "never"),
    [(0.0, "riding time, h:mm", "finish, h:mm"), (600.0, "finish, h:mm", "riding time, h:mm")],
)
def test_time_is_called_what_is_in_it(stopped_s: float, called: str, never: str) -> None:
    made = with_stops_of(found(), stopped_s)
    for said in (one_or_two_text(made, 80, colour=False), one_or_two_page(made).decode()):
        assert called in said
        assert never not in said
    assert list(one_or_two_table(made)["stopped_min"]) == [0.0, 0.0]  # as scored


def curve(
    lever: Lever,
    *points: tuple[float, float, float],
    own: float,
    down: Turn | None = None,
    up: Turn | None = None,
) -> LeverCurve:
    standings = tuple(standing(*point) for point in points)
    return LeverCurve(lever=lever, own=own, standings=standings, down=down, up=up)


def standing(value: float, one: float, two: float) -> Standing:
    def best(side: Side, mismatch: float) -> Contender | None:
        return side.contender if math.isfinite(mismatch) else None

    made = found()
    return Standing(
        value=value,
        one=one,
        two=two,
        one_best=best(made.one, one),
        two_best=best(made.two, two),
    )


def measure(of: OneOrTwo, title: str) -> Measure:
    return next(each for part in parts(of) for each in part.measures if each.title == title)


def test_a_clear_verdict_names_both_and_what_one_ring_saves_and_costs() -> None:
    told = verdict(as_told(12.0, 8.0))
    assert told.startswith("Two rings suit this route better: the best, “what I have” (mismatch 8")
    assert "what you have), against the best with one, “36 × wide” (12.0)." in told
    assert "One ring instead of two saves " in told
    assert "all front shifts" in told
    assert "1 part to keep adjusted" in told
    assert "320 in price" in told
    assert len(re.findall(r"\.(?: |$)", told)) == 2


def test_the_other_way_round_one_ring_suits_better() -> None:
    assert verdict(as_told(8.0, 12.0)).startswith("One ring suits this route better: the best, “36")


@pytest.mark.parametrize(("one", "two"), [(8.3, 8.0), (8.0, 8.3), (42.0, 40.0)])
def test_a_near_tie_is_told_as_such(one: float, two: float) -> None:
    told = verdict(as_told(one, two))
    assert told.startswith("A near tie: the best with ")
    assert "closer than the model can tell apart" in told


def test_the_least_change_of_each_thing_is_told_with_its_direction() -> None:
    stronger = Turn(standing=standing(231.0, 6.0, 6.1), by_room=False)
    wider = Turn(standing=standing(45.0, 12.0, math.inf), by_room=True)
    made = as_told(
        12.0,
        8.0,
        curve(Lever.POWER, (95.0, 30.0, 20.0), (190.0, 12.0, 8.0), own=190.0, up=stronger),
        curve(Lever.LOAD, (0.0, 12.0, 8.0), (30.0, 14.0, 9.5), own=0.0),
        curve(Lever.TYRE, (40.0, 12.0, 8.0), (50.0, 12.0, math.inf), own=40.0, up=wider),
    )
    assert what_turns_it(made).endswith(
        "put one ring ahead, one thing changed at a time: rider power raised to 231 W or tyre "
        "width over 45 mm."
    )
    power, load, tyre = (lever_told(made, each) for each in made.curves)
    assert power.startswith("From 231 W (+22 %) up: one ring 6.0 (“36 × wide”), two rings 6.1")
    assert load == "Nothing from 0 kg to +30.0 kg turns it. It hardly matters."
    assert tyre == ("Over 45 mm no front mech leaves room for the tyre: one ring is all that fits.")


def test_where_a_near_tie_comes_long_before_the_turn_it_is_told() -> None:
    stronger = Turn(standing=standing(340.0, 0.2, 0.21), by_room=False)
    power = curve(
        Lever.POWER,
        (190.0, 12.0, 8.0),
        (240.0, 5.0, 4.9),
        (340.0, 0.2, 0.21),
        own=190.0,
        up=stronger,
    )
    told = what_turns_it(as_told(12.0, 8.0, power))
    assert told.endswith("rider power raised to 340 W (a near tie from about 240 W).")


def test_where_nothing_turns_it_the_closest_and_the_first_near_tie_are_told() -> None:
    levels = curve(Lever.LOAD, (0.0, 12.0, 8.0), (10.0, 12.0, 11.0), (20.0, 12.0, 11.5), own=0.0)
    made = as_told(12.0, 8.0, levels)
    assert what_turns_it(made).startswith("Nothing looked at puts one ring ahead")
    told = lever_told(made, levels)
    assert "Closest at +20.0 kg: one ring 12.0" in told
    assert told.endswith("; a near tie from about +10.0 kg.")


def test_in_a_near_tie_little_turns_it_and_that_is_said() -> None:
    turn = Turn(standing=standing(1.0, 8.0, 8.1), by_room=False)
    levels = curve(Lever.LOAD, (0.0, 8.2, 8.0), (5.0, 8.0, 8.3), own=0.0, up=turn)
    assert what_turns_it(as_told(8.2, 8.0, levels)).startswith("The two are a near tie, so little")


@pytest.mark.parametrize("width", [80, 100, 132])
def test_text_keeps_to_the_width_and_has_no_colours_unasked(width: int) -> None:
    text = one_or_two_text(found(), width, colour=False)
    assert max(map(len, text.splitlines())) <= width
    assert "\x1b" not in text
    assert "\x1b[" in one_or_two_text(found(), width, colour=True)


def test_text_gives_the_verdict_first_and_defines_its_words() -> None:
    text = " ".join(one_or_two_text(found(), 80, colour=False).split())
    assert text.index("A near tie: the best") < text.index("SIDE BY SIDE")
    for told in (
        "WHAT WOULD CHANGE THE VERDICT",
        "every pace as likely",
        "sprockets passed an hour",
        "longest in one gear",
        "To buy for one ring: small ring; wide; long cage.",
        "A warning from numbers, never a permission",
        "bisected to 1 % of power",
    ):
        assert told in text
    for told in PROMISES:
        assert told not in text.lower()


def test_limits_that_the_frame_does_not_tell_are_named() -> None:
    untold = replace(found().field, frame=replace(FRAME, largest_tyre_mm=None))
    text = " ".join(one_or_two_text(replace(found(), field=untold), 80, colour=False).split())
    assert "[frame] does not tell largest_tyre_mm: nothing was left out by that" in text


def test_marks_point_to_the_better_as_shown() -> None:
    made = as_told(12.0, 8.0)
    assert measure(made, "mismatch").better == 2
    assert measure(made, "front shifts an hour").better == 1
    assert measure(made, "parts to keep adjusted").better == 1
    assert measure(made, "widest tyre, mm").better == 1
    assert measure(made, "range, %").better == 2
    assert measure(as_told(8.01, 8.02), "mismatch").better == 0  # the same as shown
    assert measure(made, "longest in one gear").better == 0


def test_what_is_not_known_is_not_shown_as_nothing() -> None:
    made = found()
    unknown = replace(made.two.contender, mass_kg=None, price=None)
    told = replace(made, two=replace(made.two, contender=unknown))
    assert measure(told, "weight, kg").two == "?"
    assert measure(told, "price of what is to buy").two == "?"
    assert measure(told, "weight, kg").better == 0


def test_tables_have_both_sides_and_every_value_looked_at() -> None:
    table = one_or_two_table(found())
    assert list(table["rings"]) == [1, 2]
    assert list(table["name"]) == ["36 × wide", "what I have"]
    assert table["mismatch"].tolist() == [
        found().one.contender.mismatch,
        found().two.contender.mismatch,
    ]
    minutes = [f"{each}_min" for each in ("on_target", "under_band", "over_band", "coasting")]
    minutes += ["below_lowest_gear_min", "walking_min", "spun_out_min"]
    assert table[minutes].sum(axis=1).tolist() == pytest.approx(table["finish_min"].tolist())
    levers = levers_table(found())
    assert set(levers["lever"]) == {str(lever) for lever in Lever}
    assert (levers["what"] == "as planned").sum() == len(Lever)
    turns = sum((c.down is not None) + (c.up is not None) for c in found().curves)
    assert (levers["what"] == "turn").sum() == turns > 0


def test_records_are_plain_json_with_the_same_numbers() -> None:
    made = as_told(
        12.0, 8.0, curve(Lever.TYRE, (40.0, 12.0, 8.0), (50.0, 12.0, math.inf), own=40.0)
    )
    records = json.loads(json.dumps(one_or_two_records(made), allow_nan=False))
    assert records["verdict"] == verdict(made)
    assert records["two_rings_win"] is True
    assert records["levers"][0]["values"][-1]["two_rings_mismatch"] is None
    full = json.loads(json.dumps(one_or_two_records(found()), allow_nan=False))
    assert full["two_rings"]["has_it"] is True
    assert full["one_ring"]["to_buy"] == ["small ring", "wide", "long cage"]


class _Page(HTMLParser):
    """Tags, ids and what refers to them."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.ids: list[str] = []
        self.refers: list[str] = []
        self.fetches: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            if name == "id":
                self.ids.append(value or "")
            if name == "aria-labelledby":
                self.refers += (value or "").split()
            if name in ("src", "srcset") or (name == "href" and not (value or "").startswith("#")):
                self.fetches.append(value or "")


def test_the_page_opens_without_a_network_and_runs_no_script() -> None:
    page = _Page()
    text = one_or_two_page(found()).decode()
    page.feed(text)
    assert page.fetches == []
    assert "script" not in page.tags
    assert "url(http" not in text
    assert len(set(page.ids)) == len(page.ids)
    assert set(page.refers) <= set(page.ids)


def test_the_top_says_what_to_check_of_the_better_side_and_what_its_words_mean() -> None:
    told = page_data(as_told(8.2, 4.1))
    assert told.to_check.startswith("with two rings: ")
    assert page_data(as_told(4.1, 8.2)).to_check.startswith("with one ring: ")
    header = one_or_two_page(as_told(8.2, 4.1)).decode().split("<main")[0]
    assert "To check with a mechanic:" in header
    assert told.terms in header
    plans_own = replace(found(), field=replace(found().field, considered=0))
    assert "what fits was not asked" in page_data(plans_own).to_check


def test_the_page_says_what_the_text_says_and_shows_names_as_text() -> None:
    made = found()
    named = replace(made.one.contender.drivetrain, name="<b>mine</b>")
    contender = replace(made.one.contender, drivetrain=named)
    text = one_or_two_page(replace(made, one=replace(made.one, contender=contender))).decode()
    assert "<b>mine" not in text
    assert "&lt;b&gt;mine" in text
    plain = one_or_two_page(made).decode()
    assert what_turns_it(made) in plain
    for each in made.curves:
        assert lever_told(made, each) in plain


@pytest.mark.parametrize("power_w", [RIDER.power_w, 400.0])
def test_it_is_drawn_the_same_each_time_without_warnings(power_w: float) -> None:
    first, second = (figure_png(one_or_two_figure(found(power_w))) for _ in range(2))
    assert first.startswith(PNG)
    assert first == second


def test_it_is_drawn_where_one_side_has_no_room_or_nothing_can_change() -> None:
    gone = Turn(standing=standing(45.0, 12.0, math.inf), by_room=True)
    made = as_told(
        12.0,
        8.0,
        curve(Lever.TYRE, (40.0, 12.0, 8.0), (50.0, 12.0, math.inf), own=40.0, up=gone),
        curve(Lever.CADENCE, (85.0, 0.0, 0.0), own=85.0),
    )
    assert figure_png(one_or_two_figure(made)).startswith(PNG)
    assert b"no front mech leaves room" in one_or_two_page(made)


def test_a_ladder_has_a_rung_for_each_gear() -> None:
    for side, drawing in zip((found().one, found().two), ladders(found()), strict=True):
        rungs = next(shape for shape in drawing.shapes if shape.filling == "rung")
        assert rungs.path.count("M") == len(side.sheet.gears.ratio)


def test_a_lever_s_lines_stay_inside_the_drawing() -> None:
    for each in found().curves:
        for shape in lever_drawing(found(), each).shapes:
            if shape.filling in ("single", "double"):
                numbers = np.array(re.findall(r"-?[\d.]+", shape.path), dtype=float)
                assert numbers[::2].min() >= 0.0
                assert numbers[::2].max() <= 1000.0
                assert numbers[1::2].min() >= 0.0
                assert numbers[1::2].max() <= 400.0
