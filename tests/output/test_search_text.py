import json
from dataclasses import replace

import numpy as np
import pytest
from made_parts import UNTOLD
from made_search import answered, searched

from gearsim.output.search.rows import places_told
from gearsim.output.search.tables import search_records, search_table
from gearsim.output.search.text import search_text
from gearsim.output.search.words import (
    REASONS,
    gained_and_lost,
    search_verdict,
    signed_grams,
    weight,
)
from gearsim.ride.states import State
from gearsim.setup.fit import frame, internal_gears, mechs
from gearsim.setup.fit.finding import Rule, Verdict
from gearsim.setup.wishes import Wishes
from gearsim.studies.ground import Ground
from gearsim.studies.search.gains import Change
from gearsim.studies.search.search import Search

NOTHING = Change(
    mismatch=0.0,
    finish_s=0.0,
    seconds=dict.fromkeys(State, 0.0),
    ground=dict.fromkeys(State),
    mass_kg=0.0,
    rear_shifts_per_hour=0.0,
    front_shifts_per_hour=0.0,
    loses_all_front_shifts=False,
    parts_to_adjust=0,
    price=None,
)


def changed(ground: dict[State, Ground] | None = None, **given: object) -> Change:
    seconds = {State(k.replace("_", " ")): v for k, v in given.items() if k in _STATES}
    rest = {key: value for key, value in given.items() if key not in _STATES}
    return replace(
        NOTHING,
        seconds=NOTHING.seconds | seconds,
        ground=NOTHING.ground | (ground or {}),
        **rest,
    )


_STATES = {state.replace(" ", "_") for state in State}


def stopped(found: Search) -> Search:
    first = replace(found.ranking, options=found.options[:3], best=(0, 1, 2), trade_offs=())
    return replace(found, ranking=first)


def test_one_sentence_tells_what_is_gained_and_lost() -> None:
    found = changed(
        over_band=240.0,
        ground={State.OVER_BAND: Ground.FLAT},
        mass_kg=-0.25,
        loses_all_front_shifts=True,
        front_shifts_per_hour=-8.0,
    )
    assert gained_and_lost(found) == (
        "Saves 250 g and all front shifts; costs 4 min over the band on the flats."
    )


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({}, "Much the same as now."),
        ({"walking": -300.0}, "Saves 5 min walking; costs nothing."),
        ({"walking": 20.0}, "Saves nothing; costs 20 s walking."),
        ({"under_band": 29.0, "mass_kg": 0.009}, "Much the same as now."),
        ({"mass_kg": 1.234, "price": 180.0}, "Saves nothing; costs 1.2 kg and 180 in price."),
        ({"price": 0.0, "finish_s": -95.0}, "Saves 2 min of riding time; costs nothing."),
        (
            {"rear_shifts_per_hour": 12.4, "front_shifts_per_hour": -1.2, "parts_to_adjust": 1},
            "Saves 1 front shift an hour; costs 12 rear shifts an hour and 1 part to keep "
            "adjusted.",
        ),
    ],
)
def test_what_hardly_differs_is_not_told(given: dict, told: str) -> None:
    assert gained_and_lost(changed(**given)) == told


def test_the_hardest_on_the_rider_is_told_first() -> None:
    found = gained_and_lost(changed(over_band=300.0, walking=120.0, under_band=40.0))
    assert found.index("walking") < found.index("over the band") < found.index("under the band")


def test_weights_have_their_sign_and_unit() -> None:
    assert (weight(0.25), weight(1.26), weight(0.0004)) == ("250 g", "1.3 kg", "<1 g")
    assert (signed_grams(0.25), signed_grams(-0.04), signed_grams(0.0)) == ("+250", "-40", "0")


def test_every_reason_that_leaves_builds_out_has_its_words() -> None:
    rules = [
        value
        for module in (frame, mechs, internal_gears)
        for value in vars(module).values()
        if isinstance(value, Rule) and value.breach is Verdict.DOES_NOT_FIT
    ]
    subjects = {rule.subject for rule in rules if "front mech" not in rule.subject}
    subjects -= {"front gap"}  # that no front mech does it is one reason
    assert len(subjects) > 8
    assert subjects <= REASONS.keys()
    for wishes in (None, Wishes(internal_gears=True), Wishes(keep_rear_mech=True)):
        for told in (searched().question.frame, UNTOLD):
            assert searched(wishes, told).question.left_out.keys() <= REASONS.keys()


def test_verdict_names_the_best_what_is_there_and_near_ties() -> None:
    found = searched()
    told = search_verdict(found)
    assert f"“{found.options[0].name}” (mismatch" in told
    assert "“what I have” (mismatch" in told
    worse = replace(found, now=replace(found.now, score=replace(found.now.score, weighted_s=0.0)))
    assert search_verdict(worse).startswith("Nothing that fits does better than what you have")


def test_incomplete_search_says_so_first() -> None:
    told = search_verdict(stopped(searched()))
    total = len(searched().question.prospects)
    assert told.startswith(f"Stopped after 3 of {total} builds: what follows is of those only.")
    assert "Stopped" not in search_verdict(searched())
    assert search_records(replace(answered(), search=stopped(searched())))["complete"] is False


@pytest.mark.parametrize("wishes", [None, Wishes(internal_gears=True, smallest_tyre_mm=44.0)])
@pytest.mark.parametrize("width", [80, 120])
def test_no_line_is_wider_than_the_page(wishes: Wishes | None, width: int) -> None:
    text = search_text(answered(wishes, UNTOLD), width, colour=False)
    assert max(len(line) for line in text.splitlines()) <= width
    assert "\x1b" not in text


def test_text_has_a_sentence_for_all_that_is_told_of() -> None:
    found = searched(frame=UNTOLD)
    text = " ".join(search_text(answered(frame=UNTOLD), 200, colour=False).split())
    for place in places_told(found):
        assert " ".join(gained_and_lost(found.options[place].change).split()) in text
    for count in found.question.left_out.values():
        assert f" {count} " in text
    assert "s for each 100 g" in text
    assert "does not tell largest_ring_alone" in text


def test_table_has_every_build_after_what_is_there() -> None:
    found = searched()
    table = search_table(found)
    assert len(table) == len(found.options) + 1
    assert table["name"].iloc[0] == "what I have"
    assert table["rank"].iloc[1:].tolist() == list(range(1, len(found.options) + 1))
    mismatch = table["mismatch"].iloc[1:].to_numpy()
    assert np.array_equal(mismatch, [each.mismatch for each in found.options])
    minutes = table[[column for column in table if column.endswith("_min")]]
    others = ["finish_min", "stopped_min", "between_gears_min", "end_of_range_min"]
    states = minutes.drop(columns=others)
    assert states.sum(axis=1).to_numpy() == pytest.approx(table["finish_min"].to_numpy())
    assert table["on_front"].iloc[1:].tolist() == [each.on_front for each in found.options]


def test_sprockets_passed_are_told_beside_the_shifts_that_pass_them() -> None:
    found = searched()
    table = search_table(found)
    counted = [found.now.score, *(each.outcome.score for each in found.options)]
    passed = [score.rear_clicks * 3600.0 / sum(score.seconds.values()) for score in counted]
    assert table["rear_clicks_per_hour"].to_numpy() == pytest.approx(passed)
    text = search_text(answered(), 80, colour=False)
    rest = text.split("WHAT ELSE DECIDES")[1].split("GAINED AND LOST")[0]
    rows = {line.split()[0]: line.split() for line in rest.splitlines() if line.strip()}
    columns_from_right = 5  # sprockets passed, front shifts, parts to adjust, to buy, price
    for mark, passed_here in (("now", passed[0]), ("1", passed[1])):
        assert rows[mark][-columns_from_right] == f"{passed_here:.0f}"


def test_time_without_stops_is_called_riding_time_and_else_finish() -> None:
    text = search_text(answered(), 80, colour=False)
    head = text.split("MINUTES IN EACH STATE")[1].split("───")[0]
    assert "riding" in head
    assert "finish" not in text
    now = replace(searched().now, score=replace(searched().now.score, stopped_s=600.0))
    stopped = replace(answered(), search=replace(searched(), now=now))
    head = search_text(stopped, 80, colour=False).split("MINUTES IN EACH STATE")[1]
    assert "finish" in head.split("───")[0]


def test_records_are_plain_json() -> None:
    records = search_records(answered(Wishes(internal_gears=True), UNTOLD))
    text = json.dumps(records, allow_nan=False)
    assert json.loads(text)["builds_ridden"] == len(records["builds"])
    left_out = sum(each["builds"] for each in records["left_out"])
    assert records["builds_considered"] == records["builds_that_fit"] + left_out


def test_of_those_as_good_the_one_that_asks_for_least_is_named() -> None:
    """Where hundreds ride alike, what need not be bought decides."""
    search = searched()
    easiest = len(search.options) - 1
    alike = tuple(
        replace(
            each,
            outcome=search.options[0].outcome,
            prospect=replace(each.prospect, cautions=(), to_buy=("a",) if place < easiest else ()),
        )
        for place, each in enumerate(search.options)
    )
    tied = replace(search, ranking=replace(search.ranking, options=alike))
    assert tied.least_trouble == easiest
    name = alike[easiest].name
    assert f"{name}” asks for the least checking and buying" in search_verdict(tied)
    assert f"(rank {easiest + 1}; to buy: nothing)" in search_verdict(tied)
