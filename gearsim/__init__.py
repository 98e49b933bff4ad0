"""Candidate drivetrains ridden over a route by one person: what happens, where and why.

    course = gearsim.load_course("route.gpx")
    ride = gearsim.simulate(course, gearsim.Rider(), gearsim.Bike(), drivetrain, conditions)
    gearsim.score(ride).mismatch

Names are loaded when first used, so that `import gearsim` alone costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gearsim.course.course import Course, course_from_grades
    from gearsim.course.loading import load_course
    from gearsim.errors import InputError
    from gearsim.plan import load_plan
    from gearsim.ride.ride import Ride
    from gearsim.ride.score import Weights, score
    from gearsim.ride.simulate import simulate
    from gearsim.ride.states import State
    from gearsim.setup.bike import Bike
    from gearsim.setup.conditions import Conditions
    from gearsim.setup.drivetrain import Drivetrain
    from gearsim.setup.rider import Rider
    from gearsim.studies.compare import compare, compare_rides

__all__ = [
    "Bike",
    "Conditions",
    "Course",
    "Drivetrain",
    "InputError",
    "Ride",
    "Rider",
    "State",
    "Weights",
    "compare",
    "compare_rides",
    "course_from_grades",
    "load_course",
    "load_plan",
    "score",
    "simulate",
]

_HOMES = {
    "gearsim.course.course": ("Course", "course_from_grades"),
    "gearsim.course.loading": ("load_course",),
    "gearsim.errors": ("InputError",),
    "gearsim.plan": ("load_plan",),
    "gearsim.ride.ride": ("Ride",),
    "gearsim.ride.score": ("Weights", "score"),
    "gearsim.ride.simulate": ("simulate",),
    "gearsim.ride.states": ("State",),
    "gearsim.setup.bike": ("Bike",),
    "gearsim.setup.conditions": ("Conditions",),
    "gearsim.setup.drivetrain": ("Drivetrain",),
    "gearsim.setup.rider": ("Rider",),
    "gearsim.studies.compare": ("compare", "compare_rides"),
}
_HOME_OF = {name: home for home, names in _HOMES.items() for name in names}


def __getattr__(name: str) -> object:
    """One of the names above, loaded from where it lives."""
    if name not in _HOME_OF:
        raise AttributeError(f"module 'gearsim' has no attribute {name!r}")
    return getattr(import_module(_HOME_OF[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
