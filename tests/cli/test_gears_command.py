import json
from pathlib import Path

import pandas as pd
import pytest
from conftest import Run

from gearsim.cli.typed_gears import typed_drivetrain, typed_drivetrains

FILES = {"drivetrains.csv", "gears.csv", "gear-order.csv", "gears.png"}
TEN = "11-13-15-17-19-21-24-28-32-36"
HUB = "hub=ratios:0.7-0.8-1.0-1.2-1.5-1.8-2.1-2.5"


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder that the command runs in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_gears_of_a_plan_are_shown_and_files_stand_beside_it(run: Run, plan: Path) -> None:
    code, out, err = run("gears", plan)
    folder = plan.with_name("plan-gears")
    assert (code, err) == (0, "")
    assert out.endswith(f"Results are in {folder}.\n")
    assert max(len(line) for line in out.splitlines()[:-1]) <= 80
    assert "Assumed" not in out
    assert names(folder) == FILES
    assert (folder / "gears.png").read_bytes().startswith(b"\x89PNG")
    assert pd.read_csv(folder / "drivetrains.csv")["name"].tolist() == ["one ring", "two rings"]


def test_typed_gears_are_shown_and_what_was_assumed_is_told(run: Run, here: Path) -> None:
    code, out, err = run("gears", f"46-30x{TEN}", HUB, "--tyre", "45")
    assert (code, err) == (0, "")
    assert "46-30 × 11-36 (10)" in out
    assert "Wheel 45-622" in out
    assert "Assumed, since not given: rim 622 mm (--rim), target 85 rpm (--target)" in out
    assert out.endswith("Results are in gears.\n")
    assert names(here) == {"gears"}
    assert names(here / "gears") == FILES
    gears = pd.read_csv(here / "gears" / "gears.csv")
    assert len(gears) == 20 + 8
    row = gears[(gears["chainring"] == 46) & (gears["sprocket"] == 11)].iloc[0]
    # π·(622 + 2·45) mm × 46/11 × 85 rpm (computed).
    assert row["development_m"] == pytest.approx(9.35402, abs=1e-4)
    assert row["target_kmh"] == pytest.approx(47.7055, abs=1e-3)


def test_typed_gears_are_added_to_those_of_a_plan_on_its_bike(run: Run, plan: Path) -> None:
    code, out, _ = run("gears", plan, "mine=40x11-13-15", "--json")
    assert code == 0
    found = json.loads(out)
    assert [each["name"] for each in found["drivetrains"]] == ["one ring", "two rings", "mine"]
    assert names(plan.parent) == {"plan.toml", "plan-route.gpx"}


def test_options_stand_for_what_the_plan_says(run: Run, plan: Path) -> None:
    said = ("--tyre", "50", "--rim", "584", "--target", "70", "--band", "60-80", "--limits=40-100")
    found = json.loads(run("gears", plan, *said, "--json")[1])
    assert found["wheel"]["rim_mm"] == 584.0
    assert found["wheel"]["tyre_mm"] == 50.0
    assert list(found["cadence_rpm"].values()) == [40.0, 60.0, 70.0, 80.0, 100.0]


def test_gears_that_count_as_one_are_those_closer_than_asked(run: Run) -> None:
    typed = "48-31x11-13-15-17-19-21-23-25-27-30-34"
    counts = [
        json.loads(run("gears", typed, "--same", same, "--json")[1])["drivetrains"][0]
        for same in ("5", "9")
    ]
    assert [each["distinct_ratios"] for each in counts] == [16, 14]
    assert [each["gears"] for each in counts] == [22, 22]


@pytest.mark.parametrize(
    "word", ["46-30x11-13-15", "30,46X15,13,11", "46-30×11–13–15", " 46 - 30 x 11 - 13 - 15 "]
)
def test_gears_may_be_typed_in_several_ways(word: str) -> None:
    found = typed_drivetrain(word)
    assert (found.chainrings, found.sprockets) == ((46, 30), (11, 13, 15))


def test_a_name_stands_before_the_gears() -> None:
    assert typed_drivetrain("my bike=40x11-13").name == "my bike"
    assert typed_drivetrain("x = 2 = 40x11-13").name == "x = 2"
    assert typed_drivetrain("RATIOS:0.5-1").ratios == (1.0, 0.5)


def test_drivetrains_of_one_label_are_called_by_their_whole_word() -> None:
    words = ["40x11-13-15", "40x11-14-15", "50x11-13"]
    assert [each.name for each in typed_drivetrains(words)] == [*words[:2], "50 × 11-13 (2)"]


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ("46-30", "allowed is a plan file, or chainrings, an x and sprockets, such as 46-30x11-13"),
        ("", "allowed is a plan file"),
        ("40x11x13", "allowed is a plan file"),
        ("46-30x11-34", "11-34 is two sprockets; write every sprocket of the cassette, such as"),
        ("46x11-13-abc", "'abc' is no number of teeth; allowed are whole numbers, - between them"),
        ("46x11.5-13", "'11.5' is no number of teeth"),
        ("46x11-13-", "a number of teeth is missing"),
        ("x", "a number of teeth is missing"),
        ("46x5-6-7", "sprockets is 5; allowed is 8 to 70"),
        ("46-46x11-13", "name one size twice"),
        ("50-46-40-30x11-13", "has 4 chainrings"),
        ("ratios:0,8-1,0", "'0,8' is no ratio; allowed are numbers with a point, - between them"),
        ("ratios:", "a ratio is missing; allowed are numbers with a point, - between them, such"),
        ("ratios:99", "ratios is 99; allowed is 0.2 to 12"),
    ],
)
def test_wrong_gears_are_told_in_a_line_with_the_word(
    run: Run, here: Path, word: str, told: str
) -> None:
    code, out, err = run("gears", word)
    assert (code, out) == (2, "")
    assert err.startswith(f"gearsim: gears {word!r}: ")
    assert err.count("\n") == 1
    assert told in err
    assert names(here) == set()


def test_each_wrong_word_has_its_line(run: Run) -> None:
    code, out, err = run("gears", "46-", "40x11-13", "x")
    assert (code, out) == (2, "")
    assert [line.split(":")[1] for line in err.splitlines()] == [" gears '46-'", " gears 'x'"]


@pytest.mark.parametrize(
    ("argv", "told"),
    [
        (("--tyre", "4"), "gearsim: --tyre is 4; allowed is 10 to 130"),
        (("--rim", "nan"), "gearsim: --rim is nan; allowed is 200 to 700"),
        (("--target", "100"), "--limits, --band and --target are 50, 75, 100, 95, 115; allowed"),
        (("--band", "75"), "argument --band: '75' is no span; write it like 75-95"),
        (("--limits", "a-b"), "argument --limits: 'a-b' is no span; write it like 75-95"),
        (("--tyre", "4,0"), "argument --tyre: '4,0' has a comma; numbers take a dot here: 4.0"),
        (("--tyre", "four"), "argument --tyre: 'four' is no number; write it like 40 or 2.5"),
        (
            ("--band", "75,5-95"),
            "argument --band: '75,5' has a comma; numbers take a dot here: 75.5",
        ),
        (("--same", "0"), "gearsim: --same is 0; allowed is 0.1 to 50"),
        (("40x11-13",), "two drivetrains are named '40x11-13'"),
        (("nothing.toml",), "nothing.toml: there is no such file"),
    ],
)
def test_wrong_options_are_told_by_their_names(
    run: Run, here: Path, argv: tuple[str, ...], told: str
) -> None:
    code, out, err = run("gears", "40x11-13", *argv)
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert told in err
    assert names(here) == set()


def test_a_second_plan_is_refused(run: Run, plan: Path) -> None:
    code, _, err = run("gears", plan, plan)
    assert code == 2
    assert "is a second plan; give one" in err


def test_faults_of_a_plan_keep_their_lines_and_names(run: Run, plan: Path) -> None:
    text = plan.read_text().replace("rim_mm = 622", "rim_mm = 6")
    plan.write_text(text.replace("tyre_mm = 40", "tyre_mm = 4"))
    code, _, err = run("gears", plan)
    assert code == 2
    assert [line.partition(" is ")[0] for line in err.splitlines()] == [
        f"gearsim: {plan}: bike.rim_mm",
        f"gearsim: {plan}: bike.tyre_mm",
    ]


def test_help_is_readable_in_80_columns(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    code, out, _ = run("gears", "--help")
    assert code == 0
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "gearsim gears plan.toml" in out
