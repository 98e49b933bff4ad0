import gzip
import json
import subprocess
import sys
from pathlib import Path

import pandas as pd
import pytest
from conftest import Run

from gearsim.cli import compare

FILES = {
    "comparison.csv",
    "comparison.png",
    "ride-one-ring.csv",
    "ride-two-rings.csv",
    "worst-places.csv",
}


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_ranking_is_printed_and_files_stand_beside_the_plan(run: Run, plan: Path) -> None:
    code, out, err = run("compare", plan)
    folder = plan.with_name("plan-results")
    assert (code, err) == (0, "")
    assert "one ring" in out
    assert "two rings" in out
    assert out.endswith(f"Results are in {folder}.\n")
    assert "\x1b" not in out
    assert max(len(line) for line in out.splitlines()[:-1]) <= 80
    assert names(folder) == FILES
    assert (folder / "comparison.png").read_bytes().startswith(b"\x89PNG")
    assert set(pd.read_csv(folder / "comparison.csv")["name"]) == {"one ring", "two rings"}
    assert names(plan.parent) == {"plan.toml", "plan-route.gpx", "plan-results"}


def test_every_interval_of_a_ride_is_written(run: Run, plan: Path) -> None:
    run("compare", plan)
    ride = pd.read_csv(plan.with_name("plan-results") / "ride-one-ring.csv")
    assert ride["distance_m"].iloc[-1] == pytest.approx(len(ride) * 10.0, rel=0.01)
    assert ride["time_s"].iloc[-1] == pytest.approx(ride["duration_s"].sum(), abs=0.2)


def test_same_plan_again_changes_nothing(run: Run, plan: Path) -> None:
    run("compare", plan)
    code, out, _ = run("compare", plan)
    assert code == 0
    assert out.endswith("plan-results, the same as before.\n")
    assert names(plan.parent) == {"plan.toml", "plan-route.gpx", "plan-results"}


def test_changed_plan_leaves_the_older_results(run: Run, plan: Path) -> None:
    run("compare", plan)
    older = {path.name: path.read_bytes() for path in plan.with_name("plan-results").iterdir()}
    plan.write_text(plan.read_text().replace("mass_kg = 75", "mass_kg = 85"))
    code, out, _ = run("compare", plan)
    assert code == 0
    assert out.endswith("plan-results-2.\n")
    newer = {path.name: path.read_bytes() for path in plan.with_name("plan-results").iterdir()}
    assert older == newer


def test_json_is_all_that_is_printed_and_no_file_is_written(run: Run, plan: Path) -> None:
    code, out, err = run("compare", plan, "--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert {candidate["name"] for candidate in found["candidates"]} == {"one ring", "two rings"}
    assert names(plan.parent) == {"plan.toml", "plan-route.gpx"}


def test_json_with_out_writes_the_files_too(run: Run, plan: Path, tmp_path: Path) -> None:
    code, out, _ = run("compare", plan, "--json", "--out", tmp_path / "race")
    assert code == 0
    assert json.loads(out)["candidates"]
    assert names(tmp_path / "race") == FILES


def test_quiet_prints_nothing(run: Run, plan: Path) -> None:
    assert run("compare", plan, "--quiet") == (0, "", "")
    assert names(plan.with_name("plan-results")) == FILES


def test_results_of_another_plan_are_replaced_only_when_asked(
    run: Run, plan: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "race"
    run("compare", plan, "--out", folder)
    before = (folder / "comparison.csv").read_bytes()
    plan.write_text(plan.read_text().replace("mass_kg = 75", "mass_kg = 85"))
    code, out, err = run("compare", plan, "--out", folder)
    assert (code, out) == (2, "")
    assert "add --replace" in err
    assert (folder / "comparison.csv").read_bytes() == before
    assert run("compare", plan, "--out", folder, "--replace")[0] == 0
    assert (folder / "comparison.csv").read_bytes() != before


def test_hostile_drivetrain_names_stay_inside_the_folder(run: Run, plan: Path) -> None:
    text = plan.read_text()
    text = text.replace('"one ring"', r'"../../\u001b[31mx\u202e"')
    plan.write_text(text.replace('"two rings"', f'"{"y/" * 200}"'))
    code, out, _ = run("compare", plan)
    assert code == 0
    assert "\x1b" not in out
    rides = names(plan.with_name("plan-results")) - FILES
    assert len(rides) == 2
    assert all(len(name) < 100 for name in rides)
    assert names(plan.parent) == {"plan.toml", "plan-route.gpx", "plan-results"}


def test_large_rides_are_gzipped(run: Run, plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("gearsim.cli.csv_files.LARGEST_PLAIN_BYTES", 1000)
    run("compare", plan)
    packed = plan.with_name("plan-results") / "ride-one-ring.csv.gz"
    assert gzip.decompress(packed.read_bytes()).startswith(b"distance_m,time_s,")


@pytest.mark.parametrize("step", ["comparison_figure", "compare_rides", "comparison_text"])
def test_ctrl_c_ends_with_130(
    run: Run, plan: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(compare, step, stop)
    code, out, err = run("compare", plan)
    assert (code, out, err) == (130, "", "gearsim: stopped\n")


def test_ctrl_c_before_the_files_are_complete_leaves_none(
    run: Run, plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "rename", stop)
    assert run("compare", plan)[0] == 130
    assert names(plan.parent) == {"plan.toml", "plan-route.gpx"}


def test_defect_shows_where_and_how_to_report_it(
    run: Run, plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(compare, "compare_rides", broken)
    code, out, err = run("compare", plan)
    assert (code, out) == (1, "")
    assert "Traceback" in err
    assert err.splitlines()[-1].startswith("gearsim: this is a defect of gearsim")
    assert names(plan.parent) == {"plan.toml", "plan-route.gpx"}


def test_first_compile_says_why_it_waits(
    run: Run, plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(compare, "kernel_ready", lambda: False)
    assert run("compare", plan, "--json")[2] == compare.COMPILING + "\n"
    assert run("compare", plan, "--quiet")[2] == ""


def test_installed_command_compares(plan: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "gearsim", "compare", str(plan)],
        capture_output=True,
        check=False,
        text=True,
        cwd=Path(__file__).parents[2],
    )
    assert done.returncode == 0
    assert done.stderr in ("", compare.COMPILING + "\n")
    assert names(plan.with_name("plan-results")) == FILES


def test_reader_that_goes_early_is_no_fault(plan: Path) -> None:
    command = subprocess.Popen(
        [sys.executable, "-m", "gearsim", "compare", str(plan), "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=Path(__file__).parents[2],
    )
    assert command.stdout is not None
    assert command.stderr is not None
    command.stdout.close()
    assert command.stderr.read() in (b"", f"{compare.COMPILING}\n".encode())
    command.stderr.close()
    assert command.wait() == 141


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_full_standard_output_is_told_in_a_line(plan: Path) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "gearsim", "compare", str(plan), "--json"],
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
            text=True,
            cwd=Path(__file__).parents[2],
        )
    assert done.returncode == 2
    told = done.stderr.removeprefix(compare.COMPILING + "\n")
    assert told.startswith("gearsim: standard output: cannot be written (")
    assert told.count("\n") == 1
