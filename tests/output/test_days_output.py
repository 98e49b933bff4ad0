"""Uncertain days as text, tables and a picture."""

import json
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from made_comparison import FIVE, HUB, LOW, SINGLE, TOO_FEW, TWELVE, ridden
from made_days import certain
from matplotlib.text import Text

from gearsim.output.days.chart import days_figure
from gearsim.output.days.tables import days_records, days_summary_table, days_table
from gearsim.output.days.text import days_text
from gearsim.output.days.words import (
    day_words,
    days_verdict,
    drawn_words,
    flip_words,
    settled_words,
)
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.page import NARROWEST
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.fitment import Fit
from gearsim.setup.uncertain import WORST_REGRET, Uncertain
from gearsim.studies.compare import with_fits
from gearsim.studies.days.days import Days, ride_days
from gearsim.studies.days.draws import Input
from gearsim.studies.days.flip import Flip

ALL_DAYS = Uncertain(stop_early=False, wet_chance=0.3)


@cache
def over_days(
    drivetrains: tuple[Drivetrain, ...] = FIVE, uncertain: Uncertain = ALL_DAYS, most: int = 16
) -> Days:
    return ride_days(ridden(drivetrains, 3.0), uncertain, most_days=most)


def flipped(days: Days, changed: tuple[Input, ...], **values: float) -> Days:
    day = replace(days.days[0], **values)
    flip = Flip(day=day, contender=1, points=0.42, changed=changed, spreads=1.26)
    return replace(days, flip=flip)


@pytest.mark.parametrize("drivetrains", [FIVE, TWELVE, (SINGLE,), (LOW, HUB)])
@pytest.mark.parametrize("width", [40, 80, 120])
def test_text_keeps_to_its_width_and_has_every_candidate(
    drivetrains: tuple[Drivetrain, ...], width: int
) -> None:
    text = days_text(over_days(drivetrains), width, False)
    assert max(len(line) for line in text.splitlines()) <= max(width, NARROWEST)
    assert "\x1b" not in text
    assert "MISMATCH OVER THE DAYS" in text


def test_time_is_called_riding_time_where_no_stop_is_told() -> None:
    days = over_days()
    head = days_text(days, 80, False).split("WHAT THE DAYS BRING")[1].split("───")[0]
    assert "riding" in head
    first = days.candidates[0]
    score = replace(first.planned.score, stopped_s=600.0)
    stopped = replace(first, planned=replace(first.planned, score=score))
    told = days_text(replace(days, candidates=(stopped, *days.candidates[1:])), 80, False)
    head = told.split("WHAT THE DAYS BRING")[1].split("───")[0]
    assert "finish" in head
    assert "riding" not in head


@cache
def over_days_where_one_does_not_fit() -> Days:
    checked = with_fits(ridden(FIVE, 3.0), [Fit(drivetrain=LOW, findings=(TOO_FEW,))])
    return ride_days(checked, ALL_DAYS, most_days=16)


def test_what_does_not_fit_is_marked_in_the_text_with_its_reason() -> None:
    days = over_days_where_one_does_not_fit()
    lines = days_text(days, 80, colour=False).split("\n")
    (marked,) = (line for line in lines if re.match(r"\d \* ", line))
    assert "* low " in marked
    rank = marked.split()[0]
    assert "* does not fit as told; see gearsim fit" in lines
    assert f"{rank}  sprockets: 9, not as many as the shifter indexes (12)" in lines
    assert "*" not in days_text(over_days(), 80, colour=False)


def test_what_does_not_fit_is_told_in_the_table_and_to_programs() -> None:
    days = over_days_where_one_does_not_fit()
    table = days_summary_table(days).set_index("name")
    assert table["fit_as_told"].dropna().to_dict() == {"low": "does not fit"}
    assert table.loc["low", "does_not_fit_because"].startswith("sprockets: 9")
    row = next(row for row in days_records(days)["candidates"] if row["name"] == "low")
    assert row["fit_as_told"] == "does not fit"


def test_what_does_not_fit_is_written_under_its_name_in_the_picture() -> None:
    written = [text.get_text() for text in all_texts(over_days_where_one_does_not_fit())]
    assert written.count("does not fit as told") == 1
    assert "does not fit as told" not in [text.get_text() for text in all_texts(over_days())]


def all_texts(days: Days) -> list[Text]:
    return days_figure(days).findobj(Text)  # type: ignore[no-any-return]


def test_choice_that_does_not_fit_is_told_with_the_best_that_does() -> None:
    days = over_days()
    bad = Fit(drivetrain=days.candidates[0].drivetrain, findings=(TOO_FEW,))
    first = replace(days.candidates[0], fit=bad)
    told = days_verdict(replace(days, candidates=(first, *days.candidates[1:])))
    assert "does not fit as told (sprockets: 9" in told
    assert f"the best that fits is “{days.candidates[1].name}”" in told
    alone = days_verdict(replace(over_days((LOW,)), candidates=(replace(first),)))
    assert "the best that fits" not in alone


def test_verdict_names_the_choice_the_next_and_how_often_it_is_best() -> None:
    days = over_days()
    told = days_verdict(days)
    assert told.startswith((f"“{days.candidates[0].name}” is ", "Close on"))
    assert days.candidates[1].name in told
    assert "over 16 days" in told


def test_verdict_by_worst_regret_says_how_far_behind() -> None:
    told = days_verdict(over_days(uncertain=replace(ALL_DAYS, choose_by=WORST_REGRET)))
    assert "never more than" in told
    assert "behind the best of its day" in told


def test_a_flip_is_told_by_what_makes_the_day() -> None:
    days = flipped(over_days(), (Input.POWER, Input.WET), power_factor=0.92, wet=True)
    told = flip_words(days)
    assert "beats" in told
    assert "by 0.4 on a day with power 8 % lower and wet ground, all else in the middle" in told
    assert "1.3 spreads from there, the nearest day found." in told
    assert "already on the day in the middle" in flip_words(flipped(over_days(), ()))


def test_every_input_has_its_words() -> None:
    days = over_days()
    for day in days.days:
        for what in Input:
            assert day_words(days, day, [what])


def test_inputs_as_planned_are_not_told() -> None:
    days = over_days()
    day = replace(days.days[0], power_factor=1.001, wet=True)
    assert day_words(days, day, [Input.POWER, Input.WET]) == "wet ground"
    assert day_words(days, day, [Input.POWER]) == "nothing far from the plan"


def test_days_without_a_flip_name_the_smallest_lead() -> None:
    days = replace(over_days((LOW, HUB)), flip=None)
    assert flip_words(days).startswith("On none of the 16 days. The smallest lead, ")


def test_defaults_are_marked_as_assumed() -> None:
    text = days_text(over_days(), 80, False)
    assert "all powers: × 0.92-1.08, assumed" in text
    assert "wet ground: 30 %\n" in text
    marked = {what: assumed for what, _, assumed in drawn_words(over_days())}
    assert not marked["wet ground"]
    assert marked["load"]


def test_why_riding_stopped_is_told() -> None:
    assert "days" in settled_words(over_days())
    early = over_days(FIVE, Uncertain(), 128)
    assert early.settled.stopped_early
    assert settled_words(early).startswith("Stopped after 32 of 128 days")
    assert "stop_early = false" in days_text(early, 80, False)


def test_days_table_has_a_row_for_each_day_and_candidate() -> None:
    days = over_days()
    table = days_table(days)
    assert len(table) == 16 * 5
    assert set(table.groupby("day")["power_factor"].nunique()) == {1}
    best = table[table["rank"] == 1]["mismatch"].to_numpy()
    assert best == pytest.approx(days.mismatch[:, 0])
    minutes = [name for name in table.columns if name.endswith("_min") and name != "finish_min"]
    assert table[minutes].sum(axis=1).to_numpy() == pytest.approx(table["finish_min"].to_numpy())


def test_summary_has_a_row_each_with_points_in_order() -> None:
    table = days_summary_table(over_days())
    assert table["rank"].tolist() == [1, 2, 3, 4, 5]
    for name in ("mismatch_{}", "finish_{}_min", "walking_{}_min", "walked_{}_m"):
        low, middle, high = (table[name.format(end)] for end in ("low", "middle", "high"))
        assert ((low <= middle) & (middle <= high)).all()
    chances = table[[f"beats_{rank}" for rank in range(1, 6)]].to_numpy()
    assert np.allclose(chances + chances.T, 1.0)
    parts = table[[name for name in table.columns if name.startswith("part_")]]
    assert parts.notna().all().all()


@pytest.mark.parametrize("drivetrains", [FIVE, (SINGLE,)])
def test_records_are_json(drivetrains: tuple[Drivetrain, ...]) -> None:
    found = json.loads(json.dumps(days_records(over_days(drivetrains)), allow_nan=False))
    assert found["days"] == 16
    assert len(found["candidates"]) == len(drivetrains)


def test_a_flip_is_in_the_records() -> None:
    days = flipped(over_days(), (Input.POWER,))
    found = json.loads(json.dumps(days_records(days), allow_nan=False))["flip"]
    assert found["winner"] == days.candidates[1].name
    assert (found["changed"], found["by"]) == (["power"], 0.42)


@pytest.mark.parametrize("drivetrains", [FIVE, TWELVE, (SINGLE,), (LOW, HUB)])
def test_picture_is_drawn_the_same_every_time(drivetrains: tuple[Drivetrain, ...]) -> None:
    one, other = (figure_png(days_figure(over_days(drivetrains))) for _ in range(2))
    assert one.startswith(b"\x89PNG")
    assert one == other


def test_picture_has_a_square_for_each_day() -> None:
    days = over_days()
    heaps = days_figure(days).axes[1]
    squares = sum(
        len(artist.get_path().vertices) // 5
        for artist in heaps.patches + list(heaps.artists)
        if len(artist.get_path().vertices) % 5 == 0
    )
    assert squares == 16 * 5


def test_certain_days_can_be_shown() -> None:
    comparison = ridden(FIVE, 3.0)
    conditions = comparison.candidates[0].ride.conditions
    days = ride_days(comparison, certain(conditions), most_days=16)
    assert "nothing drawn changes its mismatch" in days_text(days, 80, False)
    assert figure_png(days_figure(days)).startswith(b"\x89PNG")
