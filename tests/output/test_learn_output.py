"""What was learnt, in the plan and on the screen: nothing twice, nothing silently guessed."""

from dataclasses import replace
from tomllib import loads

import pytest
from made_recordings import loop, recorded, ride_of, without_power

from gearsim.course.recorded.recording import Recording
from gearsim.output.learn.plan import learnt_plan
from gearsim.output.learn.text import learnt_text
from gearsim.setup.rider import Rider
from gearsim.studies.learn.learn import Given, Learnt, learn
from gearsim.studies.learn.resistance import Resistance

TOLD = Given(rider_mass_kg=75.0, bike_mass_kg=10.0, surface_told=True)


def called(name: str, seed: int, turns: float) -> Recording:
    ride = ride_of(Rider(power_w=200.0), course=loop(25_000.0, turns))
    return replace(recorded(ride, seed), name="ride", source=f"{name}.gpx")


@pytest.fixture(scope="module")
def learnt() -> Learnt:
    """Two rides that differ in where they turn."""
    return learn([called("sunday", 0, 3.0), called("monday", 1, -2.0)], TOLD)


@pytest.fixture(scope="module")
def doubtful(learnt: Learnt) -> Learnt:
    """The same, with a rolling coefficient that no tarmac has."""
    assert isinstance(learnt.resistance, Resistance)
    rolling = replace(learnt.resistance.rolling_coefficient, value=0.0236)
    found = replace(learnt.resistance, rolling_coefficient=rolling)
    return replace(learnt, resistance=found, given=Given())


def flat(learnt: Learnt) -> str:
    return " ".join(learnt_text(learnt, 80, colour=False).split())


def test_title_names_the_files_where_the_tracks_say_nothing(learnt: Learnt) -> None:
    assert flat(learnt).startswith("Learnt from sunday and monday ")


def test_every_wind_names_its_ride(learnt: Learnt) -> None:
    text = flat(learnt)
    for name in ("sunday", "monday"):
        assert text.count(f"Wind that fits {name} best") == 1


def test_ride_without_power_has_no_wind_and_is_named_as_lacking_it(learnt: Learnt) -> None:
    rides = (learnt.recordings[0], without_power(learnt.recordings[1]))
    text = flat(learn(rides, TOLD))
    assert "Wind that fits monday" not in text
    assert "No power in monday: what needs it is from the others." in text


def test_nothing_that_cannot_be_said_is_said_twice() -> None:
    bare = learn([without_power(called("sunday", 0, 3.0))], TOLD)
    whats = [refusal.what for refusal in bare.refusals]
    assert len(whats) == len(set(whats)) > 1


def test_plausible_values_are_plain_keys(learnt: Learnt) -> None:
    bike = loads(learnt_plan(learnt, "a.gpx"))["bike"]
    assert {"drag_area_m2", "tyre_rolling_factor"} <= bike.keys()


def test_implausible_values_are_comments_with_their_reason(doubtful: Learnt) -> None:
    plan = learnt_plan(doubtful, "a.gpx")
    assert not {"drag_area_m2", "tyre_rolling_factor"} & loads(plan)["bike"].keys()
    (row,) = [line for line in plan.splitlines() if "tyre_rolling_factor =" in line]
    assert row.startswith("# tyre_rolling_factor = 4.72  # left out: ")
    assert "is 4.72 times that of tarmac, 0.5 to 1.6 times is plausible" in plan


def test_screen_says_what_to_tell_where_values_cannot_be(doubtful: Learnt) -> None:
    text = flat(doubtful)
    assert "left out of the plan, as not plausible: tell --rider-mass" in text
    assert "--bike-mass or --surface." in text


def test_power_on_climbs_that_asks_for_another_mass_is_told(learnt: Learnt) -> None:
    light = Given(rider_mass_kg=40.0, bike_mass_kg=10.0)
    text = flat(learn(learnt.recordings, light))
    assert "recorded on climbs only at about" in text
    assert "not at 50 kg: check the masses that you told" in text


def test_plan_with_gears_seen_says_so_in_the_drivetrains_name(learnt: Learnt) -> None:
    (drivetrain,) = loads(learnt_plan(learnt, "a.gpx"))["drivetrain"]
    assert drivetrain["name"] == "only the gears seen"
    assert len(drivetrain["ratios"]) >= 6
