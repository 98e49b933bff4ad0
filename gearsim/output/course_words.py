"""A course in a few words: its name, how long it is, how much it climbs."""

from __future__ import annotations

from gearsim.course.climbs import total_climb_m, total_descent_m
from gearsim.course.course import Course
from gearsim.output.words import clean


def course_heading(course: Course) -> str:
    """Name, length and climb: what a text begins with."""
    return f"{clean(course.name)}: {length_and_gain(course)}"


def length_and_gain(course: Course) -> str:
    """Length and climb."""
    return f"{course.length_m / 1000.0:.1f} km, {total_climb_m(course):.0f} m up"


def length_and_climb(course: Course) -> str:
    """Length, climb and descent."""
    return f"{length_and_gain(course)}, {total_descent_m(course):.0f} m down"
