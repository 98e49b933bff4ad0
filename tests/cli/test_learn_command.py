"""`gearsim learn` and `gearsim replay`, from files to files."""

import io
import json
import re
import shlex
from contextlib import redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from conftest import Run
from made_recordings import as_gpx, loop, recorded, ride_of
from made_rides import SINGLE

from gearsim.cli import main
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.setup.rider import Rider


@pytest.fixture(scope="module")
def texts() -> dict[str, str]:
    """Rides of one rider on one bike: 85 kg in all, one ring."""
    rides = {}
    for seed, length_m in enumerate((20_000.0, 10_000.0)):
        ride = ride_of(Rider(power_w=200.0), drivetrain=SINGLE, course=loop(length_m))
        rides[f"ride-{seed}.gpx"] = as_gpx(recorded(ride, seed))
    return rides


@dataclass(frozen=True)
class Learnt:
    """What one run of `gearsim learn` printed and wrote, and its JSON."""

    out: str
    folder: Path
    found: dict[str, Any]

    @property
    def plan(self) -> Plan:
        return load_plan(self.folder / "learnt.toml")


def printed(*argv: str | Path) -> str:
    out = io.StringIO()
    with redirect_stdout(out):
        assert main([str(argument) for argument in argv]) == 0
    return out.getvalue()


@pytest.fixture(scope="module")
def rides(texts: dict[str, str], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the rides."""
    folder = tmp_path_factory.mktemp("rides")
    for name, text in texts.items():
        (folder / name).write_text(text)
    return folder


@pytest.fixture(scope="module")
def learnt(rides: Path) -> Learnt:
    command = ("learn", rides / "ride-0.gpx", *TOLD, "--circumference", "2205")
    return Learnt(
        out=printed(*command),
        folder=rides / "ride-0-learnt",
        found=json.loads(printed(*command, "--json")),
    )


@pytest.fixture
def ride(rides: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The short ride in a folder of its own; no compile is told of."""
    monkeypatch.setattr("gearsim.cli.replay.kernel_ready", lambda: True)
    path = tmp_path / "ride-1.gpx"
    path.write_text((rides / "ride-1.gpx").read_text())
    return path


TOLD = ("--rider-mass", "75", "--bike-mass", "10")


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_learn_writes_a_plan_gears_and_a_picture(learnt: Learnt) -> None:
    assert names(learnt.folder) == {"learnt.toml", "gears.csv", "learnt.png"}


def test_learn_tells_drag_area_and_what_was_assumed(learnt: Learnt) -> None:
    assert "drag_area_m2 = " in learnt.out
    assert "Assumed: all of it is tarmac" in learnt.out
    assert "Assumed: the rider" not in learnt.out


def test_no_line_is_wider_than_80_columns(learnt: Learnt) -> None:
    lines = [line for line in learnt.out.splitlines() if "/" not in line]
    assert max(len(line) for line in lines) <= 80


def test_learnt_plan_can_be_ridden(learnt: Learnt) -> None:
    plan = learnt.plan
    assert plan.rider.mass_kg == 75.0
    assert plan.rider.power_w == pytest.approx(200.0, rel=0.05)
    assert plan.bike.mass_kg == 10.0
    assert plan.drivetrains[0].name == "only the gears seen"
    assert plan.load_course().length_m == pytest.approx(20_000.0, rel=0.01)


def test_plan_holds_the_same_values_as_json(learnt: Learnt) -> None:
    plan, found = learnt.plan, learnt.found
    for name in ("power_w", "uphill_factor", "target_cadence_rpm", "descending_mps"):
        assert getattr(plan.rider, name) == pytest.approx(found["rider"][name])
    for name in ("drag_area_m2", "tyre_rolling_factor", "tyre_mm"):
        assert getattr(plan.bike, name) == pytest.approx(found["bike"][name])
    assert list(plan.drivetrains[0].ratios) == found["drivetrain"]["ratios"]


def test_every_learnt_number_has_its_evidence_beside_it(learnt: Learnt) -> None:
    text = (learnt.folder / "learnt.toml").read_text()
    keys = [line for line in text.splitlines() if " = " in line and not line.startswith("#")]
    assert all("  # " in line for line in keys if not line.startswith("route"))


def test_masses_not_told_are_told_as_assumed(run: Run, ride: Path) -> None:
    _, out, _ = run("learn", ride)
    assert "Assumed: the rider weighs 75 kg" in " ".join(out.split())


def test_several_rides_teach_together(run: Run, learnt: Learnt, rides: Path) -> None:
    _, out, _ = run("learn", rides / "ride-0.gpx", rides / "ride-1.gpx", *TOLD, "--json")
    both = json.loads(out)
    assert len(both["rides"]) == 2
    held = [sum(gear["held_s"] for gear in found["gears"]) for found in (learnt.found, both)]
    assert held[1] > held[0]


def test_replay_by_another_ride(run: Run, ride: Path, rides: Path) -> None:
    code, out, err = run("replay", ride, "--taught-by", rides / "ride-0.gpx", *TOLD)
    assert (code, err) == (0, "")
    assert "By recorded power" in out
    folder = ride.with_name("ride-1-replay")
    assert names(folder) == {"replay.csv", "cadence-and-gears.csv", "replay.png"}
    table = pd.read_csv(folder / "replay.csv")
    whole = table[table["grade"] == "all"].iloc[0]
    assert whole["by_recorded_power_s"] == pytest.approx(whole["recorded_s"], rel=0.03)
    assert max(len(line) for line in out.splitlines() if "/" not in line) <= 80


def test_replay_of_halves(run: Run, rides: Path, ride: Path) -> None:
    assert ride.exists()
    code, out, err = run("replay", rides / "ride-0.gpx", *TOLD, "--json")
    assert (code, err) == (0, "")
    replays = json.loads(out)["replays"]
    assert [one["ride"] for one in replays] == ["made, second half", "made, first half"]
    assert all(abs(one["error_by_recorded_power"]) < 0.05 for one in replays)


@pytest.mark.parametrize(
    ("option", "value", "said"),
    [
        ("--rider-mass", "5", "--rider-mass: '5' is not allowed; allowed is 20 to 250 kg"),
        ("--rider-mass", "74kg", "--rider-mass: '74kg' is no number; allowed is 20 to 250 kg"),
        ("--rider-mass", "61,5", "'61,5' has a comma; numbers take a dot here: 61.5"),
        ("--bike-mass", "nan", "--bike-mass: 'nan' is not allowed; allowed is 3 to 150 kg"),
        ("--circumference", "21", "'21' is not allowed; allowed is 1000 to 2600 mm"),
        ("--surface", "tarmak", "--surface"),
    ],
)
def test_impossible_options_are_refused(
    run: Run, ride: Path, option: str, value: str, said: str
) -> None:
    code, out, err = run("learn", ride, option, value)
    assert (code, out) == (2, "")
    assert said in err
    assert len(err.splitlines()) == 1


@pytest.mark.parametrize("command", [("learn",), ("replay", "--taught-by")])
def test_same_ride_twice_is_refused_under_any_name(
    run: Run, ride: Path, command: tuple[str, ...]
) -> None:
    copy = ride.with_name("copy.gpx")
    copy.write_bytes(ride.read_bytes())
    name, *option = command
    code, out, err = run(name, ride, *option, copy)
    assert (code, out) == (2, "")
    assert "the same ride twice: " in err
    assert err.endswith("; give each once\n")
    assert {path.name for path in ride.parent.iterdir()} == {"ride-1.gpx", "copy.gpx"}


def test_learn_tells_the_next_step_in_words_that_a_shell_takes(run: Run, ride: Path) -> None:
    spaced = ride.rename(ride.with_name("my ride.gpx"))
    for folder in ("my ride-learnt", "my ride-learnt", "my ride-learnt-2"):
        mass = "70" if folder.endswith("2") else "75"
        _, out, _ = run("learn", spaced, "--rider-mass", mass)
        plan = spaced.with_name(folder) / "learnt.toml"
        assert out.endswith(f"gearsim compare {shlex.quote(str(plan))}\n")
        assert f"A plan to ride: {plan}" in out
        load_plan(plan)


def test_learn_tells_what_the_plan_lacks(run: Run, ride: Path) -> None:
    text = re.sub(r"<cad>[^<]*</cad>", "", ride.read_text())
    ride.write_text(text)
    _, out, _ = run("learn", ride)
    assert "It is not ready to ride" in out
    assert "drivetrain" in out.split("It is not ready to ride")[1]


def test_planned_route_is_no_recorded_ride(run: Run, tmp_path: Path) -> None:
    from gearsim.cli.example_route import example_gpx

    route = tmp_path / "hill.gpx"
    route.write_text(example_gpx())
    code, out, err = run("learn", route)
    assert (code, out) == (2, "")
    assert "give a recorded ride, not a planned route" in err
