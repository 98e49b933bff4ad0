import json
from pathlib import Path

import pandas as pd
import pytest
from conftest import Run

from gearsim.cli import fleet as command

FILES = {"fleet.csv", "allocation.csv", "abilities.csv", "fleet-sheet.html", "fleet.png"}
BIKES = (
    "name,count,chainrings,sprockets,tyre_mm,mass_kg\n"
    "Grey,1,48-36-26,11-13-15-17-20-23-26-30-34,40,14\n"
    "Blue,2,42,11-13-15-17-19-21-24-28-32,38,12.5\n"
)
GUESTS = "name,ability,mass_kg\nAlma,now and then,64\nBruno,every week,80\nCleo,strong,\n"
DEMO = Path(__file__).parents[2] / "routes" / "wrenfold" / "plan.toml"


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


@pytest.fixture
def fleet_plan(plan: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The new plan with a list of two kinds of bike and one of three guests."""
    monkeypatch.setattr(command, "kernel_ready", lambda: True)
    text = plan.read_text().replace('# bikes = "bikes.csv"', 'bikes = "b.csv"')
    plan.write_text(text.replace('# guests = "guests.csv"', 'guests = "g.csv"'))
    plan.with_name("b.csv").write_text(BIKES)
    plan.with_name("g.csv").write_text(GUESTS)
    return plan


def test_fleet_is_ridden_printed_and_written_beside_the_plan(run: Run, fleet_plan: Path) -> None:
    code, out, err = run("fleet", fleet_plan)
    folder = fleet_plan.with_name("plan-fleet")
    assert (code, err) == (0, "")
    assert out.endswith(f"Results are in {folder}.\n")
    assert max(len(line) for line in out.splitlines()[:-1]) <= 80
    assert names(folder) == FILES
    assert len(pd.read_csv(folder / "fleet.csv")) == 6
    assert list(pd.read_csv(folder / "allocation.csv")["guest"]) == ["Alma", "Bruno", "Cleo"]
    assert (folder / "fleet.png").read_bytes().startswith(b"\x89PNG")
    assert (folder / "fleet-sheet.html").read_text().startswith("<!doctype html>")


def test_same_again_writes_nothing_new(run: Run, fleet_plan: Path) -> None:
    run("fleet", fleet_plan)
    assert run("fleet", fleet_plan)[1].endswith("the same as before.\n")


def test_guest_like_the_plans_rider_on_its_bike_scores_as_in_the_comparison(
    run: Run, fleet_plan: Path
) -> None:
    fleet_plan.with_name("g.csv").write_text("name\nlike the rider\n")
    fleet_plan.with_name("b.csv").write_text(
        "name,chainrings,sprockets\none ring,40,10-12-14-16-18-21-24-28-32-38-44\n"
    )
    (outing,) = json.loads(run("fleet", fleet_plan, "--json")[1])["outings"]
    compared = json.loads(run("compare", fleet_plan, "--json")[1])["candidates"]
    mismatch = {candidate["name"]: candidate["mismatch"] for candidate in compared}
    assert outing["mismatch"] == mismatch["one ring"]


@pytest.mark.parametrize("guest", ["of a class", "of a class but", "without a class"])
def test_rider_copied_from_the_table_scores_in_a_comparison_as_in_the_fleet(
    run: Run, fleet_plan: Path, guest: str
) -> None:
    text = fleet_plan.read_text().replace("[rider]", "[rider]\nlargest_power_w = 900", 1)
    fleet_plan.write_text(text)
    fleet_plan.with_name("b.csv").write_text(
        "name,chainrings,sprockets\none ring,40,10-12-14-16-18-21-24-28-32-38-44\n"
    )
    fleet_plan.with_name("g.csv").write_text(
        "name,ability,mass_kg,power_w,target_cadence_rpm,descending_kmh\n"
        "of a class,new to riding,67.3,,,\n"
        "of a class but,every week,83.1,151,77,31\n"
        "without a class,,61.7,133,,\n"
    )
    folder = fleet_plan.with_name("plan-fleet")
    run("fleet", fleet_plan)
    fleet_plan.write_text(with_rider(text, folder / "abilities.csv", guest))
    compared = json.loads(run("compare", fleet_plan, "--json")[1])["candidates"]
    (ridden,) = (each for each in compared if each["name"] == "one ring")
    rows = pd.read_csv(folder / "fleet.csv", dtype=str)
    (row,) = rows[rows["guest"] == guest].to_dict("records")
    assert float(row["mismatch"]) > 0.0
    for column in ("mismatch", "finish_min", "walking_min", "below_lowest_gear_min"):
        assert f"{ridden[column]:.6g}" == row[column], column


def test_what_a_guest_has_of_their_own_is_named_beside_the_class(
    run: Run, fleet_plan: Path
) -> None:
    heads = "name,ability,mass_kg,power_w,target_cadence_rpm\n"
    fleet_plan.with_name("g.csv").write_text(f"{heads}Alma,strong,67,,\nBruno,strong,83,151,77\n")
    run("fleet", fleet_plan)
    path = fleet_plan.with_name("plan-fleet") / "abilities.csv"
    table = pd.read_csv(path, keep_default_na=False)
    assert list(table["ability"]) == ["strong"] * 3
    assert list(table["guest"]) == ["", "Alma", "Bruno"]
    assert list(table["told"]) == ["", "", "power_w, target_cadence_rpm"]


def with_rider(plan: str, abilities: Path, guest: str) -> str:
    """The plan with the guest's row of the table for its [rider], number for number."""
    table = pd.read_csv(abilities, dtype=str)
    (row,) = table[table["guest"] == guest].dropna(axis=1).to_dict("records")
    told = {key: value for key, value in row.items() if key not in ("guest", "ability", "told")}
    ranges = {
        "band_rpm": (told.pop("band_low_rpm"), told.pop("band_high_rpm")),
        "limits_rpm": (told.pop("limit_low_rpm"), told.pop("limit_high_rpm")),
    }
    effort = told.pop("effort")
    rider = [f"{key} = {value}" for key, value in told.items()]
    rider += [f"{key} = [{low}, {high}]" for key, (low, high) in ranges.items()]
    head, _, rest = plan.partition("[rider]")
    others = rest.partition("\n[bike]")[2]
    return "\n".join([head, "[rider]", *rider, "[effort]", f'kind = "{effort}"', "[bike]", others])


def test_sheet_repeats_what_is_to_be_looked_at_again_in_the_plan(
    run: Run, fleet_plan: Path
) -> None:
    text = fleet_plan.read_text()
    fleet_plan.write_text(text.replace("humidity_percent = 50", "humidity_percent = 0.5"))
    out = run("fleet", fleet_plan)[1]
    told = "conditions.humidity_percent is 0.5, taken as 0.5 %: if 50 % is meant, write 50."
    sheet = (fleet_plan.with_name("plan-fleet") / "fleet-sheet.html").read_text()
    assert told in " ".join(out.split())
    assert told in sheet.partition("Look again at the plan")[2]


def test_json_alone_writes_nothing(run: Run, fleet_plan: Path) -> None:
    code, out, err = run("fleet", fleet_plan, "--json", "--quiet")
    assert (code, err) == (0, "")
    assert {"allocation", "outings", "changes", "places", "abilities"} <= set(json.loads(out))
    assert not fleet_plan.with_name("plan-fleet").exists()


def test_wrong_rows_are_told_and_the_rest_are_ridden(run: Run, fleet_plan: Path) -> None:
    bikes, guests = fleet_plan.with_name("b.csv"), fleet_plan.with_name("g.csv")
    bikes.write_text(f"{BIKES}Green,1,46-30,11-34,40,11\n")
    guests.write_text(f"{GUESTS}Dee,brave,70\n")
    code, out, err = run("fleet", fleet_plan)
    assert code == 0
    first, second = err.splitlines()
    assert first.startswith(f"gearsim: {bikes}: line 4: sprockets is '11-34'; allowed is every")
    assert second.startswith(f"gearsim: {guests}: line 5: ability is 'brave'; allowed is new to")
    assert first.endswith("; left out")
    assert "LEFT OUT" in out
    assert "Green" not in out


def test_rule_of_the_plan_is_the_one_applied(run: Run, fleet_plan: Path) -> None:
    text = fleet_plan.read_text().replace("# longest_ride_h = 6", "longest_ride_h = 0.1")
    fleet_plan.write_text(text)
    found = json.loads(run("fleet", fleet_plan, "--json")[1])
    assert {outing["verdict"] for outing in found["outings"]} == {"not suitable"}
    assert all(given["bike"] is None for given in found["allocation"])
    code, out, _ = run("fleet", fleet_plan)
    assert code == 0
    assert "No guest has a suitable bike." in out


@pytest.mark.parametrize(("key", "name"), [("bikes", "b"), ("guests", "g")])
def test_plan_without_a_list_is_wrong_input(
    run: Run, fleet_plan: Path, key: str, name: str
) -> None:
    text = fleet_plan.read_text()
    fleet_plan.write_text(text.replace(f'{key} = "{name}.csv"', ""))
    code, out, err = run("fleet", fleet_plan)
    assert (code, out) == (2, "")
    assert err.endswith(f'name it at the top of the plan: {key} = "{key}.csv"\n')


def test_plan_with_bikes_needs_no_drivetrain(run: Run, fleet_plan: Path) -> None:
    head = fleet_plan.read_text().partition("[[drivetrain]]")[0]
    fleet_plan.write_text(head)
    assert run("fleet", fleet_plan)[0] == 0
    for other in ("compare", "fit", "gears", "search", "squad"):
        code, out, err = run(other, fleet_plan)
        assert (code, out) == (2, ""), other
        assert len(err.splitlines()) == 1, other


def test_folder_that_cannot_be_written_is_refused_before_the_work(
    run: Run, fleet_plan: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(command, "ride_fleet", lambda *_, **__: pytest.fail("ridden"))
    (tmp_path / "file").touch()
    assert run("fleet", fleet_plan, "--out", tmp_path / "file")[0] == 2


@pytest.mark.parametrize("step", ["ride_fleet", "nearest_changes", "fleet_figure", "fleet_text"])
def test_ctrl_c_leaves_finished_files_only(
    run: Run, fleet_plan: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(command, step, stop)
    assert run("fleet", fleet_plan) == (130, "", "gearsim: stopped\n")
    folder = fleet_plan.with_name("plan-fleet")
    assert not folder.exists() or names(folder) == FILES


def test_help_shows_what_the_lists_look_like(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    code, out, _ = run("fleet", "--help")
    assert code == 0
    assert "name,ability,mass_kg,height_cm\n" in out
    assert max(len(line) for line in out.splitlines()) <= 80


def test_help_names_every_column_and_ability(run: Run) -> None:
    from gearsim.lists import bikes, guests
    from gearsim.setup.ability import ABILITIES

    out = " ".join(run("fleet", "--help")[1].split())
    words = {*bikes.COLUMNS, *guests.HOMES, *guests.COLUMNS[:3], *ABILITIES}
    assert [word for word in words if word not in out] == []


def test_demo_tour_gives_every_guest_a_bike_and_somebody_walks(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "tour"
    code, _, err = run("fleet", DEMO, "--out", out, "--quiet")
    assert (code, err) == (0, "")
    table = pd.read_csv(out / "allocation.csv")
    assert len(table) == 9
    assert table["bike"].notna().all()
    assert 0 < (table["walked_m"] > 0.0).sum() < 9
    assert table["walked_m"].max() < 300.0
