"""An invented fleet on invented hills, for the tests of studies, texts, tables and pages."""

from dataclasses import replace
from functools import cache

import numpy as np

from gearsim.course.course import Course, Place, course_from_grades
from gearsim.setup.ability import ABILITIES
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame
from gearsim.setup.guest import Guest
from gearsim.setup.hire_bike import HireBike
from gearsim.setup.outing_limits import OutingLimits
from gearsim.studies.fleet.fleet import Fleet, ride_fleet

NINE = (11, 13, 15, 17, 19, 21, 24, 28, 32)
LIMITS = OutingLimits(most_walked_m=300.0)


def tour(name: str = "Tour") -> Course:
    """5 km: a bank of 13 % for 100 m, a wall of 17 % for 80 m, and a descent of 10 % for 400 m."""
    grade = np.zeros(500)
    grade[100:110] = 0.13
    grade[250:258] = 0.17
    grade[400:440] = -0.10
    course = course_from_grades(grade, start_height_m=200.0, name=name)
    places = (Place(name="The bank", distance_m=1000.0), Place(name="Wall", distance_m=2490.0))
    return replace(course, places=places)


def bike(name: str, rings: tuple[int, ...], count: int = 1, **more: float) -> HireBike:
    """A bike of nine sprockets, 11 to 32, whose shifters are for what it has."""
    frame = Frame(shifter_sprockets=9, shifter_chainrings=len(rings), front_mech_mount=True)
    return HireBike(
        bike=Bike(name=name, mass_kg=13.0, drag_area_m2=0.46),
        drivetrain=Drivetrain(name=name, chainrings=rings, sprockets=NINE),
        frame=frame,
        count=count,
        **more,  # type: ignore[arg-type]
    )


LOW, ONE, HIGH = bike("low", (48, 36, 26)), bike("one", (42,), 2), bike("high", (52,))
BIKES = (LOW, ONE, HIGH)


def guest(name: str, ability: str = "every week", height_cm: float | None = None) -> Guest:
    """A guest of 70 kg of a class."""
    return Guest(
        rider=ABILITIES[ability].rider(name, 70.0),
        ability=ability,
        height_cm=height_cm,
        by_class=("power_w",),
        assumed=("mass_kg",),
    )


GUESTS = (guest("Alma", "new to riding"), guest("Bruno", "now and then"), guest("Cleo", "strong"))


@cache
def fleet_of(
    bikes: tuple[HireBike, ...] = BIKES,
    guests: tuple[Guest, ...] = GUESTS,
    limits: OutingLimits = LIMITS,
    name: str = "Tour",
) -> Fleet:
    """The guests on the bikes over the tour."""
    return ride_fleet(tour(name), bikes, guests, Conditions(), limits=limits)
