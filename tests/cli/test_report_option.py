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


def test_where_nothing_is_hard_no_places_are_written_and_the_page_says_so(
    run: Run, plan: Path, flat_gpx: str
) -> None:
    (route,) = plan.parent.glob("*.gpx")
    route.write_text(flat_gpx)
    assert run("compare", plan, "--report")[0] == 0
    folder = plan.with_name("plan-results")
    assert not [name for name in names(folder) if name.startswith("places-")]
    said = html.parse(folder / "report.html").getroot().text_content()
    assert "no file of places for a head unit" in said
    assert "For a head unit:" not in said


def test_fit_findings_are_in_the_report_once_the_frame_is_told(run: Run, plan: Path) -> None:
    run("compare", plan, "--report", "--out", plan.with_name("untold"))
    assert "What fits" not in (plan.with_name("untold") / "report.html").read_text()
    text = plan.read_text()
    assert "[frame]" in text
    plan.write_text(text.replace("[frame]\n", "[frame]\nlargest_ring_alone = 30\n", 1))
    code, _, err = run("compare", plan, "--report", "--out", plan.with_name("told"))
    assert (code, err) == (0, "")
    assert "What fits" in (plan.with_name("told") / "report.html").read_text()


def test_what_does_not_fit_is_said_first_in_every_result(run: Run, plan: Path) -> None:
    text = plan.read_text().replace("[frame]\n", "[frame]\nlargest_ring_alone = 30\n", 1)
    plan.write_text(text)
    out = plan.with_name("told")
    code, said, _ = run("compare", plan, "--report", "--out", out)
    assert code == 0
    assert "does not fit as told" in " ".join(said.split("MINUTES")[0].split())
    assert "larger than clears the frame (30)" in (out / "comparison.csv").read_text()
    header = html.parse(out / "report.html").getroot().find("body/header").text_content()
    assert "does not fit as told" in header


def test_days_have_a_part_of_the_report(run: Run, plan: Path) -> None:
    run("compare", plan, "--report", "--days", "16", "--out", plan.with_name("days"))
    page = html.parse(plan.with_name("days") / "report.html").getroot()
    (part,) = page.xpath("//section[@aria-labelledby='days']")
    captions = [caption.text_content() for caption in part.iter("caption")]
    assert [caption.split()[0] for caption in captions] == ["Mismatch", "Riding", "Chance"]
    drawings = [svg for svg in part.iter("svg") if svg.get("role") == "img"]
    assert len(drawings) == len(part.findall(".//table[1]/tbody"))
    assert all(svg.find("desc").text for svg in drawings)


def test_unknown_part_is_told_with_the_plan(run: Run, plan: Path) -> None:
    text = plan.read_text().replace("[frame]\n", "[frame]\nlargest_ring_alone = 50\n", 1)
    plan.write_text(text.replace("[[drivetrain]]\n", '[[drivetrain]]\nrear_mech = "none"\n', 1))
    code, out, err = run("compare", plan, "--report")
    assert (code, out) == (2, "")
    assert err.startswith(f"gearsim: {plan}: ")
    assert "Traceback" not in err
