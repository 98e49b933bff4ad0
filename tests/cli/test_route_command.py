import json
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from conftest import Run

from gearsim.cli.example_route import example_gpx
from gearsim.course.course import course_from_grades


@pytest.fixture
def route(tmp_path: Path) -> Path:
    path = tmp_path / "hill.gpx"
    path.write_text(example_gpx())
    return path


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_route_is_told_and_drawn(run: Run, route: Path) -> None:
    code, out, err = run("route", route)
    assert (code, err) == (0, "")
    assert "Example hill" in out
    assert out.endswith(f"Results are in {route.with_name('hill-route')}.\n")
    assert names(route.with_name("hill-route")) == {"climbs.csv", "route.png"}


def test_climb_of_the_example_is_found(run: Run, route: Path) -> None:
    run("route", route)
    climbs = pd.read_csv(route.with_name("hill-route") / "climbs.csv")
    assert len(climbs) == 1
    assert climbs["gain_m"].iloc[0] == pytest.approx(146.0, abs=5.0)
    assert 12.0 < climbs["steepest_percent"].iloc[0] < 17.0


def test_gzipped_route_has_the_same_folder_name(run: Run, route: Path) -> None:
    import gzip

    packed = route.with_name("hill.gpx.gz")
    packed.write_bytes(gzip.compress(route.read_bytes()))
    route.unlink()
    assert run("route", packed, "--quiet") == (0, "", "")
    assert names(route.parent) == {"hill.gpx.gz", "hill-route"}


def test_json_tells_length_climbs_and_repairs(run: Run, route: Path) -> None:
    code, out, err = run("route", route, "--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert found["length_km"] == pytest.approx(5.95, abs=0.05)
    assert [part["length_m"] for part in found["steepest"]] == pytest.approx(
        [50, 100, 500], rel=0.01
    )
    assert len(found["climbs"]) == 1
    assert found["report"]["points"] == 477
    assert names(route.parent) == {"hill.gpx"}


def test_out_and_replace_hold_for_routes_too(run: Run, route: Path, tmp_path: Path) -> None:
    folder = tmp_path / "shown"
    folder.mkdir()
    (folder / "climbs.csv").write_text("mine")
    code, out, err = run("route", route, "--out", folder)
    assert (code, out) == (2, "")
    assert "climbs.csv: exists and differs; add --replace" in err
    assert names(folder) == {"climbs.csv"}
    assert run("route", route, "--out", folder, "--replace")[0] == 0
    assert names(folder) == {"climbs.csv", "route.png"}


def test_place_that_cannot_be_written_is_refused_before_the_route_is_read(
    run: Run, route: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def reading(_path: Path) -> None:
        raise AssertionError("the route was read")

    monkeypatch.setattr("gearsim.cli.route.load_course", reading)
    code, out, err = run("route", route, "--out", route / "inside")
    assert (code, out) == (2, "")
    told = f"{route / 'inside'}: {route} is a file, not a folder; choose another --out"
    assert err == f"gearsim: {told}\n"
    assert names(route.parent) == {"hill.gpx"}


def test_heights_that_no_road_makes_are_a_caution_for_programs_too(
    run: Run, route: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert json.loads(run("route", route, "--json")[1])["cautions"] == []
    grade = np.zeros(100)
    grade[40:45] = 0.49
    monkeypatch.setattr("gearsim.cli.route.load_course", lambda _: course_from_grades(grade))
    (caution,) = json.loads(run("route", route, "--json")[1])["cautions"]
    assert caution.startswith("At km 0.4 the heights make 49 % over 50 m")


def test_json_alone_needs_no_place_to_write(
    run: Run, route: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("os.access", lambda _path, _mode: False)
    assert run("route", route, "--quiet")[0] == 2
    code, out, err = run("route", route, "--json")
    assert (code, err) == (0, "")
    assert json.loads(out)["name"] == "Example hill"
