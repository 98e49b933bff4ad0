"""The plan's effort and stops."""

from pathlib import Path

import pytest

from gearsim.course.stops import Stop
from gearsim.errors import PlanError
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.setup.effort import Effort

BASE = 'route = "route.gpx"\n'
GEARS = "\n[[drivetrain]]\nchainrings = [40]\nsprockets = [11, 13, 15]\n"
POINTS = "".join(
    f'<trkpt lat="{0.0001 * n:.4f}" lon="0"><ele>100</ele></trkpt>' for n in range(500)
)
ROUTE = (
    '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
    '<wpt lat="0.02" lon="0"><name>Feed</name></wpt>'
    f"<trk><trkseg>{POINTS}</trkseg></trk></gpx>"
)


def planned(folder: Path, text: str) -> Plan:
    (folder / "route.gpx").write_text(ROUTE, encoding="utf-8")
    path = folder / "plan.toml"
    path.write_text(BASE + text + GEARS, encoding="utf-8")
    return load_plan(path)


def test_a_plan_without_them_holds_its_power_and_does_not_stop(tmp_path: Path) -> None:
    plan = planned(tmp_path, "")
    assert plan.rider.effort == Effort()
    assert plan.stops == ()


def test_effort_is_the_rider_s(tmp_path: Path) -> None:
    plan = planned(
        tmp_path,
        '[effort]\nkind = "for the duration"\nheld_percent = 95\nduration_exponent = 0.1\n'
        "work_loss_percent = 8\n[rider]\npower_w = 150\n",
    )
    assert plan.rider.power_w == 150.0
    assert plan.rider.effort == Effort(
        kind="for the duration", held_share=0.95, duration_exponent=0.1, work_loss=0.08
    )


def test_stops_are_on_the_plan_s_course(tmp_path: Path) -> None:
    plan = planned(
        tmp_path, '[[stop]]\nplace = "Feed"\nminutes = 5\n[[stop]]\nat_km = 4\nminutes = 2.5\n'
    )
    assert plan.stops == (Stop(place="Feed", minutes=5.0), Stop(at_km=4.0, minutes=2.5))
    stops = [(p.name, round(p.distance_m, -1), p.stop_s) for p in plan.load_course().places]
    assert stops == [("Feed", 2210.0, 300.0), ("stop", 4000.0, 150.0)]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[effort]\nkind = "hard"\n', r"effort\.kind is 'hard'; allowed are 'fixed', 'for the"),
        ("[effort]\nheld_percent = 120\n", r"effort\.held_percent is 120; allowed is 20 to 100"),
        ("[effort]\nwork_loss_percent = 40\n", r"work_loss_percent is 40; allowed is 0 to 30"),
        ("[effort]\nduration = 3\n", r"effort\.duration = 3 is no key"),
        ("[[stop]]\nat_km = 3\n", r"stop 1: minutes is missing; allowed is a plain number"),
        ("[[stop]]\nminutes = 3\n", r"stop: give either at_km or place"),
        ("[[stop]]\nat_km = 3\nminutes = 0\n", r"stop at km 3: minutes is 0; allowed is above 0"),
    ],
)
def test_what_is_no_effort_or_stop_is_refused(tmp_path: Path, text: str, told: str) -> None:
    with pytest.raises(PlanError, match=rf"plan\.toml: .*{told}|plan\.toml: {told}"):
        planned(tmp_path, text)


def test_a_stop_beyond_the_course_names_the_plan(tmp_path: Path) -> None:
    plan = planned(tmp_path, "[[stop]]\nat_km = 99\nminutes = 3\n")
    with pytest.raises(PlanError, match=r"plan\.toml: stop at km 99, .* between start and finish"):
        plan.load_course()
