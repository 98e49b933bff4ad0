"""`--report`: a report to read and places for a head unit, beside the other results."""

from pathlib import Path

from conftest import Run
from lxml import html

REPORT = {"report.html", "places-one-ring.gpx", "places-two-rings.gpx"}


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_report_and_places_are_written_only_when_asked_for(run: Run, plan: Path) -> None:
    assert run("compare", plan)[0] == 0
    folder = plan.with_name("plan-results")
    before = names(folder)
    assert not before & REPORT
    assert run("compare", plan, "--report")[0] == 0
    assert names(folder) == before
    assert names(plan.with_name("plan-results-2")) == before | REPORT


def test_same_report_again_changes_nothing(run: Run, plan: Path) -> None:
    run("compare", plan, "--report")
    code, out, _ = run("compare", plan, "--report")
    assert code == 0
    assert out.endswith("plan-results, the same as before.\n")


def test_report_names_the_file_with_each_candidates_places(run: Run, plan: Path) -> None:
    run("compare", plan, "--report")
    page = html.parse(plan.with_name("plan-results") / "report.html").getroot()
    said = page.text_content()
    assert all(name in said for name in REPORT - {"report.html"})


def test_fit_findings_are_in_the_report_once_the_frame_is_told(run: Run, plan: Path) -> None:
    run("compare", plan, "--report", "--out", plan.with_name("untold"))
    assert "What fits" not in (plan.with_name("untold") / "report.html").read_text()
    text = plan.read_text()
    assert "[frame]" in text
    plan.write_text(text.replace("[frame]\n", "[frame]\nlargest_ring_alone = 30\n", 1))
    code, _, err = run("compare", plan, "--report", "--out", plan.with_name("told"))
    assert (code, err) == (0, "")
    assert "What fits" in (plan.with_name("told") / "report.html").read_text()


def test_unknown_part_is_told_with_the_plan(run: Run, plan: Path) -> None:
    text = plan.read_text().replace("[frame]\n", "[frame]\nlargest_ring_alone = 50\n", 1)
    plan.write_text(text.replace("[[drivetrain]]\n", '[[drivetrain]]\nrear_mech = "none"\n', 1))
    code, out, err = run("compare", plan, "--report")
    assert (code, out) == (2, "")
    assert err.startswith(f"gearsim: {plan}: ")
    assert "Traceback" not in err
