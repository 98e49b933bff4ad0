import re
from dataclasses import replace

import pytest
from made_comparison import FIVE, TWELVE
from made_squad import READ, sought_of, squad_of

from gearsim.output.squad import sentences
from gearsim.output.squad.offers import own_best
from gearsim.output.squad.text import squad_text
from gearsim.output.squad.verdict import squad_verdict
from gearsim.output.squad.words import break_even_shown, more_minutes
from gearsim.output.words import letter
from gearsim.setup.wishes import Wishes
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
    return text.partition("EACH DRIVETRAIN\n")[2].partition("[ ] ")[0].splitlines()


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


def test_differences_of_time_stand_under_their_unit() -> None:
    text = squad_text(squad_of(5), READ, 80, colour=False)
    heads = text.partition("HAS COST AGAINST THE BEST\n")[2].splitlines()[:3]
    assert heads[1].split()[-6:] == ["target", "lowest", "ing", "later", "power", "needs"]
    assert heads[2].split()[-6:] == ["min", "min", "min", "min", "W", "W"]


# What a search found


@pytest.mark.parametrize("width", [60, 80, 133])
def test_no_line_of_a_search_is_wider_than_the_page(width: int) -> None:
    text = squad_text(sought_of(14), READ, width, colour=False)
    assert max(len(line) for line in text.splitlines()) <= width


def test_search_says_how_few_will_do_and_for_whom() -> None:
    squad = sought_of()
    assert squad.sought is not None
    told = squad_verdict(squad)
    number = len(squad.few)
    assert told.startswith(f"Of {len(squad.sought.tried)} drivetrains, ")
    assert f"{'one kind serves' if number == 1 else 'kinds serve'}" in told
    assert "all 5 nearly as well as each one's best" in told
    text = squad_text(squad, READ, 80, colour=False)
    assert "as good as the best for all 5;" in text.partition("HOW FEW WILL DO")[2]


def test_search_with_too_few_kinds_says_who_is_not_served() -> None:
    squad = sought_of(most_kinds=1)
    left = [each.standing for each in squad.outliers if each.loses]
    assert left
    assert f"one kind serves {5 - len(left)} of 5" in squad_verdict(squad)
    told = squad_text(squad, READ, 80, colour=False).partition("WHO STANDS OUT")[2]
    assert all(f"-  {each.athlete.name}: mismatch" in told for each in left)


def test_own_best_is_told_with_what_it_takes() -> None:
    squad = sought_of()
    for each in squad.standings:
        told = own_best(squad, each)
        assert each.fitting is not None
        best = each.fitting.best
        if each.athlete.drivetrain is None:
            assert "new part" not in told
        elif best.prospect is None:
            assert told.startswith("what they have")
        else:
            number = len(best.to_buy)
            assert f"{number} new part{'' if number == 1 else 's'}" in told


def test_what_is_not_for_an_athlete_stands_in_parentheses_and_is_explained() -> None:
    squad = sought_of(wishes=Wishes(keep_cassette=True))
    assert any(each.closed for each in squad.standings)
    text = squad_text(squad, READ, 80, colour=False)
    rows = [line for line in matrix(text) if " athlete " in line]
    for row, each in zip(rows[1:], squad.standings, strict=True):
        assert row.count("(") == len(each.closed)
    assert "( ): cannot be fitted for the athlete as wished" in text
    assert "( )" not in squad_text(squad_of(), READ, 80, colour=False)


def test_many_who_stand_out_are_told_the_worst_first(monkeypatch: pytest.MonkeyPatch) -> None:
    squad = sought_of(14, most_kinds=1)
    lost = {
        each.standing.athlete.name: each.standing.scores[each.on].mismatch
        - each.standing.least_mismatch
        for each in squad.outliers
    }
    assert len(set(lost.values())) > 1
    monkeypatch.setattr(sentences, "MOST_OUTLIERS", 1)
    for order in (1, -1):
        ordered = replace(squad, standings=squad.standings[::order])
        first, more = sentences.outliers_told(ordered)
        assert lost[first.partition(":")[0]] == max(lost.values())
        assert more == f"{len(lost) - 1} more lose less; squad.csv has all."
