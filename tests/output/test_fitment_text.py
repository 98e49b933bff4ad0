import json

import pytest
from made_parts import BIKE, ELEVEN_34, FRAME, PARTS, UNTOLD

from gearsim.output.fitment_text import (
    COLUMNS,
    FIT_CAUTIONS,
    fitment_records,
    fitment_table,
    fitment_text,
)
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fitment import Fit, fits_of
from gearsim.setup.frame import Frame

TOLD = Drivetrain(
    name="told",
    chainrings=(42,),
    sprockets=ELEVEN_34,
    rear_mech="rear mech",
    driver_body="splined, long",
)
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
    assert max(len(line) for line in text.splitlines()) <= max(width, 80)
    assert "\x1b" not in text


def test_verdicts_are_words_and_colour_only_comes_on_top() -> None:
    plain = fitment_text(fits(), BIKE, 80, colour=False)
    for word in ("does not fit", "caution", "ok"):
        assert f"\n{word} " in plain
    assert "\x1b[" in fitment_text(fits(), BIKE, 80, colour=True)


def test_what_does_not_fit_comes_first_and_is_answered_first() -> None:
    text = fitment_text(fits(), BIKE, 80, colour=False)
    assert "bad [31m name does not fit as told" in text
    part = text[text.index("2  BAD") : text.index("3  HUB")]
    assert part.index("\ndoes not fit") < part.index("\ncaution") < part.index("\nok")


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
