import re
from dataclasses import replace

import pytest
from made_comparison import FIVE, HOSTILE, HUB, LOW, TOO_FEW, TWELVE, ridden, with_seconds
from rich.cells import cell_len

from gearsim.output.comparison.text import comparison_text
from gearsim.ride.states import State
from gearsim.setup.fit.fitment import Fit
from gearsim.studies.compare import Comparison, with_fits


@pytest.mark.parametrize("drivetrains", [(LOW,), FIVE, TWELVE], ids=["one", "five", "twelve"])
@pytest.mark.parametrize("width", [60, 80, 100, 200])
def test_no_line_is_wider_than_the_terminal(drivetrains: tuple, width: int) -> None:
    text = comparison_text(ridden(drivetrains), width, colour=False)
    assert max(cell_len(line) for line in text.split("\n")) <= width


def test_columns_are_never_cut_at_80() -> None:
    text = comparison_text(ridden(TWELVE, 40.0), 80, colour=False)
    heads = text.split("WHAT ELSE DECIDES\n")[1].split("───")[0]
    assert "km/h" in heads
    assert "adds" in heads
    assert heads.rstrip().endswith("kg")


def test_without_colour_there_are_no_escape_codes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    assert "\x1b" not in comparison_text(ridden(TWELVE), 80, colour=False)


def test_colour_changes_no_word(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    plain = comparison_text(ridden(FIVE), 80, colour=False)
    coloured = comparison_text(ridden(FIVE), 80, colour=True)
    assert "\x1b[1" in coloured
    assert _without_codes(coloured) == plain


def _without_codes(text: str) -> str:
    parts = text.split("\x1b[")
    bare = parts[0] + "".join(part.split("m", 1)[1] for part in parts[1:])
    return "\n".join(line.rstrip() for line in bare.split("\n"))


def test_a_time_that_is_not_zero_is_never_printed_as_zero() -> None:
    five = with_seconds(ridden(FIVE, 40.0), 0, walking=4.0, spun_out=0.0)
    row = next(
        line
        for line in comparison_text(five, 120, colour=False).split("\n")
        if line.startswith("1  ")
    )
    walking, spun_out, _coasting = row.split()[-3:]
    assert (walking, spun_out) == ("<1", "0")


def test_every_candidate_is_named_whole_with_its_worst_place() -> None:
    five = ridden(FIVE)
    text = comparison_text(five, 80, colour=False)
    places = text.split("WORST PLACES")[1]
    for candidate in five.candidates:
        assert candidate.name in places
        assert candidate.ride.drivetrain.label in text
    assert "at 50 rpm" in places


def test_what_does_not_fit_is_marked_with_its_reason() -> None:
    checked = with_fits(ridden(FIVE), [Fit(drivetrain=LOW, findings=(TOO_FEW,))])
    lines = comparison_text(checked, 80, colour=False).split("\n")
    marked = [line for line in lines if re.match(r"\d \* ", line)]
    assert len(marked) == 1
    assert "* low " in marked[0]
    rank = marked[0].split()[0]
    assert f"{rank}  sprockets: 9, not as many as the shifter indexes (12)" in lines
    assert "* does not fit as told" not in comparison_text(ridden(FIVE), 80, colour=False)


def test_time_is_called_riding_time_where_no_stop_is_told() -> None:
    five = ridden(FIVE)
    assert re.search(r"riding\b.*\n.*\btime\b", comparison_text(five, 80, colour=False))
    first = five.candidates[0]
    stopped = replace(first, score=replace(first.score, stopped_s=600.0))
    told = comparison_text(Comparison(candidates=(stopped,)), 80, colour=False)
    assert "finish" in told
    assert "riding" not in told.split("on target")[0].split("MINUTES")[1].split("───")[0]


def test_mass_is_told_to_ten_grams() -> None:
    text = comparison_text(ridden((HUB,)), 80, colour=False)
    assert text.split("WHAT ELSE DECIDES")[1].split("Sprockets")[0].rstrip().endswith(" 1.40")


def test_sprockets_passed_are_told_for_each_by_its_rank() -> None:
    text = " ".join(comparison_text(ridden(FIVE), 80, colour=False).split())
    for rank, each in enumerate(ridden(FIVE).candidates, start=1):
        score = each.score
        passed = score.rear_clicks * 3600.0 / sum(score.seconds.values())
        assert f"{passed:.0f} (#{rank})" in text


def test_no_cause_of_a_cadence_off_the_band_is_told_that_there_was_not() -> None:
    five = with_seconds(ridden(FIVE), 0, under_band=20.0, over_band=0.0)
    first, *others = five.candidates
    score = replace(first.score, end_of_range_s=0.0, between_gears_s=20.0)
    text = comparison_text(
        Comparison(candidates=(replace(first, score=score), *others)), 80, colour=False
    )
    assert "Under or over the band: <1 min between gears." in text


def test_cautions_stand_under_the_result() -> None:
    cautions = comparison_text(ridden((LOW,)), 80, colour=False).split("CAUTIONS")[1]
    for words in ("Millet et al. 2014", "-0.95 %", "qualified mechanic", "not advice"):
        assert words in " ".join(cautions.split())


def test_a_ride_that_did_not_settle_is_reported() -> None:
    first, *others = ridden(FIVE).candidates
    for settled in (True, False):
        ride = replace(first.ride, settled=settled)
        candidates = (replace(first, ride=ride), *others)
        text = comparison_text(Comparison(candidates=candidates), 80, colour=False)
        assert (f"not quite settled for {first.name}" in " ".join(text.split())) != settled


def test_a_hostile_name_stays_on_its_line_as_it_is() -> None:
    text = comparison_text(ridden(TWELVE), 300, colour=False)
    assert HOSTILE[1] in text
    assert "escape [31mred [0m two lines" in text
    assert "\x07" not in text


def test_short_rides_are_told_in_tenths_of_a_minute() -> None:
    one = ridden((LOW,))
    assert one.candidates[0].score.finish_s < 3600.0
    target = one.candidates[0].score.seconds[State.ON_TARGET] / 60.0
    assert f" {target:.1f} " in comparison_text(one, 80, colour=False)
