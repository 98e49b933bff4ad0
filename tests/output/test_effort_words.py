"""Which effort was ridden, and where the rider stood, as people read it."""

from dataclasses import replace

from made_parts import FRAME
from made_rides import HILLS, course_of_height, ridden
from made_search import BIKE, NOW, PARTS, RIDER, hills

from gearsim.course.stops import Stop, with_stops
from gearsim.output.effort_words import effort_rule, effort_solved, stops_told
from gearsim.output.one_or_two.words import ridden_by_told as one_or_two_ridden_by
from gearsim.output.ridden_by import ridden_by
from gearsim.output.search.words import ridden_by_told as search_ridden_by
from gearsim.setup.conditions import Conditions
from gearsim.setup.effort import FOR_THE_DURATION, Effort
from gearsim.studies.one_or_two.one_or_two import one_or_two
from gearsim.studies.search.answer import answer_of
from gearsim.studies.search.search import search

ROAD = course_of_height(HILLS, 10_000.0)
LASTS = Effort(kind=FOR_THE_DURATION)


def test_a_fixed_power_without_stops_says_nothing_of_either() -> None:
    ride = ridden(ROAD, power_w=190.0)
    assert effort_solved(ride) == stops_told(ride) == ""
    assert ridden_by(ride).startswith("Rider 75 kg, 190 W; band")
    assert ridden_by(ride).endswith("no wind.")


def test_a_bike_is_told_without_the_drivetrain_that_is_weighed_by_itself() -> None:
    whole = ridden(ROAD, power_w=190.0)
    assert f"Bike {whole.bike.mass_kg:g} kg, tyres" in ridden_by(whole)
    apart = replace(whole, drivetrain=replace(whole.drivetrain, mass_kg=1.6))
    assert f"Bike {whole.bike.mass_kg:g} kg and the drivetrain, tyres" in ridden_by(apart)


def test_a_solved_effort_is_told_with_its_powers_and_time_and_instead_of_the_fixed_one() -> None:
    ride = ridden(ROAD, effort=LASTS, critical_power_w=240.0)
    assert ride.effort is not None
    said = ridden_by(ride)
    assert said.startswith("Rider 75 kg; band")
    assert f"{ride.effort.first_w:.0f} W at first, {ride.effort.last_w:.0f} W at the end" in said
    assert ride.drivetrain.name in said


def test_stops_are_told_with_their_sum_and_each() -> None:
    stops = [Stop(at_km=3.0, minutes=10.0), Stop(at_km=7.5, minutes=5.0)]
    assert stops_told(ridden(with_stops(ROAD, stops))) == (
        "Finish times have 15 min of stops in them: 10 min at km 3.0 (stop) and 5 min at "
        "km 7.5 (stop)."
    )


def test_the_rule_is_told_with_its_numbers() -> None:
    assert effort_rule(Effort()) == "the power held, all day"
    told = effort_rule(Effort(kind=FOR_THE_DURATION, held_share=0.9, work_loss=0.101))
    assert "90 % of what can be held" in told
    assert "hours^-0.15" in told
    assert "10.1 % each 1000 kJ" in told


def test_a_search_and_one_ring_or_two_tell_the_power_that_was_ridden_and_the_stops() -> None:
    road = with_stops(hills(), [Stop(at_km=1.0, minutes=10.0)])
    rider = replace(RIDER, effort=LASTS, critical_power_w=240.0)
    given = (road, rider, BIKE, Conditions())
    answer = answer_of(search(*given, now=NOW, parts=PARTS, frame=FRAME))
    weighed = one_or_two(*given, now=NOW, parts=PARTS, frame=FRAME)
    for said, ride in (
        (search_ridden_by(answer), answer.best[0].ride),
        (one_or_two_ridden_by(weighed), weighed.one.ride),
    ):
        assert ride.effort is not None
        assert said.startswith("Rider 75 kg; ")
        assert f"{ride.effort.first_w:.0f} W at first" in said
        assert f"“{ride.drivetrain.name}”" in said
        assert "10 min of stops" in said
