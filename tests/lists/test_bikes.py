from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from gearsim.errors import FileError, PlanError
from gearsim.lists.bikes import COLUMNS, BikeList, load_bikes
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame
from gearsim.setup.parts.parts_list import load_parts

GEARS = "46-30,11-13-15-18-21-25-30"
HEADS = "name,chainrings,sprockets"
REAR_MECH = load_parts().rear_mechs[0].name
Read = Callable[[str], BikeList]


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    """A plan without drivetrains, with a list of bikes that is yet to be written."""
    (tmp_path / "route.gpx").write_text("<gpx/>")
    (tmp_path / "plan.toml").write_text(
        'route = "route.gpx"\nbikes = "bikes.csv"\n[bike]\nmass_kg = 13\ntyre_mm = 38\n'
        "[frame]\nlargest_ring_of_two = 48\n"
    )
    return load_plan(tmp_path / "plan.toml")


@pytest.fixture
def read(plan: Plan) -> Read:
    """Reads a list from its text."""

    def reading(text: str) -> BikeList:
        assert plan.bikes is not None
        plan.bikes.write_text(text, encoding="utf-8")
        return load_bikes(plan, load_parts())

    return reading


def test_row_that_tells_all_assumes_nothing(read: Read) -> None:
    row = (
        "Grey,3,46-30,11-13-15-18-21-25-30,,0.97,42,11.5,584,0.41,1.1,160,185,"
        f'"{REAR_MECH}",,"splined, long",46,50'
    )
    found = read(f"{','.join(COLUMNS)}\n{row}\n")
    assert found.faults == ()
    (heron,) = found.bikes
    assert heron.assumed == ()
    assert (heron.count, heron.rider_from_cm, heron.rider_to_cm) == (3, 160.0, 185.0)
    assert heron.bike == Bike(
        name="Grey",
        mass_kg=11.5,
        drag_area_m2=0.41,
        rim_mm=584,
        tyre_mm=42,
        tyre_rolling_factor=1.1,
    )
    assert heron.drivetrain == Drivetrain(
        name="Grey",
        chainrings=(46, 30),
        sprockets=(11, 13, 15, 18, 21, 25, 30),
        efficiency=0.97,
        rear_mech=REAR_MECH,
    )
    assert heron.frame == Frame(
        largest_ring_alone=46,
        largest_ring_of_two=50,
        driver_body="splined, long",
        shifter_sprockets=7,
        shifter_chainrings=2,
        front_mech_mount=True,
    )


def test_name_and_gears_alone_are_on_the_plans_bike_and_all_is_marked(
    read: Read, plan: Plan
) -> None:
    (bike,) = read(f"{HEADS}\nGrey,{GEARS}\n").bikes
    assert bike.bike == replace(plan.bike, name="Grey")
    assert bike.frame.largest_ring_of_two == 48
    assert bike.count == 1
    assert set(bike.assumed) == {
        *("count", "tyre_mm", "mass_kg", "rim_mm", "drag_area_m2", "tyre_rolling_factor")
    }


@pytest.mark.parametrize(
    "cells", ["46-30,11-13-15", "46/30,11 / 13 / 15", '"46,30","11, 13, 15"', "46 30,11–13–15"]
)
def test_teeth_may_be_parted_in_many_ways(read: Read, cells: str) -> None:
    (bike,) = read(f"{HEADS}\nGrey,{cells}\n").bikes
    assert bike.drivetrain.chainrings == (46, 30)
    assert bike.drivetrain.sprockets == (11, 13, 15)


@pytest.mark.parametrize("cell", ["0.8-1-1.25", '"0,8 1 1,25"', '"0,8; 1; 1,25"'])
def test_ratios_of_a_hub_gear(read: Read, cell: str) -> None:
    found = read(f"name,ratios\nHub,{cell}\n")
    assert found.bikes[0].drivetrain.ratios == (1.25, 1.0, 0.8)
    assert found.bikes[0].frame.shifter_sprockets is None
    assert bool(found.guesses) == ("," in cell)


def test_none_today_is_a_count(read: Read) -> None:
    (bike,) = read(f"{HEADS},count\nGrey,{GEARS},0\n").bikes
    assert bike.count == 0


@pytest.mark.parametrize(
    ("heads", "row", "told"),
    [
        (HEADS, "Grey,46-30,11-34", "every sprocket with - between, such as 11-13"),
        (HEADS, "Grey,Nov 46,11-13-15", "a spreadsheet may have made a date of it"),
        (HEADS, "Grey,40,11/13/2015", "a spreadsheet may have made a date of it"),
        (HEADS, "Grey,40,11-x", "sprockets is '11-x'; allowed is whole numbers"),
        (HEADS, "Grey,40,11--13", "sprockets is '11--13'; allowed is whole numbers"),
        (HEADS, "Grey,400,11-13-15", "chainrings is 400; allowed is 16 to 80"),
        (HEADS, "Grey,,11-13-15", "has no chainrings; fill in whole numbers with - between"),
        ("name", "Grey", "has no chainrings and sprockets; fill in whole numbers with - between"),
        ("name", "Grey", "; or, for a hub gear or gearbox, the column ratios alone: numbers with"),
        ("name,ratios,chainrings", "Grey,1-2,40", "has ratios and teeth"),
        ("name,ratios", "Grey,1-x", "ratios is '1-x'; allowed is numbers"),
        (f"{HEADS},count", f"Grey,{GEARS},1.5", "count is '1.5'; allowed is a whole number"),
        (f"{HEADS},count", f"Grey,{GEARS},-1", "count is '-1'; allowed is 0 to 10000"),
        (f"{HEADS},count", f"Grey,{GEARS},{'9' * 400}", "9...'; allowed is a plain number"),
        (f"{HEADS},tyre_mm", f"Grey,{GEARS},400", "tyre_mm is '400'; allowed is 10 to 130"),
        (f"{HEADS},rim_mm", f"Grey,{GEARS},700", "which for what is called 700 is 622"),
        (f"{HEADS},mass_kg", f"Grey,{GEARS},light", "mass_kg is 'light'; allowed is a plain"),
        (f"{HEADS},efficiency", f"Grey,{GEARS},97", "efficiency is 97; allowed is 0.3 to 1"),
        (f"{HEADS},rear_mech", f"Grey,{GEARS},none such", "rear mech 'none such' is not in"),
        (
            f"{HEADS},driver_body",
            f"Grey,{GEARS},splined long",
            "driver_body is 'splined long'; did you mean 'splined, long'? allowed are 'screw-on'",
        ),
        (f"{HEADS},rider_to_cm", f"Grey,{GEARS},1.8", "'1.8'; allowed is 80 to 250; is 180 cm"),
        (
            f"{HEADS},rider_from_cm,rider_to_cm",
            f"Grey,{GEARS},190,170",
            "rider_from_cm is '190'; allowed is no more than rider_to_cm, 170",
        ),
        (f"{HEADS},largest_ring_alone", f"Grey,{GEARS},5", "allowed is 16 to 80"),
        (HEADS, f",{GEARS}", "name is ''; allowed is the kind of bike's name"),
        (HEADS, f"right,{GEARS}", "and line 2 has this one"),
    ],
)
def test_wrong_row_is_told_and_the_rest_go_on(read: Read, heads: str, row: str, told: str) -> None:
    columns = heads.split(",")
    known = {"name": "right", "chainrings": "40", "sprockets": "11-13"}
    if "sprockets" not in columns:
        columns, row, known = [*columns, "sprockets"], f"{row},", known | {"ratios": ""}
    if "chainrings" not in columns:
        columns, row = [*columns, "chainrings"], f"{row},"
    right = ",".join(known.get(column, "") for column in columns)
    found = read(f"{','.join(columns)}\n{right}\n{row}\n")
    assert [bike.name for bike in found.bikes] == ["right"]
    (fault,) = found.faults
    assert fault.startswith(f"{found.path}: line 3: ")
    assert told in fault


def test_list_that_is_missing_is_told(plan: Plan) -> None:
    with pytest.raises(FileError, match=r"bikes is 'bikes\.csv'; there is no such file"):
        load_bikes(plan, load_parts())
    with pytest.raises(PlanError, match="names no bikes; make a CSV list with the columns name"):
        load_bikes(replace(plan, bikes=None), load_parts())


def test_a_comment_is_not_taken_for_a_count(read: Read) -> None:
    found = read("name,comment,chainrings,sprockets\nGrey,the old one,40,11-13\n")
    assert found.bikes[0].count == 1
    assert "column 'comment' is not known and left out" in found.guesses[0]


def test_column_that_is_nearly_known_is_refused(read: Read) -> None:
    with pytest.raises(PlanError, match="did you mean sprockets"):
        read("name,chainrings,sprocket\nGrey,40,11-13\n")
