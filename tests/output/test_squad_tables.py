import json
from dataclasses import replace

import pandas as pd
import pytest
from made_comparison import TWELVE
from made_squad import READ, sought_of, squad_of

from gearsim.output.squad.tables import builds_table, matrix_table, squad_records, squad_table
from gearsim.ride.states import State


def test_one_row_an_athlete_in_the_lists_order() -> None:
    squad = squad_of(5)
    table = squad_table(squad)
    assert list(table["name"]) == [f"athlete {n}" for n in range(5)]
    for (_, row), each in zip(table.iterrows(), squad.standings, strict=True):
        assert row["best"] == squad.drivetrains[each.best].name
        assert row["costs_mismatch"] == (
            pytest.approx(each.cost.mismatch) if each.cost else pytest.approx(None, nan_ok=True)
        ) or pd.isna(row["costs_mismatch"])
        assert row["assumed"] == "mass_kg band_low_rpm"


def test_matrix_has_a_column_for_each_drivetrain_whatever_its_name() -> None:
    squad = squad_of(3, (*TWELVE[:3], replace(TWELVE[3], name="name")))
    table = matrix_table(squad)
    assert list(table.columns) == ["name", *(gears.name for gears in squad.drivetrains)]
    assert table.iloc[1, 2] == squad.standings[1].scores[1].mismatch


def test_records_are_plain_and_complete() -> None:
    squad = replace(squad_of(5), left_out=("Ben: no",))
    read = replace(READ, faults=("line 3: wrong",), guesses=("so",))
    found = json.loads(json.dumps(squad_records(squad, read), allow_nan=False))
    assert found["left_out"] == ["line 3: wrong", "Ben: no"]
    assert found["guesses"] == ["so"]
    assert len(found["athletes"]) == 5
    rides = found["athletes"][0]["rides"]
    score = squad.standings[0].scores[0]
    assert rides[0]["drivetrain"] == squad.choice.name
    assert rides[0]["walking_min"] == pytest.approx(score.seconds[State.WALKING] / 60.0)
    minutes = [rides[0][f"{state.replace(' ', '_')}_min"] for state in State]
    assert sum(minutes) == pytest.approx(rides[0]["finish_min"])
    best_for = [name for group in found["shared"] for name in group["best_for"]]
    assert sorted(best_for) == sorted(athlete["name"] for athlete in found["athletes"])


def test_search_has_a_row_for_every_drivetrain_that_was_ridden() -> None:
    squad = sought_of()
    assert squad.sought is not None
    table = builds_table(squad.sought)
    assert table["name"].is_unique
    assert set(table[table["told"]]["name"]) == {gears.name for gears in squad.drivetrains}
    assert (table["best_for"] <= table["open_to"]).all()


def test_search_tells_of_each_athlete_what_to_buy() -> None:
    squad = sought_of()
    for (_, row), each in zip(squad_table(squad).iterrows(), squad.standings, strict=True):
        assert each.fitting is not None
        assert row["own_best"] == each.fitting.best.name
        assert row["own_best_to_buy"] == "; ".join(each.fitting.best.to_buy)
        assert row["simplest_mismatch"] == each.fitting.simplest.score.mismatch
        assert row["may_stay"] == each.may_stay
    assert "own_best" not in squad_table(squad_of())


def test_records_of_a_search_are_plain_and_tell_what_it_was_among() -> None:
    found = json.loads(json.dumps(squad_records(sought_of(), READ), allow_nan=False))
    assert found["sought"]["wishes"]["smallest_tyre_mm"] == 42.0
    assert len(found["sought"]["drivetrains_ridden"]) > 10
    assert found["few"][-1]["as_good_for"] == 5
    assert found["athletes"][1]["has"] == "old road bike"
    assert "sought" not in squad_records(squad_of(), READ)
