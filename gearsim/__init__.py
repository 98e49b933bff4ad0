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
    from gearsim.course.recording import Recording, load_recording
    from gearsim.errors import InputError
    from gearsim.lists.athletes import load_athletes
    from gearsim.plan import load_plan
    from gearsim.ride.ride import Ride
    from gearsim.ride.score import Weights, score
    from gearsim.ride.simulate import simulate
    from gearsim.ride.states import State
    from gearsim.setup.athlete import Athlete
    from gearsim.setup.bike import Bike
    from gearsim.setup.build import Build, InternalBuild
    from gearsim.setup.conditions import Conditions
    from gearsim.setup.drivetrain import Drivetrain
    from gearsim.setup.fitment import findings_of
    from gearsim.setup.frame import Frame
    from gearsim.setup.gear_sheet import GearSheet, gear_sheet
    from gearsim.setup.rider import Rider
    from gearsim.setup.uncertain import Uncertain
    from gearsim.studies.compare import compare, compare_rides
    from gearsim.studies.days import ride_days
    from gearsim.studies.squad import ride_squad

__all__ = [
    "Athlete",
    "Bike",
    "Build",
    "Conditions",
    "Course",
    "Drivetrain",
    "Frame",
    "GearSheet",
    "InputError",
    "InternalBuild",
    "Recording",
    "Ride",
    "Rider",
    "State",
    "Uncertain",
    "Weights",
    "compare",
    "compare_rides",
    "course_from_grades",
    "findings_of",
    "gear_sheet",
    "load_athletes",
    "load_course",
    "load_plan",
    "load_recording",
    "ride_days",
    "ride_squad",
    "score",
    "simulate",
]

_HOMES = {
    "gearsim.course.course": ("Course", "course_from_grades"),
    "gearsim.course.loading": ("load_course",),
    "gearsim.course.recording": ("Recording", "load_recording"),
    "gearsim.errors": ("InputError",),
    "gearsim.lists.athletes": ("load_athletes",),
    "gearsim.plan": ("load_plan",),
    "gearsim.ride.ride": ("Ride",),
    "gearsim.ride.score": ("Weights", "score"),
    "gearsim.ride.simulate": ("simulate",),
    "gearsim.ride.states": ("State",),
    "gearsim.setup.athlete": ("Athlete",),
    "gearsim.setup.bike": ("Bike",),
    "gearsim.setup.build": ("Build", "InternalBuild"),
    "gearsim.setup.conditions": ("Conditions",),
    "gearsim.setup.drivetrain": ("Drivetrain",),
    "gearsim.setup.fitment": ("findings_of",),
    "gearsim.setup.frame": ("Frame",),
    "gearsim.setup.gear_sheet": ("GearSheet", "gear_sheet"),
    "gearsim.setup.rider": ("Rider",),
    "gearsim.setup.uncertain": ("Uncertain",),
    "gearsim.studies.compare": ("compare", "compare_rides"),
    "gearsim.studies.days": ("ride_days",),
    "gearsim.studies.squad": ("ride_squad",),
}
_HOME_OF = {name: home for home, names in _HOMES.items() for name in names}


def __getattr__(name: str) -> object:
    """One of the names above, loaded from where it lives."""
    if name not in _HOME_OF:
        raise AttributeError(f"module 'gearsim' has no attribute {name!r}")
    return getattr(import_module(_HOME_OF[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
