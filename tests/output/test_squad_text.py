import re
from dataclasses import replace

import pytest
from made_comparison import FIVE, TWELVE
from made_squad import READ, squad_of

from gearsim.output.squad.text import squad_text
from gearsim.output.squad.words import break_even_shown, letter, more_minutes, squad_verdict
from gearsim.studies.break_even import BreakEven


@pytest.mark.parametrize("width", [40, 80, 100, 133, 200])
@pytest.mark.parametrize("hostile", [False, True])
def test_no_line_is_wider_than_the_page(width: int, hostile: bool) -> None:
    drivetrains = TWELVE if hostile else FIVE
    text = squad_text(squad_of(9, drivetrains, hostile), READ, width, colour=False)
    assert max(len(line) for line in text.splitlines()) <= max(width, 80)
    assert "\x1b" not in text
    assert "\u202e" not in text


def matrix(text: str) -> list[str]:
    return (
        text.partition("EACH DRIVETRAIN\n")[2].partition("[ ] the athlete's best")[0].splitlines()
    )


def test_every_athlete_has_one_best_and_what_they_have_is_marked() -> None:
    squad = squad_of(5)
    rows = [
        line for line in matrix(squad_text(squad, READ, 80, colour=False)) if " athlete " in line
    ]
    for row, each in zip(rows[1:], squad.standings, strict=True):
        assert row.count("[") == 1
        assert row.count("<") == (0 if each.has is None else 1)
        assert f"[{each.scores[each.best].mismatch:.1f}]" in row


def test_many_drivetrains_go_on_in_a_second_table() -> None:
    squad = squad_of(3, TWELVE)
    lines = matrix(squad_text(squad, READ, 80, colour=False))
    assert sum(" athlete  " in line and "A" in line for line in lines) == 1
    letters = re.findall(r"\b[A-Z]\b", "\n".join(line for line in lines if "# athlete" in line))
    assert letters == [letter(place) for place in range(12)]
    assert sum("all together" in line for line in lines) == 2


def test_wide_page_names_the_drivetrains_over_the_numbers() -> None:
    squad = squad_of(5)
    heads = "\n".join(matrix(squad_text(squad, READ, 160, colour=False))[:4])
    assert all(drivetrain.name in heads for drivetrain in squad.drivetrains)


def test_assumed_values_are_starred() -> None:
    text = squad_text(squad_of(5), READ, 80, colour=False).partition("WHERE ASSUMED")[2]
    assert "*75 " in text  # mass
    assert "*75-95" in text  # band
    assert "*50-115" not in text  # limits


def test_faults_and_guesses_stand_in_the_text() -> None:
    read = replace(READ, faults=("athletes.csv: line 3: wrong",), guesses=("taken so",))
    squad = replace(squad_of(5), left_out=("Ben: cannot be computed",), unsettled=2)
    text = squad_text(squad, read, 80, colour=False)
    assert "LEFT OUT\n-  athletes.csv: line 3: wrong\n-  Ben: cannot be computed\n" in text
    assert "TAKEN TO BE SO\n-  taken so\n" in text
    assert "had not quite settled in 2 rides" in text
    plain = squad_text(squad_of(5), READ, 80, colour=False)
    assert "LEFT OUT" not in plain
    assert "TAKEN" not in plain
    assert "settled" not in plain


def test_verdict_of_one_drivetrain_chooses_nothing() -> None:
    told = squad_verdict(squad_of(2, FIVE[:1]))
    assert "is the only drivetrain: nothing to choose." in told


def test_verdict_names_the_choice_and_for_how_many_it_is_good() -> None:
    squad = squad_of(5)
    suited = sum(each.will_do(0) for each in squad.standings)
    whom = "all 5" if suited == 5 else f"{suited} of 5"
    told = squad_verdict(squad)
    assert told.startswith(f"One for all: “{squad.choice.name}” (mismatch {squad.together[0]:.1f}")
    assert f"the best or as good for {whom};" in told


def test_power_outside_the_search_is_told_as_a_bound() -> None:
    inside = BreakEven(own_w=201.0, holds_now=True, searched_w=(100.5, 402.0), power_w=183.4)
    assert break_even_shown(inside) == "183"
    assert break_even_shown(replace(inside, power_w=None)) == "<101"
    assert break_even_shown(replace(inside, power_w=None, holds_now=False)) == ">402"
    assert break_even_shown(None) == "-"


def test_differences_have_signs_and_only_none_is_0() -> None:
    told = [more_minutes(seconds, 0) for seconds in (0.0, 20.0, -20.0, 125.0, -3600.0)]
    assert told == ["0", "+<1", "-<1", "+2", "-60"]


def test_letters_go_on_after_z() -> None:
    assert [letter(place) for place in (0, 25, 26, 51, 52, 701, 702)] == [
        *("A", "Z", "AA", "AZ", "BA", "ZZ", "AAA")
    ]
