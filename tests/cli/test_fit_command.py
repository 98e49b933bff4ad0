import json
from pathlib import Path

import pandas as pd
import pytest
from conftest import Run

from gearsim.cli.example_route import example_gpx

FRAME = """\
[frame]
largest_ring_of_two = 46
largest_tyre_mm = 45
front_mech_mount = true
driver_body = "splined, long"
shifter_sprockets = 11
shifter_chainrings = 2
"""
DRIVETRAIN = """\
[[drivetrain]]
name = "two rings"
chainrings = [48, 31]
sprockets = [11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34]
rear_mech = "11 sprockets, gravel, two rings, low to 34, clutch"
front_mech = "two rings, gravel, up to 50"
driver_body = "splined, long"
chain_links = 106
"""
MECH = """\
[[rear_mech]]
name = "mine"
sprockets = 11
smallest_sprocket = 11
low_sprocket = [30, 34]
capacity_teeth = 45
most_chainrings = 2
clutch = true
mass_g = 250
"""


@pytest.fixture
def fit_plan(tmp_path: Path) -> Path:
    (tmp_path / "route.gpx").write_text(example_gpx())
    path = tmp_path / "plan.toml"
    path.write_text(f'route = "route.gpx"\n{FRAME}{DRIVETRAIN}')
    return path


def test_findings_are_told_and_written(run: Run, fit_plan: Path) -> None:
    code, out, err = run("fit", fit_plan)
    assert (code, err) == (0, "")
    assert "“two rings” does not fit as told" in out
    assert max(len(line) for line in out.splitlines()[:-1]) <= 80
    folder = fit_plan.with_name("plan-fit")
    assert out.endswith(f"Results are in {folder}.\n")
    table = pd.read_csv(folder / "fit.csv").set_index("checked")
    bad = table[table["verdict"] == "does not fit"]
    # The ring 48 against 46 of the frame; 106 links where 48/34 on 430 mm needs 112.
    assert bad["number"].to_dict() == {"largest ring, frame": 48, "chain length": 106}
    assert bad["limit"].to_dict() == {"largest ring, frame": 46, "chain length": 112}
    assert table.loc["total capacity", ["number", "limit"]].tolist() == [40, 40]


def test_json_tells_the_same_and_writes_nothing(run: Run, fit_plan: Path) -> None:
    code, out, err = run("fit", fit_plan, "--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert [each["verdict"] for each in found["drivetrains"]] == ["does not fit"]
    assert not fit_plan.with_name("plan-fit").exists()


def test_new_plan_can_be_checked_as_it_is(run: Run, plan: Path) -> None:
    code, out, err = run("fit", plan)
    assert (code, err) == (0, "")
    told = " ".join(out.split())
    assert "30 checks wait for what the plan does not tell: fill in [frame]" in told
    assert "From the parts list would do" in told


def test_plan_given_as_parts_list_is_told_once(run: Run, plan: Path) -> None:
    code, out, err = run("fit", plan, "--parts", plan)
    assert (code, out) == (2, "")
    assert err.startswith(f"gearsim: {plan}: this is a plan, not a parts list; ")
    assert err.count("\n") == 1


def test_example_of_a_frame_in_a_new_plan_is_right(run: Run, plan: Path) -> None:
    before, frame, after = plan.read_text().partition("[frame]\n")
    keys, gap, rest = after.partition("\n\n")
    told = "\n".join(line.removeprefix("# ") for line in keys.splitlines())
    plan.write_text(f"{before}{frame}{told}{gap}{rest}")
    found = json.loads(run("fit", plan, "--json")[1])
    checked = {each["checked"]: each for each in found["drivetrains"][1]["findings"]}
    assert checked["largest ring, frame"]["limit"] == 48
    assert checked["tyre, frame"]["limit"] == 45


def test_parts_of_one_s_own_can_be_named(run: Run, fit_plan: Path, tmp_path: Path) -> None:
    (tmp_path / "parts.toml").write_text(MECH)
    mech = "11 sprockets, gravel, two rings, low to 34, clutch"
    fit_plan.write_text(fit_plan.read_text().replace(mech, "mine"))
    code, out, err = run("fit", fit_plan, "--parts", tmp_path / "parts.toml", "--json")
    assert (code, err) == (0, "")
    findings = json.loads(out)["drivetrains"][0]["findings"]
    assert [e["limit"] for e in findings if e["checked"] == "total capacity"] == [45]


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        (
            '"two rings, gravel, up to 50"',
            '"two rings, gravle, up to 50"',
            "drivetrain 'two rings': front mech 'two rings, gravle, up to 50' is not in the parts "
            "list; did you mean 'two rings, gravel, up to 50'",
        ),
        ("chain_links = 106", "chain_links = 10", "chain_links is 10; allowed is 40 to 400"),
        ("chain_links = 106", "chain_links = 106.5", "allowed is a whole number"),
        ("front_mech_mount = true", "front_mech_mount = 1", "allowed is true or false"),
        ('driver_body = "splined, long"\nshifter', 'driver_body = "x"\nshifter', "allowed are"),
        ("shifter_sprockets = 11", "shifter_sprokets = 11", "did you mean shifter_sprockets?"),
        ("largest_tyre_mm = 45", "largest_tyre_mm = 450", "largest_tyre_mm is 450; allowed is 10"),
    ],
)
def test_wrong_plan_is_refused_in_a_line(
    run: Run, fit_plan: Path, right: str, wrong: str, told: str
) -> None:
    text = fit_plan.read_text()
    assert right in text
    fit_plan.write_text(text.replace(right, wrong))
    code, out, err = run("fit", fit_plan)
    assert (code, out) == (2, "")
    assert err.startswith(f"gearsim: {fit_plan}: ")
    assert err.count("\n") == 1
    assert told in err
    assert not fit_plan.with_name("plan-fit").exists()


def test_each_drivetrain_at_fault_has_its_line(run: Run, fit_plan: Path) -> None:
    text = fit_plan.read_text().replace("low to 34, clutch", "low to 35, clutch")
    fit_plan.write_text(text + DRIVETRAIN.replace("two rings", "second").replace("clutch", "x"))
    code, _, err = run("fit", fit_plan)
    assert code == 2
    assert [line.split("'")[1] for line in err.splitlines()] == ["two rings", "second"]


def test_parts_that_are_not_there_are_refused(run: Run, fit_plan: Path, tmp_path: Path) -> None:
    code, out, err = run("fit", fit_plan, "--parts", tmp_path / "nothing.toml")
    assert (code, out) == (2, "")
    assert "nothing.toml: there is no such file" in err


def test_help_teaches_with_an_example_in_80_columns(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    code, out, err = run("fit", "--help")
    assert (code, err) == (0, "")
    assert "gearsim fit plan.toml" in out
    assert max(len(line) for line in out.splitlines()) <= 80
