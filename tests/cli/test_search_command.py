import json
from pathlib import Path

import pandas as pd
import pytest
from conftest import Run
from lxml import etree, html

from gearsim.cli import over_days, search
from gearsim.cli.example_route import example_gpx
from gearsim.setup.bike import Bike

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
NOW = """\
[[drivetrain]]
name = "what there is"
chainrings = [46, 30]
sprockets = [11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34]
chainset = "46-30 gravel, 11 to 12 sprockets"
rear_mech = "11 sprockets, gravel, two rings, low to 34, clutch"
front_mech = "two rings, gravel, up to 50"
"""
PARTS = """\
[[chainset]]
name = "mine"
chainrings = [39]
chain_sprockets = [10, 12]
mass_g = 610
price = 120

[[cassette]]
name = "wide"
sprockets = [11, 13, 15, 17, 19, 21, 24, 28, 33, 38, 44]
driver_body = "splined, 8 to 10"
mass_g = 430
price = 80

[[rear_mech]]
name = "11 sprockets, mountain, long cage, low to 46, clutch"
price = 95
"""
FILES = {"search.csv", "search.png", "comparison.png", "worst-places.csv"}


@pytest.fixture
def search_plan(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A plan with few builds, and a parts file with prices beside it; no compile is told of."""
    monkeypatch.setattr(search, "kernel_ready", lambda: True)
    (tmp_path / "route.gpx").write_text(example_gpx())
    (tmp_path / "mine.toml").write_text(PARTS)
    path = tmp_path / "plan.toml"
    path.write_text(
        f'route = "route.gpx"\n{FRAME}[search]\nchainrings = 1\nparts = ["mine.toml"]\n{NOW}'
    )
    return path


@pytest.fixture
def undrawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pictures are not drawn: that takes long, and other tests do it."""
    for module in (search, over_days):
        monkeypatch.setattr(module, "figure_png", lambda _: b"a picture")
    for figure in ("search_figure", "comparison_figure"):
        monkeypatch.setattr(search, figure, lambda *_: None)
    monkeypatch.setattr(over_days, "days_figure", lambda _: None)


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_answer_is_told_and_written(run: Run, search_plan: Path) -> None:
    code, out, err = run("search", search_plan)
    assert (code, err) == (0, "")
    folder = search_plan.with_name("plan-search")
    assert max(len(line) for line in out.splitlines()[:-1]) <= 80
    assert out.endswith(f"Results are in {folder}.\n")
    for told in ("Best of the", "“what there is”", "Saves", "costs", "s for each 100", "shifter"):
        assert told in " ".join(out.split())
    rides = {name for name in names(folder) if name.startswith("ride-")}
    assert names(folder) - rides == FILES
    assert len(rides) == 4
    assert "ride-what-there-is-now.csv" in rides
    table = pd.read_csv(folder / "search.csv")
    assert set(table["chainrings"].iloc[1:].astype(str).str.count(" ")) == {
        0
    }  # one ring, as wished
    assert "39 × wide" in set(table["name"])
    mine = table.set_index("name").loc["39 × wide"]
    assert mine["price"] == 120 + 80 + 95
    assert mine["to_buy"].split("; ")[:2] == ["mine", "wide"]


def test_json_tells_the_same_and_writes_nothing(run: Run, search_plan: Path) -> None:
    code, out, err = run("search", search_plan, "--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert found["complete"] is True
    assert found["builds_ridden"] == found["builds_that_fit"] == len(found["builds"])
    assert found["front_of"] == [
        "mismatch",
        "weight",
        "price",
        "shifts an hour",
        "parts to adjust",
    ]
    assert found["now"]["rank"] is None
    assert not search_plan.with_name("plan-search").exists()


def test_same_plan_again_changes_nothing(run: Run, search_plan: Path) -> None:
    run("search", search_plan)
    assert run("search", search_plan)[1].endswith("plan-search, the same as before.\n")


@pytest.mark.usefixtures("undrawn")
def test_page_and_places_of_the_best_are_written_only_when_asked_for(
    run: Run, search_plan: Path
) -> None:
    run("search", search_plan)
    before = names(search_plan.with_name("plan-search"))
    code, _, err = run("search", search_plan, "--report")
    assert (code, err) == (0, "")
    folder = search_plan.with_name("plan-search-2")
    (places,) = [name for name in names(folder) if name.startswith("places-")]
    assert names(folder) == before | {"report.html", places}
    page = html.parse(folder / "report.html").getroot()
    assert places in page.text_content()
    best = pd.read_csv(folder / "search.csv")["name"].iloc[1]
    track = etree.parse(folder / places).getroot()
    assert best in track.findtext("{*}metadata/{*}name")
    assert len(page.xpath("//section[@aria-labelledby='wrong']//tbody/tr")) == len(
        track.findall("{*}wpt")
    )
    assert run("search", search_plan, "--report")[1].endswith("-2, the same as before.\n")


@pytest.mark.usefixtures("undrawn")
def test_where_the_best_has_no_place_to_warn_of_no_places_are_written(
    run: Run, search_plan: Path, flat_gpx: str
) -> None:
    search_plan.with_name("route.gpx").write_text(flat_gpx)
    assert run("search", search_plan, "--report")[0] == 0
    folder = search_plan.with_name("plan-search")
    assert not [name for name in names(folder) if name.startswith("places-")]
    said = html.parse(folder / "report.html").getroot().text_content()
    assert "no file of places for a head unit" in said
    assert "For a head unit:" not in said


@pytest.mark.usefixtures("undrawn")
def test_picture_of_the_best_few_weighs_the_bike_with_what_is_on_it_now(
    run: Run, search_plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    monkeypatch.setattr(search, "comparison_figure", lambda _, ridden_as: told.append(ridden_as))
    assert run("search", search_plan)[0] == 0
    (ridden_as,) = told
    assert f"Bike with what you have now {Bike().mass_kg:.4g} kg" in ridden_as


@pytest.mark.usefixtures("undrawn")
def test_best_few_and_what_there_is_are_ridden_on_the_plans_days(
    run: Run, search_plan: Path
) -> None:
    text = search_plan.read_text()
    search_plan.write_text(f'{text}\n[days]\nchoose_by = "worst regret"\n')
    out_dir = search_plan.with_name("days")
    code, out, err = run("search", search_plan, "--days", "16", "--report", "--out", out_dir)
    assert (code, err) == (0, "")
    assert max(len(line) for line in out.splitlines()[:-1]) <= 80
    assert "Ridden on other days are only the best few" in " ".join(out.split())
    assert "never more than" in out  # by worst regret, as the plan says
    assert names(out_dir) >= {"days.csv", "days-summary.csv", "days.png", "report.html"}
    assert "The same on 16 other days" in (out_dir / "report.html").read_text()
    summary = pd.read_csv(out_dir / "days-summary.csv").set_index("name")
    table = pd.read_csv(out_dir / "search.csv")
    best = dict.fromkeys(table["name"].iloc[1:6])
    assert set(summary.index) == {"what there is (now)", *best}
    planned = table.set_index("name")["mismatch"]
    for name in best:
        assert summary.loc[name, "planned_mismatch"] == pytest.approx(planned[name], rel=1e-4)


def test_days_are_in_the_json_as_those_of_compare_are(run: Run, search_plan: Path) -> None:
    found = json.loads(run("search", search_plan, "--days", "16", "--json")[1])
    days = found["over_days"]
    assert days["about"].startswith("Ridden on other days are only the best few")
    assert days["days"] == days["most_days"] == 16
    assert days["candidates"][0]["name"] in found["best"]
    assert "over_days" not in json.loads(run("search", search_plan, "--json")[1])


@pytest.mark.usefixtures("undrawn")
def test_search_is_not_lost_where_the_days_are_stopped(
    run: Run, search_plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("gearsim.cli.over_days.ride_days", stopped)
    code, out, err = run("search", search_plan, "--days", "16", "--report")
    assert (code, err) == (130, "gearsim: stopped\n")
    assert "Stopped after" not in out
    assert "other days" not in out
    assert names(search_plan.with_name("plan-search")) >= FILES | {"report.html"}


@pytest.mark.usefixtures("undrawn")
def test_what_looks_like_a_slip_in_the_plan_is_on_the_page(run: Run, search_plan: Path) -> None:
    text = search_plan.read_text()
    search_plan.write_text(f"{text}\n[conditions]\nwind_kmh = 10\n")
    assert run("search", search_plan, "--report")[0] == 0
    page = html.parse(search_plan.with_name("plan-search") / "report.html").getroot()
    (cautions,) = page.xpath("//section[@aria-labelledby='cautions']")
    assert "wind_from_deg is not told" in cautions.xpath(".//li")[0].text_content()


def test_stopped_search_writes_what_it_has_and_ends_with_130(
    run: Run, search_plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = json.loads(run("search", search_plan, "--json")[1])
    ride_builds = search.ride_builds

    def soon_stopped(*values: object, **given: object) -> object:
        count = 0

        def done() -> None:
            nonlocal count
            count += 1
            if count == 2:
                raise KeyboardInterrupt

        return ride_builds(*values, **(given | {"done": done, "workers": 1}))  # type: ignore[arg-type]

    monkeypatch.setattr(search, "ride_builds", soon_stopped)
    code, out, err = run("search", search_plan, "--report", "--days", "16")
    assert (code, err) == (130, "gearsim: stopped\n")
    assert "Stopped after " in out
    folder = search_plan.with_name("plan-search")
    assert names(folder) >= FILES | {"report.html"}
    assert "Stopped after" in (folder / "report.html").read_text()
    assert "days.csv" not in names(folder)
    table = pd.read_csv(folder / "search.csv")
    assert 2 <= len(table) - 1 < len(whole["builds"])
    mismatch = {each["name"]: each["mismatch"] for each in whole["builds"]}
    for row in table.iloc[1:].itertuples():
        assert row.mismatch == pytest.approx(mismatch[row.name], rel=1e-4)


def test_parts_can_be_given_on_the_command_line_too(
    run: Run, search_plan: Path, tmp_path: Path
) -> None:
    other = PARTS.replace('"mine"', '"yours"').replace("[39]", "[37]")
    (tmp_path / "other.toml").write_text(other)
    found = json.loads(run("search", search_plan, "--json", "--parts", tmp_path / "other.toml")[1])
    built = {each["name"] for each in found["builds"]}
    assert {"37 × wide", "39 × wide"} <= built


@pytest.mark.parametrize(
    ("wished", "told"),
    [
        ('now = "what ther is"', "search.now is \"what ther is\"; did you mean 'what there is'?"),
        ('now = "x"', "give the name of a [[drivetrain]]"),
        ("keep_casette = true", "did you mean keep_cassette?"),
        ("keep_cassette = 1", "search.keep_cassette is 1; allowed is true or false"),
        ("chainrings = 4", "search.chainrings is 4; allowed is 1 to 3"),
        ("chainrings = [1]", "search.chainrings is [1]; allowed is a whole number"),
        ("smallest_tyre_mm = 50", "is 50, but frame.largest_tyre_mm is 45: nothing can fit"),
        ("largest_price = -5", "search.largest_price is -5; allowed is 0 to"),
        ("internal_gears = true\nkeep_chainset = true", "allowed is one of them"),
        ("keep_chainset = true\nchainrings = 1", "the chainset to be kept has 2"),
        ("largest_mass_kg = 0.5", "none fits and is as wished"),
        ('parts = ["nothing.toml"]', "nothing.toml: there is no such file"),
        ('parts = "mine.toml"', 'allowed is a list of texts, such as ["parts.toml"]'),
    ],
)
def test_wrong_wish_is_refused_in_a_line(
    run: Run, search_plan: Path, wished: str, told: str
) -> None:
    text = search_plan.read_text()
    old = 'chainrings = 1\nparts = ["mine.toml"]'
    assert old in text
    search_plan.write_text(text.replace(old, wished))
    code, out, err = run("search", search_plan)
    assert (code, out) == (2, "")
    assert err.startswith("gearsim: ")
    assert err.count("\n") == 1
    assert told in err
    assert err.count(str(search_plan)) <= 1
    assert not search_plan.with_name("plan-search").exists()


def test_new_plan_can_be_searched_with_the_example_of_its_wishes(
    run: Run, plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(search, "kernel_ready", lambda: True)
    text = plan.read_text()
    for section in ("[frame]\n", "[search]\n"):
        before, head, after = text.partition(section)
        keys, gap, rest = after.partition("\n\n")
        told = "\n".join(line.removeprefix("# ") for line in keys.splitlines())
        text = f"{before}{head}{told}{gap}{rest}"
    for key in ("keep_rear_mech", "internal_gears", "parts", "largest_price", "keep_chainset"):
        assert f"\n{key} = " in text
        text = text.replace(f"\n{key} = ", f"\n# {key} = ")
    plan.write_text(text.replace("keep_cassette = true", "keep_cassette = false"))
    code, out, err = run("search", plan, "--json")
    assert (code, err) == (0, "")
    assert json.loads(out)["wishes"]["smallest_tyre_mm"] == 45


def test_help_teaches_with_an_example_in_80_columns(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    code, out, err = run("search", "--help")
    assert (code, err) == (0, "")
    assert "gearsim search plan.toml" in out
    assert max(len(line) for line in out.splitlines()) <= 80
