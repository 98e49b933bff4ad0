"""Which effort was ridden, and where the rider stood, as people read it."""

from made_rides import HILLS, course_of_height, ridden

from gearsim.course.stops import Stop, with_stops
from gearsim.output.effort_words import effort_rule, effort_solved, stops_told
from gearsim.output.ridden_by import ridden_by
from gearsim.setup.effort import FOR_THE_DURATION, Effort

ROAD = course_of_height(HILLS, 10_000.0)
LASTS = Effort(kind=FOR_THE_DURATION)


def test_a_fixed_power_without_stops_says_nothing_of_either() -> None:
    ride = ridden(ROAD, power_w=190.0)
    assert effort_solved(ride) == stops_told(ride) == ""
    assert ridden_by(ride).startswith("Rider 75 kg, 190 W; band")
    assert ridden_by(ride).endswith("no wind.")


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
