from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from gearsim.errors import FileError, PlanError
from gearsim.lists.athletes import COLUMNS, AthleteList, load_athletes
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.parts.parts_list import load_parts
from gearsim.setup.rider import Rider

HEADS = ",".join(COLUMNS)
FULL = "Ada,58,172,230,13,90,78,100,55,118,0.33,8.6,two rings"
Read = Callable[[str], AthleteList]


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    """A plan with two drivetrains and a list that is yet to be written."""
    (tmp_path / "route.gpx").write_text("<gpx/>")
    (tmp_path / "plan.toml").write_text(
        'route = "route.gpx"\nathletes = "athletes.csv"\n'
        "[rider]\npower_w = 200\ncritical_power_w = 250\nlargest_power_w = 500\n"
        '[[drivetrain]]\nname = "one ring"\nchainrings = [40]\nsprockets = [11, 42]\n'
        '[[drivetrain]]\nname = "two rings"\nchainrings = [46, 30]\nsprockets = [11, 18, 34]\n'
    )
    return load_plan(tmp_path / "plan.toml")


@pytest.fixture
def read(plan: Plan) -> Read:
    """Reads a list from its text."""

    def reading(text: str) -> AthleteList:
        assert plan.athletes is not None
        plan.athletes.write_text(text, encoding="utf-8")
        return load_athletes(plan)

    return reading


def faults(read: Read, row: str, heads: str = HEADS) -> list[str]:
    """The faults of a row that stands under a right one, without the file's name."""
    found = read(f"{heads}\nright\n{row}\n")
    assert [athlete.name for athlete in found.athletes] == ["right"]
    return [fault.removeprefix(f"{found.path}: ") for fault in found.faults]


def test_row_that_tells_all_assumes_nothing(read: Read) -> None:
    (ada,) = read(f"{HEADS}\n{FULL}\n").athletes
    assert ada.assumed == ()
    assert ada.has == "two rings"
    assert ada.bike == Bike(mass_kg=8.6, drag_area_m2=0.33)
    assert ada.rider == Rider(
        name="Ada",
        mass_kg=58.0,
        power_w=172.0,
        critical_power_w=230.0,
        reserve_j=13_000.0,
        largest_power_w=500.0 * 230.0 / 250.0,
        target_cadence_rpm=90.0,
        band_rpm=(78.0, 100.0),
        limits_rpm=(55.0, 118.0),
    )


def test_name_alone_is_the_plans_rider_and_all_is_marked(read: Read, plan: Plan) -> None:
    (ada,) = read("name\nAda\n").athletes
    assert ada.rider == replace(plan.rider, name="Ada")
    assert ada.bike == plan.bike
    assert ada.has is None
    assert set(ada.assumed) == set(COLUMNS) - {"name", "has", "chainrings", "sprockets"}


def test_critical_and_largest_power_keep_their_proportion_to_power(read: Read) -> None:
    (ada,) = read("name,power_w\nAda,100\n").athletes
    assert (ada.rider.critical_w, ada.rider.largest_w) == (125.0, 250.0)
    assert "critical_power_w" in ada.assumed
    assert "power_w" not in ada.assumed


def test_power_keeps_its_proportion_to_critical_power(read: Read) -> None:
    (ada,) = read("name,critical_power_w\nAda,125\n").athletes
    assert (ada.rider.power_w, ada.rider.largest_w) == (100.0, 250.0)
    assert "power_w" in ada.assumed


def test_columns_may_stand_in_any_order(read: Read) -> None:
    (ada,) = read("power_w,name\n172,Ada\n").athletes
    assert (ada.name, ada.rider.power_w) == ("Ada", 172.0)


@pytest.mark.parametrize("text", ["name;mass_kg\nAda;58,5\n", 'name,mass_kg\nAda,"58,5"\n'])
def test_decimal_comma_is_read_and_told(read: Read, text: str) -> None:
    found = read(text)
    assert found.athletes[0].rider.mass_kg == 58.5
    assert "decimal points (line 2, mass_kg 58,5)" in found.guesses[-1]


def test_decimal_comma_that_parted_a_cell_is_told(read: Read) -> None:
    assert faults(read, "Ada,58,5", heads="name,mass_kg") == [
        "line 3: has 3 cells under 2 column names; put cells with a comma in quotes, or write "
        "decimals with a point"
    ]


@pytest.mark.parametrize(
    ("heads", "row", "told"),
    [
        ("name,mass_kg", "Ada,heavy", "mass_kg is 'heavy'; allowed is a plain number, such as"),
        ("name,mass_kg", "Ada,58 kg", "mass_kg is '58 kg'; allowed is a plain number, such as"),
        ("name,mass_kg", "Ada,nan", "mass_kg is 'nan'; allowed is a plain number, such as"),
        ("name,mass_kg", "Ada,580", "mass_kg is '580'; allowed is 20 to 250"),
        ("name,power_w", 'Ada,"1,500"', "power_w is '1,500'; allowed is 20 to 2000"),
        ("name,reserve_kj", "Ada,13000", "reserve_kj is '13000'; allowed is 0 to 100"),
        ("name,bike_mass_kg", "Ada,1", "bike_mass_kg is '1'; allowed is 3 to 150"),
        ("name,drag_area_m2", "Ada,38", "drag_area_m2 is '38'; allowed is 0.05 to 2"),
        ("name,limit_low_rpm", "Ada,5", "limit_low_rpm is '5'; allowed is 10 to 250"),
        ("name,has", "Ada,two ring", "did you mean 'two rings'?"),
        ("name,has", "Ada,hub", "they are 'one ring', 'two rings'"),
        ("name,mass_kg", ",58", "name is ''; allowed is the athlete's name"),
        ("name", "right", "and line 2 has this one"),
    ],
)
def test_wrong_row_is_told_and_the_rest_go_on(read: Read, heads: str, row: str, told: str) -> None:
    (fault,) = faults(read, row, heads)
    assert fault.startswith("line 3: ")
    assert told in fault


def test_all_faults_of_a_row_are_told(read: Read) -> None:
    found = faults(read, "Ada,1,x,,,,,,,,9,,hub")
    assert [fault.split(" ")[2] for fault in found] == ["power_w", "mass_kg", "drag_area_m2", "has"]


def test_both_limits_that_no_leg_can_turn_are_told(read: Read) -> None:
    found = faults(read, "Ada,1,500", heads="name,limit_low_rpm,limit_high_rpm")
    assert [fault.split(" ")[2] for fault in found] == ["limit_low_rpm", "limit_high_rpm"]


def test_cadences_must_rise_and_the_plans_are_said_to_be_so(read: Read) -> None:
    (fault,) = faults(read, "Ada,90", heads="name,band_low_rpm")
    assert "band_low_rpm 90, target_cadence_rpm 85 (the plan’s), band_high_rpm 95" in fault
    assert "each is more than the one before" in fault


def test_band_and_limits_move_with_the_target_where_they_are_not_told(read: Read) -> None:
    ada, ben = read(
        "name,target_cadence_rpm,band_low_rpm,limit_high_rpm\nAda,70,,\nBen,70,65,120\n"
    ).athletes
    assert (ada.rider.band_rpm, ada.rider.limits_rpm) == ((60.0, 80.0), (35.0, 100.0))
    assert {"band_low_rpm", "limit_high_rpm"} <= set(ada.assumed)
    assert (ben.rider.band_rpm, ben.rider.limits_rpm) == ((65.0, 80.0), (35.0, 120.0))


def test_target_outside_what_the_plans_rider_can_use_is_a_slip(read: Read) -> None:
    (fault,) = faults(read, "Ada,130", heads="name,target_cadence_rpm")
    assert "target_cadence_rpm 130, band_high_rpm 95 (the plan’s)" in fault


# What the athlete has


def test_name_or_teeth_of_a_drivetrain_of_the_plan_are_that_drivetrain(
    read: Read, plan: Plan
) -> None:
    told = read(
        "name,has,chainrings,sprockets\nA,two rings,,\nB,,46-30,11-18-34\nC,x,46/30,34 18 11\n"
    )
    assert told.faults == ()
    assert [each.drivetrain for each in told.athletes] == [plan.drivetrains[1]] * 3


def test_other_teeth_are_the_athletes_own_and_weigh_what_the_plans_do(
    read: Read, plan: Plan
) -> None:
    (ada,) = read("name,has,chainrings,sprockets\nAda,old bike,50-34,11-13-15-18-21-25\n").athletes
    assert ada.drivetrain == Drivetrain(
        name="old bike",
        chainrings=(50, 34),
        sprockets=(11, 13, 15, 18, 21, 25),
        mass_kg=plan.drivetrains[0].mass_kg,
    )
    assert ada.has == "old bike"


def test_gears_without_a_name_are_called_by_their_teeth(read: Read) -> None:
    (ada,) = read("name,chainrings,sprockets\nAda,50-34,11-13-15-18-21-25\n").athletes
    assert ada.has == "50-34 × 11-25 (6)"


def test_sprockets_may_be_a_cassette_of_the_parts_list(plan: Plan) -> None:
    heads = "name,chainrings,sprockets"
    assert plan.athletes is not None
    plan.athletes.write_text(f'{heads}\nAda,50-34,"11-34, 11 sprockets"\nBen,40,11-34\n')
    parts = load_parts()
    found = load_athletes(plan, parts)
    (ada,) = found.athletes
    assert ada.drivetrain is not None
    assert ada.drivetrain.sprockets == parts.cassette("11-34, 11 sprockets").sprockets
    (fault,) = found.faults
    assert "every sprocket with - between, or the name of a cassette in the parts list" in fault
    assert "'11-34, 11 sprockets' or '11-34, 12 sprockets'" in fault


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("Ada,two rings,50-34,11-13-15", "leave out the one or the other"),
        ("Ada,,50-34,", "has no sprockets; fill in whole numbers with - between, such as 46-30 or"),
        ("Ada,,,11-13-15", "has no chainrings"),
        ("Ada,,50-34,eleven", "sprockets is 'eleven'"),
        ("Ada,hub,,", "; or tell its teeth under chainrings and sprockets"),
    ],
)
def test_gears_that_cannot_be_are_told(read: Read, row: str, told: str) -> None:
    (fault,) = faults(read, row, heads="name,has,chainrings,sprockets")
    assert told in fault


def test_powers_at_the_edges_of_what_is_possible_make_a_rider(read: Read) -> None:
    text = "name,power_w,critical_power_w\nAda,500,2000\nBen,2000,20\nCid,20,2000\nDee,,20\n"
    found = read(text)
    assert found.faults == ()
    assert [athlete.rider.largest_power_w for athlete in found.athletes][:2] == [3000.0, 2000.0]


def test_wrong_column_names_are_refused_all_at_once(read: Read) -> None:
    with pytest.raises(PlanError) as caught:
        read("nam,mass_lb,power per kg,shoe size,has,has,,weight\nAda\n")
    told = [str(caught.value), *caught.value.__notes__]
    assert [fault.partition(": line 1: ")[2] for fault in told] == [
        "there is no column 'nam'; did you mean name?",
        "there is no column 'mass_lb'; did you mean mass_kg?",
        "there is no column 'power per kg'; did you mean power_w?",
        "column 7 has no name; name it or delete it",
        "there is no column 'weight'; did you mean mass_kg?",
        "column has is there 2 times; keep one",
        "column name is missing; add it",
        f"the columns that are known are {', '.join(COLUMNS)}",
    ]


@pytest.mark.parametrize("head", ["mass_kg", "Mass (kg)", "MASS KG", "mass-kg", " Mass [kg] "])
def test_column_is_known_however_it_is_written(read: Read, head: str) -> None:
    found = read(f"Name,{head},Drag area (m²)\nAda,58,0.33\n")
    assert found.athletes[0].rider.mass_kg == 58.0
    assert found.athletes[0].bike.drag_area_m2 == 0.33
    assert found.guesses == ()


def test_column_without_its_unit_is_taken_for_ours_and_told(read: Read) -> None:
    found = read("Name,Mass,Power\nAda,58,172\n")
    assert (found.athletes[0].rider.mass_kg, found.athletes[0].rider.power_w) == (58.0, 172.0)
    assert [guess.partition(": ")[2] for guess in found.guesses] == [
        "column 'Mass' is taken for mass_kg",
        "column 'Power' is taken for power_w",
    ]


def test_column_that_is_not_known_is_left_out_and_told(read: Read) -> None:
    found = read("name,comment,mass_kg,shoe size\nAda,fast,58,38\n")
    assert found.athletes[0].rider.mass_kg == 58.0
    (guess,) = found.guesses
    assert "columns 'comment', 'shoe size' are not known and left out; known are name, " in guess


@pytest.mark.parametrize(
    ("head", "column"), [("CdA", "drag_area_m2"), ("weight", "mass_kg"), ("power_kw", "power_w")]
)
def test_column_under_another_word_or_unit_is_refused_with_ours(
    read: Read, head: str, column: str
) -> None:
    with pytest.raises(PlanError, match=f"no column {head!r}; did you mean {column}"):
        read(f"name,{head}\nAda,1\n")


def test_one_column_told_in_two_ways_is_refused(read: Read) -> None:
    with pytest.raises(PlanError, match="column mass_kg is there 2 times; keep one"):
        read("name,mass,mass_kg\nAda,58,59\n")


def test_list_without_a_line_of_column_names_is_refused(read: Read) -> None:
    with pytest.raises(PlanError, match="line 1: has no column names that are known; known are"):
        read("Ada,58,172\nBen,70,200\n")


def test_list_with_no_right_row_is_refused_with_all_faults(read: Read) -> None:
    with pytest.raises(PlanError, match="line 2: mass_kg") as caught:
        read("name,mass_kg\nAda,0\nBen,0\n")
    assert "line 3: mass_kg" in caught.value.__notes__[0]
    with pytest.raises(PlanError, match="has only column names"):
        read("name,mass_kg\n")


def test_plan_without_a_list_says_how_to_name_one(plan: Plan) -> None:
    with pytest.raises(PlanError, match=r'athletes = "athletes\.csv"'):
        load_athletes(replace(plan, athletes=None))


def test_list_that_is_not_there_has_a_near_one_named(plan: Plan, tmp_path: Path) -> None:
    (tmp_path / "athlets.csv").touch()
    with pytest.raises(FileError, match=r"no such file, did you mean athlets\.csv\?"):
        load_athletes(plan)
    with pytest.raises(FileError, match="no such file"):
        load_athletes(replace(plan, athletes=tmp_path / "\0.csv"))
