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
    from gearsim.course.recorded.recording import Recording, load_recording
    from gearsim.course.stops import Stop, with_stops
    from gearsim.errors import InputError
    from gearsim.lists.athletes import load_athletes
    from gearsim.lists.bikes import load_bikes
    from gearsim.lists.guests import load_guests
    from gearsim.output.comparison.chart import comparison_figure
    from gearsim.output.comparison.tables import comparison_table, worst_places_table
    from gearsim.output.route.chart import route_figure
    from gearsim.output.squad.chart import squad_figure
    from gearsim.output.squad.tables import squad_table
    from gearsim.plan.loading import load_plan
    from gearsim.ride.ride import Ride
    from gearsim.ride.score import Weights, score
    from gearsim.ride.simulate import simulate
    from gearsim.ride.states import State
    from gearsim.setup.athlete import Athlete, at_power
    from gearsim.setup.bike import Bike
    from gearsim.setup.conditions import Conditions
    from gearsim.setup.drivetrain import Drivetrain
    from gearsim.setup.effort import Effort
    from gearsim.setup.fit.build import Build, InternalBuild
    from gearsim.setup.fit.fitment import findings_of
    from gearsim.setup.frame import Frame
    from gearsim.setup.gear_sheet import GearSheet, gear_sheet
    from gearsim.setup.guest import Guest
    from gearsim.setup.hire_bike import HireBike
    from gearsim.setup.outing_limits import OutingLimits
    from gearsim.setup.parts.parts_list import load_parts
    from gearsim.setup.rider import Rider
    from gearsim.setup.uncertain import Uncertain
    from gearsim.setup.wishes import Wishes
    from gearsim.studies.break_even import break_even
    from gearsim.studies.compare import compare, compare_rides
    from gearsim.studies.days.days import ride_days
    from gearsim.studies.fleet.fleet import ride_fleet
    from gearsim.studies.fleet.nearest_change import nearest_changes
    from gearsim.studies.one_or_two.one_or_two import one_or_two
    from gearsim.studies.search.search import search
    from gearsim.studies.squad.open_builds import open_builds
    from gearsim.studies.squad.power_needed import with_break_even
    from gearsim.studies.squad.ride_squad import ride_squad
    from gearsim.studies.squad.search_squad import search_squad

__all__ = [
    "Athlete",
    "Bike",
    "Build",
    "Conditions",
    "Course",
    "Drivetrain",
    "Effort",
    "Frame",
    "GearSheet",
    "Guest",
    "HireBike",
    "InputError",
    "InternalBuild",
    "OutingLimits",
    "Recording",
    "Ride",
    "Rider",
    "State",
    "Stop",
    "Uncertain",
    "Weights",
    "Wishes",
    "at_power",
    "break_even",
    "compare",
    "compare_rides",
    "comparison_figure",
    "comparison_table",
    "course_from_grades",
    "findings_of",
    "gear_sheet",
    "load_athletes",
    "load_bikes",
    "load_course",
    "load_guests",
    "load_parts",
    "load_plan",
    "load_recording",
    "nearest_changes",
    "one_or_two",
    "open_builds",
    "ride_days",
    "ride_fleet",
    "ride_squad",
    "route_figure",
    "score",
    "search",
    "search_squad",
    "simulate",
    "squad_figure",
    "squad_table",
    "with_break_even",
    "with_stops",
    "worst_places_table",
]

_HOMES = {
    "gearsim.course.course": ("Course", "course_from_grades"),
    "gearsim.course.loading": ("load_course",),
    "gearsim.course.recorded.recording": ("Recording", "load_recording"),
    "gearsim.course.stops": ("Stop", "with_stops"),
    "gearsim.errors": ("InputError",),
    "gearsim.lists.athletes": ("load_athletes",),
    "gearsim.lists.bikes": ("load_bikes",),
    "gearsim.lists.guests": ("load_guests",),
    "gearsim.output.comparison.chart": ("comparison_figure",),
    "gearsim.output.route.chart": ("route_figure",),
    "gearsim.output.squad.chart": ("squad_figure",),
    "gearsim.output.squad.tables": ("squad_table",),
    "gearsim.output.comparison.tables": ("comparison_table", "worst_places_table"),
    "gearsim.plan.loading": ("load_plan",),
    "gearsim.ride.ride": ("Ride",),
    "gearsim.ride.score": ("Weights", "score"),
    "gearsim.ride.simulate": ("simulate",),
    "gearsim.ride.states": ("State",),
    "gearsim.setup.athlete": ("Athlete", "at_power"),
    "gearsim.setup.bike": ("Bike",),
    "gearsim.setup.fit.build": ("Build", "InternalBuild"),
    "gearsim.setup.conditions": ("Conditions",),
    "gearsim.setup.drivetrain": ("Drivetrain",),
    "gearsim.setup.effort": ("Effort",),
    "gearsim.setup.fit.fitment": ("findings_of",),
    "gearsim.setup.frame": ("Frame",),
    "gearsim.setup.gear_sheet": ("GearSheet", "gear_sheet"),
    "gearsim.setup.guest": ("Guest",),
    "gearsim.setup.hire_bike": ("HireBike",),
    "gearsim.setup.outing_limits": ("OutingLimits",),
    "gearsim.setup.parts.parts_list": ("load_parts",),
    "gearsim.setup.rider": ("Rider",),
    "gearsim.setup.wishes": ("Wishes",),
    "gearsim.setup.uncertain": ("Uncertain",),
    "gearsim.studies.break_even": ("break_even",),
    "gearsim.studies.compare": ("compare", "compare_rides"),
    "gearsim.studies.days.days": ("ride_days",),
    "gearsim.studies.fleet.fleet": ("ride_fleet",),
    "gearsim.studies.fleet.nearest_change": ("nearest_changes",),
    "gearsim.studies.one_or_two.one_or_two": ("one_or_two",),
    "gearsim.studies.search.search": ("search",),
    "gearsim.studies.squad.open_builds": ("open_builds",),
    "gearsim.studies.squad.power_needed": ("with_break_even",),
    "gearsim.studies.squad.ride_squad": ("ride_squad",),
    "gearsim.studies.squad.search_squad": ("search_squad",),
}
_HOME_OF = {name: home for home, names in _HOMES.items() for name in names}


def __getattr__(name: str) -> object:
    """One of the names above, loaded from where it lives."""
    if name not in _HOME_OF:
        raise AttributeError(f"module 'gearsim' has no attribute {name!r}")
    return getattr(import_module(_HOME_OF[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
