"""`gearsim compare PLAN --days N`, end to end."""

import json
from pathlib import Path

import pandas as pd
import pytest
from conftest import Run

DAY_FILES = {"days.csv", "days-summary.csv", "days.png"}


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_days_are_told_and_written_beside_the_comparison(run: Run, plan: Path) -> None:
    code, out, err = run("compare", plan, "--days", "16")
    folder = plan.with_name("plan-results")
    assert (code, err) == (0, "")
    assert "The same on 16 other days" in out
    assert "MINUTES IN EACH STATE" in out
    assert max(len(line) for line in out.splitlines()[:-1]) <= 80
    assert names(folder) >= DAY_FILES | {"comparison.csv"}
    assert len(pd.read_csv(folder / "days.csv")) == 32
    assert len(pd.read_csv(folder / "days-summary.csv")) == 2
    assert (folder / "days.png").read_bytes().startswith(b"\x89PNG")
    again = run("compare", plan, "--days", "16")[1]
    assert again.endswith("plan-results, the same as before.\n")


def test_without_the_option_no_day_is_ridden(run: Run, plan: Path) -> None:
    _, out, _ = run("compare", plan)
    assert "other days" not in out
    assert not names(plan.with_name("plan-results")) & DAY_FILES


def test_ranges_of_the_plan_are_used(run: Run, plan: Path) -> None:
    text = plan.read_text()
    ranges = "power_factor = [0.92, 1.08]"
    assert ranges in text
    plan.write_text(text.replace(ranges, "power_factor = [0.7, 0.8]"))
    found = json.loads(run("compare", plan, "--days", "16", "--json")[1])["over_days"]
    assert found["uncertain"]["power_factor"] == [0.7, 0.8]
    middle = found["candidates"][0]["finish_middle_min"]
    planned = json.loads(run("compare", plan, "--json")[1])["candidates"][0]["finish_min"]
    assert middle > 1.05 * planned


@pytest.mark.parametrize("count", ["50", "8", "0", "-16", "many", "8192"])
def test_days_that_cannot_be_spread_evenly_are_refused(run: Run, plan: Path, count: str) -> None:
    code, out, err = run("compare", plan, f"--days={count}")
    assert (code, out) == (2, "")
    assert f"'{count}' is not allowed; allowed are 16, 32, 64, 128" in err
    assert err.count("\n") == 1


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("power_factor = [1.1, 0.9]", "days.power_factor is [1.1, 0.9]; the lower comes first"),
        ("power_factor = 1.1", "days.power_factor is 1.1; allowed is two numbers in a list"),
        ("wind_spread_kmh = 100", "days.wind_spread_kmh is 100; allowed is 0 to 72"),
        ("wet_chance_percent = 101", "days.wet_chance_percent is 101; allowed is 0 to 100"),
        ("wind_spred_kmh = 5", "days.wind_spred_kmh = 5 is no key of a plan; did you mean wind_sp"),
        ('choose_by = "luck"', "days.choose_by is 'luck'; allowed are 'average', 'worst regret'"),
        ("seed = 1.5", "days.seed is 1.5; allowed is a whole number"),
        (
            "long_walk_m = 5\nlong_walk_min = 5",
            "days.long_walk_m and long_walk_min are both there; give one of them",
        ),
    ],
)
def test_wrong_ranges_are_refused_in_the_plans_words(
    run: Run, plan: Path, line: str, told: str
) -> None:
    key = line.partition(" =")[0]
    kept = [each for each in plan.read_text().splitlines() if not each.startswith(f"{key} =")]
    text = "\n".join(kept).replace("[days]\n", f"[days]\n{line}\n")
    plan.write_text(text)
    code, out, err = run("compare", plan)
    assert (code, out) == (2, "")
    assert told in err
