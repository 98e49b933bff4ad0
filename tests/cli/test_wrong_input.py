from pathlib import Path

import pytest
from conftest import Run

from gearsim.cli.example_route import example_gpx

BOMB = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa">'
    + "".join(
        f'<!ENTITY {name} "{f"&{before};" * 10}">'
        for before, name in zip("abcdefgh", "bcdefghi", strict=True)
    )
    + "]><gpx><trk><name>&i;</name></trk></gpx>"
)
ROUTES = {
    "empty": b"",
    "no XML": b"a,b\n1,2\n",
    "other XML": b"<html><body/></html>",
    "truncated": example_gpx().encode()[:5000],
    "bomb": BOMB.encode(),
    "random bytes": bytes(range(256)) * 10,
    "damaged gzip": b"\x1f\x8b" + b"x" * 100,
    "no points": b'<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"/>',
}


def contents(folder: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def refuse(run: Run, folder: Path, *argv: str | Path) -> str:
    """The one line that a command refuses with, nothing printed or left behind."""
    before = contents(folder)
    code, out, err = run(*argv)
    assert (code, out) == (2, "")
    assert err.startswith("gearsim: ")
    assert err.count("\n") == 1
    assert "Traceback" not in err
    assert contents(folder) == before
    return err


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        (
            "tyre_mm = 40",
            "tire_mm = 40",
            "bike.tire_mm = 40 is no key of a plan; did you mean tyre_mm?",
        ),
        ("tyre_mm = 40", '"a\\nb\\u001b" = 40', "bike.a\\nb\\x1b = 40 is no key of a plan"),
        ("mass_kg = 75", "mass_kg = -75", "rider.mass_kg is -75; allowed is 20 to 250"),
        ("band_rpm = [75, 95]", "band_rpm = [95, 75]", "rider.band_rpm"),
        ("sprockets = [11, 12,", "sprockets = [] # ", "drivetrain 'two rings' has no sprockets"),
        (
            "wind_kmh = 0 ",
            "wind_kmh = 0,5 ",
            "wind_kmh = 0,5 cannot be read; numbers take a dot: 0.5",
        ),
        ("rim_mm = 622", "rim_mm = 700", "which for what is called 700 is 622"),
        ("step_m = 10", "step_m = 0", "step_m is 0; allowed is 1 to 200"),
        ('"plan-route.gpx"', '"nothing.gpx"', 'route is "nothing.gpx"; there is no such file'),
        ('"plan-route.gpx"', '"."', 'route is "."; there is no such file'),
        ('"tarmac"', '"tarmack"', "surface 'tarmack' is unknown; did you mean 'tarmac'?"),
        (
            "# [[surface]]\n# from_km = 1.5\n# to_km = 4.0\n# surface",
            "[[surface]]\nfrom_km = 1.5\nto_km = 400.0\nsurface",
            "surface 'gravel' from_km 1.5 to_km 400 is outside the course",
        ),
    ],
)
def test_wrong_plan_is_refused(run: Run, plan: Path, right: str, wrong: str, told: str) -> None:
    text = plan.read_text()
    assert right in text
    plan.write_text(text.replace(right, wrong))
    err = refuse(run, plan.parent, "compare", plan)
    assert err.startswith(f"gearsim: {plan}: ")
    assert told in err


def test_doubts_about_a_plan_are_cautions_of_its_results(run: Run, plan: Path) -> None:
    plan.write_text(plan.read_text().replace("humidity_percent = 50", "humidity_percent = 0.5"))
    for options in ((), ("--json",)):
        code, out, _ = run("compare", plan, *options)
        assert code == 0
        assert "humidity_percent is 0.5, taken as 0.5 %" in " ".join(out.split())


def test_each_slip_in_the_toml_has_its_line(run: Run, plan: Path) -> None:
    text = plan.read_text().replace("mass_kg = 75", "mass_kg = 75,5")
    plan.write_text(text.replace("wet = false", "wet = no"))
    code, out, err = run("compare", plan)
    assert (code, out) == (2, "")
    hints = ["numbers take a dot: 75.5", "write false, in small letters"]
    assert [line.partition("cannot be read; ")[2] for line in err.splitlines()] == hints


def test_plan_without_drivetrains_says_what_can_be_ridden(run: Run, plan: Path) -> None:
    bare = plan.with_name("of bikes.toml")
    bare.write_text('route = "plan-route.gpx"\nbikes = "bikes.csv"\n')
    err = refuse(run, plan.parent, "compare", bare)
    assert "has no [[drivetrain]] to compare" in err
    assert err.endswith(f"gearsim fleet '{bare}'\n")


def test_each_fault_of_a_plan_has_its_line(run: Run, plan: Path) -> None:
    text = plan.read_text().replace("mass_kg = 75", "mass_kg = 7500")
    plan.write_text(text.replace("tyre_mm = 40", "tyre_mm = 4"))
    code, out, err = run("compare", plan)
    assert (code, out) == (2, "")
    assert [line.partition(" is ")[0] for line in err.splitlines()] == [
        f"gearsim: {plan}: rider.mass_kg",
        f"gearsim: {plan}: bike.tyre_mm",
    ]


@pytest.mark.parametrize("content", ROUTES)
def test_wrong_route_is_refused_by_route(run: Run, tmp_path: Path, content: str) -> None:
    path = tmp_path / "wrong.gpx"
    path.write_bytes(ROUTES[content])
    assert str(path) in refuse(run, tmp_path, "route", path)


@pytest.mark.parametrize("content", ROUTES)
def test_wrong_route_is_refused_by_compare(run: Run, plan: Path, content: str) -> None:
    route = plan.with_name("plan-route.gpx")
    route.write_bytes(ROUTES[content])
    assert str(route) in refuse(run, plan.parent, "compare", plan)


@pytest.mark.parametrize("command", ["compare", "route"])
@pytest.mark.parametrize("name", ["nothing", ".", "a" * 300, "two\nlines"])
def test_what_is_no_file_is_refused(run: Run, tmp_path: Path, command: str, name: str) -> None:
    refuse(run, tmp_path, command, tmp_path / name)


@pytest.mark.parametrize("command", ["compare", "route"])
def test_results_where_no_folder_can_be_are_refused(run: Run, plan: Path, command: str) -> None:
    given = plan if command == "compare" else plan.with_name("plan-route.gpx")
    (plan.parent / "file").touch()
    for out in ("file", "file/inside", "nowhere/inside"):
        err = refuse(run, plan.parent, command, given, "--out", plan.parent / out)
        assert err.startswith(f"gearsim: {plan.parent / out}: ")


@pytest.mark.parametrize(
    ("argv", "told"),
    [
        (("compair", "x"), "'compair' is no command; did you mean compare?"),
        (("xyz",), "'xyz' is no command; allowed are compare, route, gears, fit, learn, "),
        (("compare", "mein", "plan.toml"), "; put a name with blanks in quotes: 'mein plan.toml'"),
        (("route", "my", "best", "ride.GPX"), "in quotes: 'my best ride.GPX'"),
        (("fit", "x", "--parts", "my", "p.toml"), "in quotes: 'my p.toml'"),
        (("compare", "a.toml", "b.toml"), "unrecognized arguments: b.toml; see: "),
        (("compare", "a", "b"), "unrecognized arguments: b; see: "),
        (("compare",), "the following arguments are required: PLAN; see: gearsim compare --help"),
        (("compare", "x", "--frob"), "unrecognized arguments: --frob"),
        (("route", "x", "--out"), "argument --out: expected one argument"),
    ],
)
def test_wrong_usage_is_told_in_a_line(
    run: Run, tmp_path: Path, argv: tuple[str, ...], told: str
) -> None:
    assert told in refuse(run, tmp_path, *argv)


def test_words_that_make_the_name_of_a_file_are_told_as_it(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my tour").touch()
    told = refuse(run, tmp_path, "compare", "my", "tour", "too")
    assert "unrecognized arguments: tour too; put a name with blanks in quotes: 'my tour';" in told
