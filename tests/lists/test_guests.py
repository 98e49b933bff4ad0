from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from gearsim.errors import PlanError
from gearsim.lists.guests import COLUMNS, GuestList, load_guests
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.setup.ability import ABILITIES
from gearsim.units import KMH_PER_MPS

Read = Callable[[str], GuestList]


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    """A plan with a list of guests that is yet to be written."""
    (tmp_path / "route.gpx").write_text("<gpx/>")
    (tmp_path / "plan.toml").write_text(
        'route = "route.gpx"\nbikes = "bikes.csv"\nguests = "guests.csv"\n'
        "[rider]\nmass_kg = 80\npower_w = 150\ncritical_power_w = 200\n"
    )
    return load_plan(tmp_path / "plan.toml")


@pytest.fixture
def read(plan: Plan) -> Read:
    """Reads a list from its text."""

    def reading(text: str) -> GuestList:
        assert plan.guests is not None
        plan.guests.write_text(text, encoding="utf-8")
        return load_guests(plan)

    return reading


@pytest.mark.parametrize("ability", ABILITIES)
def test_class_tells_all_but_name_and_mass(read: Read, ability: str) -> None:
    (guest,) = read(f"name,ability,mass_kg\nAlma,{ability},60\n").guests
    known = ABILITIES[ability]
    assert guest.ability == ability
    assert guest.rider == known.rider("Alma", 60.0)
    assert guest.rider.power_w == pytest.approx(60.0 * known.power_w_per_kg, rel=1e-12)
    assert guest.assumed == ()
    assert "power_w" in guest.by_class
    assert "mass_kg" not in guest.by_class


def test_mass_not_told_is_the_plans_and_power_follows_it(read: Read) -> None:
    (guest,) = read("name,ability\nAlma,strong\n").guests
    assert guest.rider.mass_kg == 80.0
    assert guest.rider.power_w == pytest.approx(80.0 * 2.6, rel=1e-12)
    assert guest.assumed == ("mass_kg",)


def test_name_alone_is_the_plans_rider_and_all_is_marked(read: Read, plan: Plan) -> None:
    (guest,) = read("name\nAlma\n").guests
    assert guest.rider == replace(plan.rider, name="Alma")
    assert guest.by_class == ()
    assert {"mass_kg", "power_w", "descending_kmh", "band_low_rpm"} <= set(guest.assumed)


def test_numbers_come_before_the_class(read: Read) -> None:
    text = "name,ability,mass_kg,power_w,target_cadence_rpm,descending_kmh,height_cm\n"
    (guest,) = read(f"{text}Alma,now and then,70,196,75,20,168\n").guests
    assert guest.rider.power_w == 196.0
    # Twice the class's 98 W, so critical power is twice the class's 140 W.
    assert guest.rider.critical_w == pytest.approx(280.0, rel=1e-12)
    assert guest.rider.target_cadence_rpm == 75.0
    assert guest.rider.descending_mps * KMH_PER_MPS == pytest.approx(20.0, rel=1e-12)
    assert guest.height_cm == 168.0
    assert "critical_power_w" in guest.by_class
    assert not {"power_w", "target_cadence_rpm", "descending_kmh"} & set(guest.by_class)


@pytest.mark.parametrize("ability", ["", "every week"])
def test_band_and_limits_move_with_the_target_that_is_told(read: Read, ability: str) -> None:
    (usual, slower) = read(
        f"name,ability,target_cadence_rpm\nAlma,{ability},\nBo,{ability},70\n"
    ).guests
    moved_rpm = 70.0 - usual.rider.target_cadence_rpm
    assert moved_rpm < -5.0
    for cadences in ("band_rpm", "limits_rpm"):
        low, high = getattr(usual.rider, cadences)
        assert getattr(slower.rider, cadences) == (low + moved_rpm, high + moved_rpm)


@pytest.mark.parametrize("written", ["New to riding", " NEW  TO RIDING ", "new_to_riding"])
def test_class_is_known_however_it_is_written(read: Read, written: str) -> None:
    assert read(f"name,ability\nAlma,{written}\n").guests[0].ability == "new to riding"


@pytest.mark.parametrize(
    ("heads", "row", "told"),
    [
        ("name,ability", "Alma,evry week", "did you mean every week?"),
        ("name,ability", "Alma,x", "allowed is new to riding, now and then, every week, strong"),
        ("name,mass_kg", "Alma,5", "mass_kg is '5'; allowed is 20 to 250"),
        ("name,power_w", "Alma,5", "power_w is '5'; allowed is 20 to 2000"),
        ("name,descending_kmh", "Alma,300", "descending_kmh is '300'; allowed is 7.2 to 216"),
        ("name,height_cm", "Alma,1.7", "is '1.7'; allowed is 80 to 250; is 170 cm meant?"),
        ("name,height_cm", 'Alma,"1,91"', "is '1,91'; allowed is 80 to 250; is 191 cm meant?"),
        ("name,height_cm", f"Alma,{'9' * 400}", "9...'; allowed is a plain number"),
        ("name,ability,band_low_rpm", "Alma,strong,110", "band_high_rpm 98 (the class’s)"),
        ("name,band_low_rpm", "Alma,110", "band_high_rpm 95 (the plan’s)"),
        ("name,ability", ",strong", "name is ''; allowed is the guest's name"),
    ],
)
def test_wrong_row_is_told_and_the_rest_go_on(read: Read, heads: str, row: str, told: str) -> None:
    found = read(f"{heads}\nright\n{row}\n")
    assert [guest.name for guest in found.guests] == ["right"]
    (fault,) = found.faults
    assert fault.startswith(f"{found.path}: line 3: ")
    assert told in fault


def test_list_with_no_right_row_is_refused(read: Read) -> None:
    with pytest.raises(PlanError, match="line 2: ability"):
        read("name,ability\nAlma,x\n")
    with pytest.raises(
        PlanError, match="has only column names; give a line for each, with the guest's name"
    ):
        read("name\n")


def refusal(read: Read, text: str) -> list[str]:
    """What is told of the heads of a list that is refused for them."""
    with pytest.raises(PlanError) as caught:
        read(text)
    told = [str(caught.value), *caught.value.__notes__]
    return [fault.partition(": line 1: ")[2] for fault in told]


KNOWN = f"the columns that are known are {', '.join(COLUMNS)}"


def test_list_in_another_tongue_is_refused_with_the_columns_that_are_known(read: Read) -> None:
    told = refusal(read, "Name;Größe;Gewicht;Leistung\nAlma;163;64,5;70\n")
    assert told == [
        *(
            f"there is no column {head!r}; rename or delete it"
            for head in ("Größe", "Gewicht", "Leistung")
        ),
        KNOWN,
    ]


@pytest.mark.parametrize(
    ("head", "meant"),
    [
        ("Größe (cm)", "height_cm"),
        ("Gewicht_kg", "mass_kg"),
        ("Masse", "mass_kg"),
        ("poids [kg]", "mass_kg"),
        ("Leistung W", "power_w or critical_power_w"),
        ("heigth", "height_cm"),
    ],
)
def test_head_that_is_near_or_in_a_units_only_column_is_refused_with_what_is_meant(
    read: Read, head: str, meant: str
) -> None:
    told = refusal(read, f"name,ability,{head}\nAlma,strong,70\n")
    assert told == [f"there is no column {head!r}; did you mean {meant}?", KNOWN]


def test_column_of_a_unit_that_is_there_already_is_left_out_and_told(read: Read) -> None:
    found = read("name,height_cm,inseam_cm,passport\nAlma,170,79,none\n")
    assert found.guests[0].height_cm == 170.0
    assert "columns 'inseam_cm', 'passport' are not known and left out" in found.guesses[0]


def test_stronger_classes_are_stronger_and_braver() -> None:
    order = list(ABILITIES.values())
    for weaker, stronger in pairwise(order):
        assert weaker.power_w_per_kg < stronger.power_w_per_kg
        assert weaker.critical_w_per_kg < stronger.critical_w_per_kg
        assert weaker.descending_mps < stronger.descending_mps
        assert weaker.cornering < stronger.cornering
        assert weaker.uphill_factor > stronger.uphill_factor
