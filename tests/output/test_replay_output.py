"""A replay in words and tables: which gears were ridden, and predicted beside recorded."""

import re

import pytest
from made_recordings import (
    loop,
    recorded,
    ride_of,
    without_cadence,
    without_power,
)
from made_rides import DOUBLE

from gearsim.course.recorded.recording import Recording
from gearsim.output.replay.tables import replay_records, replay_table, use_table
from gearsim.output.replay.text import replay_text
from gearsim.setup.parts.kinds import Cassette, Chainset
from gearsim.setup.rider import Rider
from gearsim.studies.learn.learn import Given, Learnt, learn
from gearsim.studies.replay.replay import Replay, replay

TOLD = Given(rider_mass_kg=75.0, bike_mass_kg=10.0, surface_told=True)
CHAINSET = Chainset(name="own", chainrings=DOUBLE.chainrings, chain_sprockets=(9, 13), mass_g=700.0)
CASSETTE = Cassette(
    name="own", sprockets=DOUBLE.sprockets, driver_body="splined, long", mass_g=300.0
)
RIDER = Rider(power_w=200.0)


@pytest.fixture(scope="module")
def learnt() -> Learnt:
    ride = ride_of(RIDER, course=loop(30_000.0))
    return learn([recorded(ride)], TOLD, (CHAINSET,), (CASSETTE,))


@pytest.fixture(scope="module")
def recording() -> Recording:
    return recorded(ride_of(RIDER, course=loop(12_000.0, turns=-1.0)), 1)


@pytest.fixture(scope="module")
def geared(learnt: Learnt, recording: Recording) -> Replay:
    return replay(recording, learnt)


@pytest.fixture(scope="module")
def gearless(recording: Recording) -> Replay:
    """Taught by a ride without cadence: no gears."""
    ride = ride_of(RIDER, course=loop(30_000.0))
    return replay(recording, learn([without_cadence(recorded(ride))], TOLD))


def flat(found: Replay) -> str:
    return " ".join(replay_text((found,), 80, colour=False).split())


def test_gears_that_were_ridden_are_told_with_where_they_are_from(geared: Replay) -> None:
    assert "Ridden on 46/30 with 11 to 34, of the parts list the likeliest" in flat(geared)


def test_cadence_gears_and_work_are_told_for_both_predictions(geared: Replay) -> None:
    text = flat(geared)
    for start in ("Cadence while pedalling", "Gear use", "Work at the cranks"):
        (sentence,) = re.findall(rf"{start}[^.]*\.", text)
        assert "by learnt pace" in sentence
        assert "by recorded power" in sentence


def test_stand_in_gears_are_called_that_and_nothing_is_compared(gearless: Replay) -> None:
    text = flat(gearless)
    assert "Ridden on stand-in gears, 46/30 with 11 to 34" in text
    assert "rpm recorded; not compared, since no gears were found." in text
    assert "Gear use: not compared" in text
    assert use_table((gearless,)).empty


def test_ride_without_power_or_cadence_says_so(learnt: Learnt, recording: Recording) -> None:
    text = flat(replay(without_cadence(without_power(recording)), learnt))
    assert "kJ by learnt pace, none recorded" in text
    assert "rpm by learnt pace, none recorded" in text


def test_shares_by_cadence_and_by_gear_add_up_to_the_whole(geared: Replay) -> None:
    sums = use_table((geared,)).groupby("by").sum(numeric_only=True)
    for column in ("recorded", "by_learnt_pace", "by_recorded_power"):
        assert sums[f"{column}_percent"].to_numpy() == pytest.approx(100.0)


def test_speeds_of_the_table_are_length_over_time(geared: Replay) -> None:
    table = replay_table((geared,))
    whole = table[table["grade"] == "all"].iloc[0]
    for way in ("recorded", "by_learnt_pace", "by_recorded_power"):
        expected = 3600.0 * whole["length_km"] / whole[f"{way}_s"]
        assert whole[f"{way}_kmh"] == pytest.approx(expected)


def test_records_tell_whether_gears_were_found(geared: Replay, gearless: Replay) -> None:
    one, other = (replay_records((found,))["replays"][0] for found in (geared, gearless))
    assert (one["gears_found"], other["gears_found"]) == (True, False)
    assert one["gears_in_common_by_recorded_power"] > 0.5
    assert other["gears_in_common_by_recorded_power"] is None
    assert other["cadence_in_common_by_learnt_pace"] is None
