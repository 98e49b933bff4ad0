"""Invented courses and comparisons for the tests of tables, texts and pictures."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import numpy as np

from gearsim.course.course import Course, Place, course_from_grades
from gearsim.ride.states import State
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.finding import Finding, Verdict
from gearsim.setup.rider import Rider
from gearsim.studies.compare import Comparison, compare_rides

LOW = Drivetrain(name="low", chainrings=(46, 30), sprockets=(11, 13, 15, 17, 19, 21, 24, 28, 34))
SINGLE = Drivetrain(name="single", chainrings=(40,), sprockets=(11, 13, 16, 19, 23, 28, 34, 42))
HIGH = Drivetrain(name="high", chainrings=(50,), sprockets=(11, 12, 13, 14, 16, 18, 21, 25))
HUB = Drivetrain(name="hub", ratios=(0.8, 1.0, 1.3, 1.6, 2.0, 2.6, 3.3, 4.2), mass_kg=1.4)
FIXED = Drivetrain(name="fixed", chainrings=(44,), sprockets=(17,))
FIVE = (LOW, SINGLE, HIGH, HUB, FIXED)

HOSTILE = (
    "$\\frac{1}{0}$ $x_",
    "[bold red]not a style[/] [/nor this]",
    "escape \x1b[31mred\x1b[0m\r\n\ttwo lines\x07",
    "W" * 200,
    "a very long name, with commas, that goes on and on and never comes to any end at all",
    "自転車 🚲 الدراجة",
    "\u202eright to left\u202c",
)
TWELVE = tuple(
    replace(FIVE[number % 5], name=HOSTILE[number] if number < 7 else f"candidate {number}")
    for number in range(12)
)

TOO_FEW = Finding(
    "sprockets, shifter",
    Verdict.DOES_NOT_FIT,
    9,
    12,
    "sprockets",
    "not as many as the shifter indexes: its steps are for another spacing",
)

RIDER = Rider(power_w=190.0, stop_pedalling_mps=18.0, descending_mps=20.0)


def hills(length_km: float = 6.0, name: str = "Hills") -> Course:
    """Rolling hills with a wall of 22 % for 120 m, a long descent, and four places."""
    count = round(length_km * 100)
    along = np.arange(count) / count
    grade = 0.05 * np.sin(2.0 * np.pi * along * max(2, round(length_km / 3)))
    grade[count // 3 : count // 3 + 12] = 0.22
    grade[-count // 5 :] = -0.07
    bearing = 5.0 * along
    course = course_from_grades(grade, bearing_rad=bearing, start_height_m=300.0, name=name)
    named = (("Mill", 0.1), ("The wall", 0.333), ("Café, first stop", 0.34), ("Finish", 1.0))
    places = tuple(Place(name=n, distance_m=at * course.length_m) for n, at in named)
    return replace(course, places=places)


@cache
def ridden(drivetrains: Sequence[Drivetrain] = FIVE, length_km: float = 6.0) -> Comparison:
    """The drivetrains compared on the hills."""
    return compare_rides(hills(length_km), RIDER, Bike(), drivetrains, Conditions())


def with_seconds(comparison: Comparison, rank: int, **seconds: float) -> Comparison:
    """The comparison with other seconds in some states of one candidate: `walking=4.0`."""
    candidates = list(comparison.candidates)
    score = candidates[rank].score
    changed = {State(key.replace("_", " ")): value for key, value in seconds.items()}
    score = replace(score, seconds=score.seconds | changed)
    candidates[rank] = replace(candidates[rank], score=score)
    return replace(comparison, candidates=tuple(candidates))


def with_mismatch(comparison: Comparison, *mismatches: float) -> Comparison:
    """The comparison with mismatches set from the best down."""
    candidates = tuple(
        replace(
            candidate,
            score=replace(
                candidate.score,
                weighted_s=wanted * candidate.score.pedalling_or_walking_s / 100.0,
            ),
        )
        for candidate, wanted in zip(comparison.candidates, mismatches, strict=True)
    )
    return replace(comparison, candidates=candidates)
