import tomllib
from pathlib import Path

import pytest
from conftest import Run

from gearsim.cli.example_route import example_gpx
from gearsim.plan.loading import load_plan


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_without_a_route_an_example_is_written_too(run: Run, tmp_path: Path) -> None:
    code, out, err = run("new", tmp_path / "trip.toml")
    assert (code, err) == (0, "")
    assert "trip-route.gpx, a short invented example" in out
    assert names(tmp_path) == {"trip.toml", "trip-route.gpx"}
    assert load_plan(tmp_path / "trip.toml").route == tmp_path / "trip-route.gpx"


def test_example_is_the_same_every_time() -> None:
    assert example_gpx() == example_gpx()


def test_new_plan_rides(run: Run, tmp_path: Path) -> None:
    run("new", tmp_path / "trip.toml")
    assert run("compare", tmp_path / "trip.toml")[0] == 0


def test_only_route_beside_the_plan_is_taken(run: Run, tmp_path: Path) -> None:
    (tmp_path / "Mine.GPX").write_text(example_gpx())
    _, out, _ = run("new", tmp_path / "trip.toml")
    assert "Mine.GPX, the only GPX file beside it" in out
    assert names(tmp_path) == {"trip.toml", "Mine.GPX"}


def test_two_routes_beside_the_plan_must_be_chosen_from(run: Run, tmp_path: Path) -> None:
    for name in ("a.gpx", "b.gpx.gz"):
        (tmp_path / name).touch()
    code, _, err = run("new", tmp_path / "trip.toml")
    assert code == 2
    assert err.endswith("holds 2 GPX files (a.gpx, b.gpx.gz); say which with --route\n")
    assert names(tmp_path) == {"a.gpx", "b.gpx.gz"}


def test_route_given_is_named_from_the_plans_folder_on(run: Run, tmp_path: Path) -> None:
    (tmp_path / "plans").mkdir()
    route = tmp_path / 'my "best" route.gpx'
    route.write_text(example_gpx())
    plan = tmp_path / "plans" / "trip.toml"
    assert run("new", plan, "--route", route)[0] == 0
    assert tomllib.loads(plan.read_text())["route"] == '../my "best" route.gpx'
    assert names(tmp_path / "plans") == {"trip.toml"}


def test_plan_that_exists_is_left_as_it_is(run: Run, tmp_path: Path) -> None:
    (tmp_path / "trip.toml").write_text("mine")
    code, out, err = run("new", tmp_path / "trip.toml")
    assert (code, out) == (2, "")
    assert "trip.toml: exists and is left as it is" in err
    assert (tmp_path / "trip.toml").read_text() == "mine"
    assert names(tmp_path) == {"trip.toml"}


def test_plan_that_exists_is_told_before_its_routes(run: Run, tmp_path: Path) -> None:
    for name in ("a.gpx", "b.gpx", "trip.toml"):
        (tmp_path / name).touch()
    _, _, err = run("new", tmp_path / "trip.toml")
    assert "trip.toml: exists and is left as it is" in err


def test_folder_that_is_not_there_is_to_be_made_first(run: Run, tmp_path: Path) -> None:
    _, _, err = run("new", tmp_path / "sub" / "nodir" / "trip.toml")
    assert err.endswith(f"its folder {tmp_path / 'sub' / 'nodir'} is not there; make it first\n")


def test_name_of_a_route_is_no_name_for_a_plan(run: Run, tmp_path: Path) -> None:
    (tmp_path / "a.gpx").write_text(example_gpx())
    for name in ("a.gpx", "b.GPX", "c.gpx.gz"):
        code, _, err = run("new", tmp_path / name)
        assert code == 2
        assert f"{name}: is the name of a route" in err
    assert names(tmp_path) == {"a.gpx"}


@pytest.mark.parametrize("given", [True, False])
def test_route_that_is_none_is_refused_as_route_refuses_it(
    run: Run, tmp_path: Path, given: bool
) -> None:
    route = tmp_path / "other.gpx"
    route.write_text('route = "route.gpx"\n')
    code, _, err = run("new", tmp_path / "trip.toml", *(("--route", route) if given else ()))
    assert (code, err) == (2, run("route", route)[2])
    assert "other.gpx: is not XML, so not GPX" in err
    assert names(tmp_path) == {"other.gpx"}


def test_next_command_can_be_copied_whatever_the_name(run: Run, tmp_path: Path) -> None:
    plan = tmp_path / "plan für mich.toml"
    _, out, _ = run("new", plan)
    assert out.endswith(f"gearsim compare '{plan}'\n")


@pytest.mark.parametrize(
    ("plan", "route"),
    [
        ("nowhere/trip.toml", None),
        (".", None),
        ("trip.toml", "nothing.gpx"),
        ("trip.toml", "."),
        ("a" * 300, None),
        ("trip.toml", "a" * 300),
        ("trip.toml", "two\nlines.gpx"),
    ],
)
def test_what_cannot_be_written_is_refused(
    run: Run, tmp_path: Path, plan: str, route: str | None
) -> None:
    (tmp_path / "two\nlines.gpx").touch()
    options = () if route is None else ("--route", tmp_path / route)
    code, out, err = run("new", tmp_path / plan, *options)
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert err.startswith("gearsim: ")
    assert names(tmp_path) == {"two\nlines.gpx"}
