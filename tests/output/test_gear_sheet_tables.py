import json
import math

import pytest
from made_comparison import FIVE, FIXED, HUB, LOW, ridden
from made_gear_sheets import SETS, TRIPLE, sheets

from gearsim.output.comparison.tables import comparison_table
from gearsim.output.gear_sheet.tables import (
    drivetrains_table,
    gear_order_table,
    gear_sheet_records,
    gears_table,
)
from gearsim.setup.gear_sheet import gear_sheets

UNITLESS = {
    *("name", "gears_label", "drivetrain", "chainrings", "gears", "place", "chainring"),
    *("sprocket", "ratio", "distinct_ratios", "ring_by_ring_ratios", "gear_inches"),
    *("front_shifts", "rear_clicks", "front_shifts_in_order", "double_shifts_in_order"),
    "rear_clicks_in_order",
}
UNITS = ("_percent", "_kmh", "_m", "_kg")


def test_every_gear_of_every_drivetrain_is_a_row() -> None:
    table = gears_table(sheets(FIVE))
    counts = table["drivetrain"].value_counts().to_dict()
    assert counts == {d.name: len(d.gear_ratios) for d in FIVE}


@pytest.mark.parametrize("table_of", [gears_table, drivetrains_table, gear_order_table])
def test_every_number_has_its_unit_in_the_name(table_of: object) -> None:
    columns = set(table_of(sheets(FIVE)).columns) - UNITLESS  # type: ignore[operator]
    assert [name for name in columns if not name.endswith(UNITS)] == []


def test_the_lowest_gear_of_each_ring_has_no_step() -> None:
    table = gears_table(sheets((TRIPLE,)))
    lowest = table.groupby("chainring")["ratio"].transform("min") == table["ratio"]
    assert table["step_percent"].isna().tolist() == lowest.tolist()


def test_columns_shared_with_a_comparison_say_the_same() -> None:
    compared = ridden(FIVE)
    ride = compared.candidates[0].ride
    found = drivetrains_table(gear_sheets(FIVE, ride.bike, ride.rider)).set_index("name")
    other = comparison_table(compared).set_index("name")
    shared = [name for name in found.columns if name in other.columns]
    assert len(shared) >= 9
    for name in found.index:
        for column in shared:
            one, two = found.loc[name, column], other.loc[name, column]
            assert one == two or (math.isnan(one) and math.isnan(two))


def test_distinct_gears_in_order_fall_and_their_steps_lead_down() -> None:
    table = gear_order_table(sheets((LOW,)))
    ratio = table["ratio"].to_numpy()
    assert table["place"].tolist() == list(range(1, len(table) + 1))
    assert table["step_percent"].iloc[:-1].tolist() == pytest.approx(
        (100.0 * (ratio[:-1] / ratio[1:] - 1.0)).tolist()
    )
    assert math.isnan(table["step_percent"].iloc[-1])


@pytest.mark.parametrize("drivetrains", SETS.values(), ids=SETS)
def test_records_are_plain_json_without_nan(drivetrains: tuple) -> None:
    records = gear_sheet_records(sheets(drivetrains))
    assert json.loads(json.dumps(records, allow_nan=False)) == records


def test_records_hold_wheel_cadences_gears_overlaps_and_order() -> None:
    records = gear_sheet_records(sheets((LOW, HUB, FIXED)), "Assumed: nothing.")
    assert records["wheel"]["circumference_m"] == pytest.approx(2.20540, abs=5e-6)
    assert list(records["cadence_rpm"].values()) == [50.0, 75.0, 85.0, 95.0, 115.0]
    assert records["assumed"] == "Assumed: nothing."
    low, hub, fixed = records["drivetrains"]
    assert len(low["gear_list"]) == 18
    (overlap,) = low["overlaps"]
    assert {"larger_ring_sprocket": 17, "smaller_ring_sprocket": 11} in overlap["same_gears"]
    assert hub["overlaps"] == []
    assert len(fixed["order"]) == 1
    assert fixed["order"][0]["step_percent"] is None
