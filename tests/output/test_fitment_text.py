import json
from dataclasses import replace

import pytest
from made_parts import BIKE, ELEVEN_34, FRAME, PARTS, UNTOLD

from gearsim.output.fit.text import (
    COLUMNS,
    FIT_CAUTIONS,
    fitment_records,
    fitment_table,
    fitment_text,
)
from gearsim.output.fit.waiting import answered, waiting_of
from gearsim.output.page import NARROWEST
from gearsim.output.report.fit import fit_tables
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.finding import VERDICTS, Verdict
from gearsim.setup.fit.fitment import Fit, fits_of
from gearsim.setup.frame import Frame

TOLD = Drivetrain(
    name="told",
    chainrings=(42,),
    sprockets=ELEVEN_34,
    rear_mech="rear mech",
    driver_body="splined, long",
)
SPARE_CLICK = replace(FRAME, shifter_chainrings=3)  # a caution of two rings
DRIVETRAINS = (
    TOLD,
    Drivetrain(name="bad\x1b[31m\nname", chainrings=(54, 30), sprockets=(10, 20, 50)),
    Drivetrain(name="hub", ratios=(1.0, 2.0)),
)


def fits(frame: Frame = FRAME) -> tuple[Fit, ...]:
    return fits_of(DRIVETRAINS, PARTS, BIKE, frame)


@pytest.mark.parametrize("width", [40, 80, 132])
@pytest.mark.parametrize("frame", [FRAME, UNTOLD])
def test_no_line_is_wider_than_the_page_and_none_has_escape_codes(width: int, frame: Frame) -> None:
    text = fitment_text(fits(frame), BIKE, width, colour=False)
    assert max(len(line) for line in text.splitlines()) <= max(width, NARROWEST)
    assert "\x1b" not in text


@pytest.mark.parametrize("width", [60, 79, 80])
def test_every_finding_is_told_whole_however_narrow(width: int) -> None:
    text = " ".join(fitment_text(fits(), BIKE, width, colour=False).split())
    if width < 80:
        for fit in fits():
            assert all(" ".join(each.reason.split()) in text for each in answered(fit))
    assert "…" not in text


def test_verdicts_are_words_and_colour_only_comes_on_top() -> None:
    plain = fitment_text(fits(SPARE_CLICK), BIKE, 80, colour=False)
    for word in ("does not fit", "caution", "ok"):
        assert f"\n{word} " in plain
    assert "\x1b[" in fitment_text(fits(), BIKE, 80, colour=True)


def test_what_does_not_fit_comes_first_and_is_answered_first() -> None:
    text = fitment_text(fits(SPARE_CLICK), BIKE, 80, colour=False)
    assert "“bad [31m name” does not fit as told" in text
    first = " ".join(text[: text.index("FINDINGS IN ALL")].split())
    assert "2 “bad [31m name”: largest ring: 54 teeth, larger than clears the frame (48)" in first
    part = text[text.index("2  BAD") : text.index("3  HUB")]
    places = ["\ndoes not fit", "\ncaution", "\nok", "\n-  No rear mech told"]
    assert [part.index(place) for place in places] == sorted(map(part.index, places))


def test_makers_and_a_mechanic_stand_under_every_page() -> None:
    text = " ".join(fitment_text(fits(), BIKE, 80, colour=False).split())
    assert all(caution in text for caution in FIT_CAUTIONS)
    assert "makers" in FIT_CAUTIONS[0]
    assert "qualified mechanic" in FIT_CAUTIONS[0]


def test_nothing_against_fitting_is_said_as_such() -> None:
    text = fitment_text(fits()[:1], BIKE, 80, colour=False)
    assert "Nothing told speaks against fitting, but see the cautions." in text
    no_caution = tuple(each for each in fits()[0].findings if each.verdict == "ok")
    only_ok = Fit(drivetrain=TOLD, findings=no_caution)
    text = fitment_text([only_ok], BIKE, 80, colour=False)
    assert "Nothing told speaks against fitting.\n" in text
    assert "does not tell" not in text


def test_checks_that_wait_for_the_same_are_told_in_one_line() -> None:
    untold = Drivetrain(name="untold", chainrings=(42,), sprockets=ELEVEN_34)
    (fit,) = fits_of([untold], PARTS, BIKE, UNTOLD)
    text = " ".join(fitment_text([fit], BIKE, 80, colour=False).split())
    assert (
        "- No rear mech told: 8 checks wait for it: smallest sprocket 11 teeth, largest sprocket "
        "34 teeth, total capacity 23 teeth, sprockets 11, chainrings 1, chain length 112 links, "
        "one chain for all gears, chain on one ring. From the parts list would do"
    ) in text
    assert (
        "- Not told under [frame]: 4 checks wait for it: largest ring 42 teeth "
        "(largest_ring_alone), tyre 40 mm (largest_tyre_mm), driver body (driver_body), "
        "sprockets 11 (shifter_sprockets)."
    ) in text
    assert "13 checks wait for what the plan does not tell" in text


@pytest.mark.parametrize("frame", [FRAME, UNTOLD])
def test_every_finding_is_told_or_waits(frame: Frame) -> None:
    for fit in fits(frame):
        waiting = waiting_of(fit)
        would_do = sum(each.would_do != "" for each in waiting)
        folded = sum(len(each.checks) for each in waiting)
        assert len(answered(fit)) + folded + would_do == len(fit.findings)
        assert all(each.verdict is Verdict.CAUTION for w in waiting for each in w.checks)


def test_what_is_told_of_a_part_that_falls_short_does_not_wait() -> None:
    (fit,) = fits_of(
        [Drivetrain(name="wide", chainrings=(42,), sprockets=(11, 20, 50), rear_mech="rear mech")],
        PARTS,
        BIKE,
        FRAME,
    )
    assert [each.on for each in waiting_of(fit)] == ["chainset"]
    assert "chain length" in {each.subject for each in answered(fit)}


def test_report_folds_what_waits_as_the_text_does() -> None:
    tables = fit_tables(fits(UNTOLD))
    for fit, table in zip(fits(UNTOLD), tables, strict=True):
        titles = [row.title for row in table.rows]
        heads = [each.head for each in waiting_of(fit)]
        assert titles == [*titles[: len(answered(fit))], *heads]
        verdicts = [row.cells[0] for row in table.rows[: len(answered(fit))]]
        assert verdicts == sorted(verdicts, key=VERDICTS[::-1].index)


def test_table_has_a_row_for_every_finding() -> None:
    table = fitment_table(fits())
    assert tuple(table.columns) == COLUMNS
    assert len(table) == sum(len(fit.findings) for fit in fits())
    assert set(table["verdict"]) == {"ok", "caution", "does not fit"}


def test_records_are_plain_and_tell_what_the_text_tells() -> None:
    records = json.loads(json.dumps(fitment_records(fits()), allow_nan=False))
    assert [each["verdict"] for each in records["drivetrains"]] == [
        "caution",
        "does not fit",
        "caution",
    ]
    (length,) = (
        each for each in records["drivetrains"][0]["findings"] if each["checked"] == "chain length"
    )
    assert (length["number"], length["limit"], length["unit"]) == (112, None, "links")
