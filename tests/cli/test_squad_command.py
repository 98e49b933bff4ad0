import json
from pathlib import Path

import pandas as pd
import pytest
from conftest import Run

from gearsim.cli import squad as command

FILES = {"squad.csv", "squad-matrix.csv", "squad.png"}
LIST = "name,mass_kg,power_w,has\nAda,58,172,one ring\nBen,82,,two rings\nCid,70,200,\n"


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


@pytest.fixture
def squad_plan(plan: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The new plan with a list of three athletes."""
    monkeypatch.setattr(command, "kernel_ready", lambda: True)
    plan.write_text(plan.read_text().replace('# athletes = "athletes.csv"', 'athletes = "a.csv"'))
    plan.with_name("a.csv").write_text(LIST)
    return plan


def test_squad_is_ridden_printed_and_written_beside_the_plan(run: Run, squad_plan: Path) -> None:
    code, out, err = run("squad", squad_plan)
    folder = squad_plan.with_name("plan-squad")
    assert (code, err) == (0, "")
    assert out.endswith(f"Results are in {folder}.\n")
    assert max(len(line) for line in out.splitlines()[:-1]) <= 80
    assert names(folder) == FILES
    assert list(pd.read_csv(folder / "squad.csv")["name"]) == ["Ada", "Ben", "Cid"]
    matrix = pd.read_csv(folder / "squad-matrix.csv")
    assert set(matrix.columns) == {"name", "one ring", "two rings"}
    assert (folder / "squad.png").read_bytes().startswith(b"\x89PNG")


def test_athlete_like_the_plans_rider_scores_as_in_the_comparison(
    run: Run, squad_plan: Path
) -> None:
    squad_plan.with_name("a.csv").write_text("name\nlike the rider\n")
    (athlete,) = json.loads(run("squad", squad_plan, "--json")[1])["athletes"]
    compared = json.loads(run("compare", squad_plan, "--json")[1])["candidates"]
    mismatch = {candidate["name"]: candidate["mismatch"] for candidate in compared}
    assert {ride["drivetrain"]: ride["mismatch"] for ride in athlete["rides"]} == mismatch
    assert athlete["best"] == compared[0]["name"]


def test_wrong_row_is_told_twice_and_the_rest_are_ridden(run: Run, squad_plan: Path) -> None:
    path = squad_plan.with_name("a.csv")
    path.write_text(f"{LIST}Dee,5,100,one ring\n")
    told = f"{path}: line 5: mass_kg is '5'; allowed is 20 to 250"
    code, out, err = run("squad", squad_plan)
    assert code == 0
    assert err == f"gearsim: {told}; left out\n"
    assert "LEFT OUT" in out
    assert "Dee" not in out.partition("LEFT OUT")[0]
    code, out, err = run("squad", squad_plan, "--json", "--quiet")
    assert (code, err) == (0, f"gearsim: {told}; left out\n")
    assert json.loads(out)["left_out"] == [told]


def test_list_without_a_right_row_is_wrong_input(run: Run, squad_plan: Path) -> None:
    squad_plan.with_name("a.csv").write_text("name,mass_kg\nAda,5\nBen,6\n")
    code, out, err = run("squad", squad_plan)
    assert (code, out) == (2, "")
    assert err.count("\n") == 2
    assert not squad_plan.with_name("plan-squad").exists()


def test_plan_without_a_list_is_wrong_input(run: Run, plan: Path) -> None:
    code, out, err = run("squad", plan)
    assert (code, out) == (2, "")
    assert err.endswith('name it at the top of the plan: athletes = "athletes.csv"\n')


def test_list_that_is_missing_stops_no_comparison(run: Run, squad_plan: Path) -> None:
    squad_plan.with_name("a.csv").unlink()
    assert run("compare", squad_plan)[0] == 0
    assert run("squad", squad_plan)[0] == 2


def test_more_minutes_below_need_no_more_power(run: Run, squad_plan: Path) -> None:
    def needed(minutes: str) -> list[float]:
        out = run("squad", squad_plan, "--json", "--below", minutes)[1]
        found = json.loads(out)["athletes"]
        return [athlete["needed_power_w"] or 0.0 for athlete in found if athlete["has"]]

    strict, easy = needed("0"), needed("60")
    assert all(a >= b for a, b in zip(strict, easy, strict=True))
    assert strict != easy


@pytest.mark.parametrize("wrong", ["-1", "nan", "five"])
def test_minutes_must_be_minutes(run: Run, squad_plan: Path, wrong: str) -> None:
    code, _, err = run("squad", squad_plan, f"--below={wrong}")
    assert code == 2
    assert "is no number of minutes; write it like 5 or 2.5" in err


@pytest.mark.parametrize("step", ["ride_squad", "with_break_even", "squad_figure", "squad_text"])
def test_ctrl_c_leaves_finished_files_only(
    run: Run, squad_plan: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(command, step, stop)
    assert run("squad", squad_plan) == (130, "", "gearsim: stopped\n")
    folder = squad_plan.with_name("plan-squad")
    assert not folder.exists() or names(folder) == FILES


SEARCH = "[search]\nchainrings = 1\nlargest_mass_kg = 1.4\n"
"""Wishes that leave few builds."""


def searching(plan: Path) -> Path:
    """The plan with such wishes."""
    plan.write_text(plan.read_text().replace("[search]\n", SEARCH))
    return plan


def test_all_that_fits_is_ridden_and_few_drivetrains_are_told(run: Run, squad_plan: Path) -> None:
    code, out, err = run("squad", searching(squad_plan), "--search")
    folder = squad_plan.with_name("plan-squad")
    assert (code, err) == (0, "")
    assert max(len(line) for line in out.splitlines()[:-1]) <= 80
    assert names(folder) == FILES | {"squad-builds.csv"}
    builds = pd.read_csv(folder / "squad-builds.csv")
    assert len(builds) > 20
    told = set(builds[builds["told"]]["name"])
    assert set(pd.read_csv(folder / "squad-matrix.csv").columns) == {"name", *told}
    assert "nearly as well as each one's best" in " ".join(out.split())


def test_number_of_kinds_is_kept(run: Run, squad_plan: Path) -> None:
    out = run("squad", searching(squad_plan), "--search", "--kinds", "1", "--json")[1]
    (one,) = json.loads(out)["few"]
    assert len(one["drivetrains"]) == 1


@pytest.mark.parametrize("wrong", ["0", "21", "two"])
def test_kinds_must_be_a_small_number(run: Run, squad_plan: Path, wrong: str) -> None:
    code, _, err = run("squad", squad_plan, f"--kinds={wrong}")
    assert code == 2
    assert "is not allowed; allowed are 1 to 20" in err


def test_gears_of_their_own_need_no_drivetrain_in_the_plan(run: Run, squad_plan: Path) -> None:
    text = searching(squad_plan).read_text()
    squad_plan.write_text('bikes = "bikes.csv"\n' + text.partition("[[drivetrain]]")[0])
    list_ = "name,chainrings,sprockets\nAda,40,11-13-15-17-19-21-24-28-32-37-42\nBen,,\n"
    squad_plan.with_name("a.csv").write_text(list_)
    code, out, err = run("squad", squad_plan, "--search", "--json")
    assert (code, err.count("\n")) == (0, 1)
    assert err.startswith("gearsim: Ben: what the athlete has is not told")
    assert [each["name"] for each in json.loads(out)["athletes"]] == ["Ada"]
    code, out, err = run("squad", squad_plan)
    assert (code, out) == (2, "")
    assert err.endswith("give at least one, or ride all that fits with --search\n")


def test_wishes_that_nothing_meets_are_wrong_input(run: Run, squad_plan: Path) -> None:
    text = squad_plan.read_text().replace("[search]\n", "[search]\nlargest_mass_kg = 0.2\n")
    squad_plan.write_text(text)
    code, out, err = run("squad", squad_plan, "--search")
    assert (code, out) == (2, "")
    assert err.startswith(f"gearsim: {squad_plan}: search: of ")


def test_help_shows_what_a_list_looks_like(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    code, out, _ = run("squad", "--help")
    assert code == 0
    assert "name,mass_kg,power_w,has,chainrings,sprockets\n" in out
    assert max(len(line) for line in out.splitlines()) <= 80


def test_demo_squad_is_read_whole() -> None:
    from gearsim.lists.athletes import load_athletes
    from gearsim.plan.loading import load_plan

    plan = load_plan(Path(__file__).parents[2] / "routes" / "lanternmoor" / "plan.toml")
    found = load_athletes(plan)
    assert (len(found.athletes), found.faults, found.guesses) == (12, (), ())
