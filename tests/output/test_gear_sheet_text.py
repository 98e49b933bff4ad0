import pytest
from made_comparison import FIVE, FIXED, HOSTILE, HUB, LOW, SINGLE, TWELVE
from made_gear_sheets import EXTREME, SETS, TRIPLE, sheets
from rich.cells import cell_len

from gearsim.output.gear_sheet.text import gear_sheet_text
from gearsim.setup.drivetrain import Drivetrain


def told(*drivetrains: object, width: int = 80) -> str:
    return gear_sheet_text(sheets(drivetrains), width, colour=False)  # type: ignore[arg-type]


APART = Drivetrain(chainrings=(60, 20), sprockets=(11, 12, 13))


@pytest.mark.parametrize("drivetrains", SETS.values(), ids=SETS)
@pytest.mark.parametrize("width", [60, 80, 100, 200])
def test_no_line_is_wider_than_the_terminal(drivetrains: tuple, width: int) -> None:
    assert max(cell_len(line) for line in told(*drivetrains, width=width).split("\n")) <= width


@pytest.mark.parametrize("drivetrain", [SINGLE, LOW, TRIPLE, HUB, FIXED, EXTREME])
def test_nothing_is_cut_at_80(drivetrain: object) -> None:
    assert "…" not in told(drivetrain)


def test_a_wider_terminal_has_whole_names() -> None:
    table = told(*TWELVE, width=200).split("SIDE BY SIDE")[1].split("TO READ")[0]
    rows = table.splitlines()
    first = next(n for n, row in enumerate(rows) if "a very long name" in row)
    told_name = f"{rows[first][4:53].strip()} {rows[first + 1].strip()}"
    assert told_name == HOSTILE[4]


def test_without_colour_there_are_no_escape_codes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    assert "\x1b" not in told(*TWELVE)
    assert "\x1b[1" in gear_sheet_text(sheets(), 80, colour=True)


def test_every_gear_has_its_row() -> None:
    text = told(LOW)
    table = text.split("46-30 × 11-34 (9)")[1].split("Inside the")[0]
    for ring in (46, 30):
        for sprocket in LOW.sprockets:
            assert table.count(f" {ring}×{sprocket} ") == 1


def test_a_row_tells_ratio_development_inches_speeds_and_step() -> None:
    # 40-622 (computed): 40/11 8.0196 m, 100.50 in; at 50, 75, 85, 95 and 115 rpm 24.06, 36.09,
    # 40.90, 45.71 and 55.34 km/h; step to the 13 is 13/11.
    row = next(line for line in told(SINGLE).split("\n") if "40×11" in line)
    assert " ".join(row.split()) == "1 40×11 3.64 8.02 100.5 24.1 36.1 40.9 45.7 55.3 18.2"


def test_overlap_and_shifts_are_told_for_rings_and_not_for_a_hub() -> None:
    assert "Inside the 30's range" in told(LOW)
    assert "Front shifts for all" in " ".join(told(LOW).split())
    assert told(TRIPLE).count("Inside the") == 2
    assert "Inside the" not in told(HUB)
    assert "Front shifts" not in told(SINGLE)


def test_rings_that_do_not_overlap_are_told_so() -> None:
    assert "do not overlap" not in told(LOW)
    assert "Rings 60 and 20 do not overlap." in told(APART)


def test_the_best_of_several_is_named_and_ties_name_all() -> None:
    text = " ".join(told(*FIVE).split())
    assert "Widest range (525 %): “hub”" in text
    assert "widest" not in told(LOW).lower()


def test_what_nobody_gave_is_told() -> None:
    text = gear_sheet_text(sheets(), 80, False, "Assumed, since not given: tyre 40 mm.")
    assert "Assumed, since not given: tyre 40 mm." in text


def test_hostile_names_stay_on_their_line() -> None:
    text = told(*TWELVE, width=300)
    assert HOSTILE[1] in text
    assert "\x07" not in text
