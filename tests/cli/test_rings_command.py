import json
from pathlib import Path

import pandas as pd
import pytest
from conftest import Run

from gearsim.cli import rings
from gearsim.cli.example_route import example_gpx

FRAME = """\
[frame]
largest_ring_alone = 42
largest_ring_of_two = 46
largest_tyre_mm = 45
front_mech_mount = true
driver_body = "splined, long"
shifter_sprockets = 11
shifter_chainrings = 2
"""
DRIVETRAINS = """\
[[drivetrain]]
name = "what there is"
chainrings = [46, 30]
sprockets = [11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34]
chainset = "46-30 gravel, 11 to 12 sprockets"
rear_mech = "11 sprockets, gravel, two rings, low to 34, clutch"
front_mech = "two rings, gravel, up to 50"

[[drivetrain]]
name = "one"
chainrings = [40]
sprockets = [11, 13, 15, 17, 19, 21, 24, 28, 32, 37, 42]
"""
FILES = {"one-or-two.csv", "what-would-change.csv", "one-or-two.png"}


@pytest.fixture
def rings_plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A plan with few builds that fit, and two drivetrains; no compile is told of."""
    monkeypatch.setattr(rings, "kernel_ready", lambda: True)
    (tmp_path / "route.gpx").write_text(example_gpx())
    path = tmp_path / "plan.toml"
    wishes = '[search]\nnow = "what there is"\nkeep_cassette = true\n'
    path.write_text(f'route = "route.gpx"\n{FRAME}{wishes}{DRIVETRAINS}')
    return path


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_answer_is_told_and_written(run: Run, rings_plan: Path) -> None:
    code, out, err = run("rings", rings_plan, "--report")
    assert (code, err) == (0, "")
    folder = rings_plan.with_name("plan-rings")
    assert out.endswith(f"Results are in {folder}.\n")
    assert max(len(line) for line in out.splitlines()[:-1]) <= 80
    told = " ".join(out.split())
    for words in ("one ring or two?", "SIDE BY SIDE", "28 to 38 km/h", "turn"):
        assert words in told
    rides = {name for name in names(folder) if name.startswith("ride-")}
    assert len(rides) == 2
    assert names(folder) - rides == FILES | {"report.html"}
    table = pd.read_csv(folder / "one-or-two.csv")
    assert table["rings"].tolist() == [1, 2]


def test_json_tells_the_same_and_writes_nothing(run: Run, rings_plan: Path) -> None:
    code, out, err = run("rings", rings_plan, "--json", "--candidates")
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert found["one_ring"]["name"] == "one"
    assert found["two_rings"]["name"] == "what there is"
    assert found["two_rings"]["has_it"] is True
    assert [each["lever"] for each in found["levers"]] == [
        "rider power",
        "target cadence",
        "load",
        "tyre width",
    ]
    assert not rings_plan.with_name("plan-rings").exists()


def test_the_paces_of_the_group_can_be_told(run: Run, rings_plan: Path) -> None:
    told = json.loads(run("rings", rings_plan, "--json", "--candidates", "--group", "20-24")[1])
    assert told["one_ring"]["group_from_kmh"] == pytest.approx(20.0)
    assert told["one_ring"]["group_to_kmh"] == pytest.approx(24.0)


def test_same_plan_again_changes_nothing(run: Run, rings_plan: Path) -> None:
    run("rings", rings_plan, "--candidates")
    assert run("rings", rings_plan, "--candidates")[1].endswith("plan-rings, the same as before.\n")


@pytest.mark.parametrize("paces", ["38-28", "28", "0-20", "28-28", "fast", "20-300"])
def test_paces_that_are_none_are_refused(run: Run, rings_plan: Path, paces: str) -> None:
    code, out, err = run("rings", rings_plan, "--group", paces)
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert "write it like 28-38" in err


@pytest.mark.parametrize(
    ("old", "new", "options", "told"),
    [
        ("keep_cassette = true", "keep_chainset = true", (), "which decides between one ring"),
        ("chainrings = [40]", "chainrings = [40, 26]", ("--candidates",), "has one chainring; add"),
        ("largest_tyre_mm = 45", "largest_tyre_mm = 30", (), "none fits and is as wished"),
        (
            'chainset = "46-30 gravel, 11 to 12 sprockets"',
            'chainset = "nothing"',
            ("--candidates",),
            "nothing",
        ),
    ],
)
def test_what_cannot_be_weighed_is_refused_in_a_line(
    run: Run, rings_plan: Path, old: str, new: str, options: tuple[str, ...], told: str
) -> None:
    text = rings_plan.read_text()
    assert old in text
    rings_plan.write_text(text.replace(old, new))
    code, out, err = run("rings", rings_plan, *options)
    assert (code, out) == (2, "")
    assert err.startswith(f"gearsim: {rings_plan}: ")
    assert err.count("\n") == 1
    assert told in err
    assert err.count(str(rings_plan)) == 1
    assert not rings_plan.with_name("plan-rings").exists()


def test_stopped_it_tells_nothing(
    run: Run, rings_plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ride_builds = rings.ride_builds

    def soon_stopped(*values: object, **given: object) -> object:
        count = 0

        def done() -> None:
            nonlocal count
            count += 1
            if count == 2:
                raise KeyboardInterrupt

        return ride_builds(*values, **(given | {"done": done, "workers": 1}))  # type: ignore[arg-type]

    monkeypatch.setattr(rings, "ride_builds", soon_stopped)
    assert run("rings", rings_plan) == (130, "", "gearsim: stopped\n")
    assert not rings_plan.with_name("plan-rings").exists()


def test_help_teaches_with_an_example_in_80_columns(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    code, out, err = run("rings", "--help")
    assert (code, err) == (0, "")
    assert "gearsim rings plan.toml --report" in out
    assert max(len(line) for line in out.splitlines()) <= 80
