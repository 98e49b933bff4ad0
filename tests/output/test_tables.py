import json
import math

import pytest
from made_comparison import FIVE, FIXED, LOW, TOO_FEW, ridden

from gearsim.output.comparison.tables import (
    comparison_records,
    comparison_table,
    worst_places_table,
)
from gearsim.ride.states import State
from gearsim.setup.fit.fitment import Fit
from gearsim.studies.compare import Comparison, with_fits

STATE_COLUMNS = [f"{state.replace(' ', '_')}_min" for state in State]
UNITLESS = {"name", "gears_label", "rank", "mismatch", "chainrings", "gears", "distinct_ratios"}
WORDS = {"fit_as_told", "does_not_fit_because"}
UNITS = ("_min", "_per_hour", "_percent", "_kmh", "_kg", "_w")


@pytest.fixture(scope="module")
def five() -> Comparison:
    return ridden(FIVE)


def test_candidates_stand_in_rank_order(five: Comparison) -> None:
    table = comparison_table(five)
    assert table["name"].tolist() == [candidate.name for candidate in five.candidates]
    assert table["rank"].tolist() == [1, 2, 3, 4, 5]
    assert table["mismatch"].is_monotonic_increasing


def test_minutes_in_all_states_add_up_to_the_ride(five: Comparison) -> None:
    table = comparison_table(five)
    assert table[STATE_COLUMNS].sum(axis=1).tolist() == pytest.approx(table["finish_min"].tolist())
    rides_min = [candidate.ride.finish_s / 60.0 for candidate in five.candidates]
    assert table["finish_min"].tolist() == pytest.approx(rides_min)


def test_causes_add_up_to_the_time_outside_the_band(five: Comparison) -> None:
    table = comparison_table(five)
    outside = table["under_band_min"] + table["over_band_min"]
    causes = table["between_gears_min"] + table["end_of_range_min"]
    assert causes.tolist() == pytest.approx(outside.tolist())


def test_every_number_has_its_unit_in_the_name(five: Comparison) -> None:
    columns = set(comparison_table(five).columns) - UNITLESS - WORDS
    assert [name for name in columns if not name.endswith(UNITS)] == []


def test_a_single_gear_has_no_step(five: Comparison) -> None:
    table = comparison_table(five).set_index("name")
    assert math.isnan(table.loc["fixed", "largest_step_percent"])
    assert table.loc["hub", "chainrings"] == 0
    assert table.loc["low", "chainrings"] == 2
    assert table.loc["low", "gears"] == 18


def test_worst_places_stand_under_their_candidate(five: Comparison) -> None:
    table = worst_places_table(five)
    for candidate in five.candidates:
        rows = table[table["candidate"] == candidate.name]
        assert rows["km"].tolist() == [place.start_m / 1000.0 for place in candidate.worst]
        assert (rows["why"].str.len() > 20).all()


def test_worst_places_without_any_still_have_their_columns(five: Comparison) -> None:
    none = Comparison(candidates=())
    assert worst_places_table(none).columns.tolist() == worst_places_table(five).columns.tolist()


def test_records_are_plain_json_without_nan(five: Comparison) -> None:
    records = comparison_records(five)
    assert json.loads(json.dumps(records, allow_nan=False)) == records


def test_records_hold_the_table_the_places_and_what_was_assumed(five: Comparison) -> None:
    records = comparison_records(five)
    table = comparison_table(five)
    for row, candidate in zip(records["candidates"], five.candidates, strict=True):
        assert set(table.columns) < set(row)
        assert len(row["worst_places"]) == len(candidate.worst)
    assert records["assumptions"]["rider"]["power_w"] == 190.0
    assert records["assumptions"]["rider"]["critical_power_w"] == pytest.approx(247.0)
    assert records["route"]["length_km"] == pytest.approx(6.0)
    assert any("not advice" in caution for caution in records["cautions"])


def test_what_does_not_fit_is_told_and_what_was_not_checked_is_empty(five: Comparison) -> None:
    rows = comparison_records(five)["candidates"]
    assert {row["fit_as_told"] for row in rows} == {None}
    checked = with_fits(five, [Fit(drivetrain=LOW, findings=(TOO_FEW,))])
    told = {row["name"]: row for row in comparison_records(checked)["candidates"]}
    assert told["low"]["fit_as_told"] == "does not fit"
    assert told["low"]["does_not_fit_because"] == (
        "sprockets: 9, not as many as the shifter indexes (12)"
    )
    assert "does not fit as told" in comparison_records(checked)["verdict"]


def test_a_number_that_does_not_exist_is_none() -> None:
    (row,) = comparison_records(ridden((FIXED,)))["candidates"]
    assert row["largest_step_percent"] is None
