"""A route as text: what came in, what was made of it, and what the course asks for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gearsim.course.climbs import Climb, climbs, steepest
from gearsim.course.course import Course
from gearsim.course.shares import length_by_surface_m
from gearsim.errors import printable
from gearsim.output.cautions import heights_caution
from gearsim.output.course_words import length_and_climb
from gearsim.output.page import Page
from gearsim.output.words import at_least_shown, clean, mean_grade, share

if TYPE_CHECKING:
    from rich.table import Table

STEEPEST_M = (50.0, 100.0, 500.0)


def route_text(course: Course, width: int, colour: bool) -> str:
    """What came in, what was repaired, the height noise, and the course's demands.

    No line is wider than `width` columns (from 60 on); without `colour` there are no escape codes.
    """
    page = Page(width=width, colour=colour)
    page.heading(f"{clean(course.name)}: {length_and_climb(course)}")
    _add_origin(page, course)
    for caution in heights_caution(course):
        page.gap()
        page.prose(f"Caution: {caution}", style="bold")
    page.section("Steepest")
    for length_m in STEEPEST_M:
        page.indented(steepest_words(course, length_m))
    page.section("Climbs")
    found = climbs(course)
    if found:
        page.table(_climbs_table(page, found))
    else:
        page.indented("None: no rise of 20 m that counts as a climb.")
    page.section("Surfaces")
    if course.report.assumed_surface:
        page.indented("Assumed, since a GPX file does not tell surfaces; a plan can.")
    for name, length_m in length_by_surface_m(course).items():
        length_km = at_least_shown(length_m / 1000.0, 1)
        page.indented(f"{name}: {length_km} km, {share(length_m / course.length_m)}")
    if course.places:
        page.section("Places")
        for place in course.places:
            page.indented(f"km {place.distance_m / 1000.0:.1f}: {clean(place.name)}")
    return page.text()


def steepest_words(course: Course, length_m: float) -> str:
    """The steepest stretch of a length (or all of a shorter course): `50 m: 22 % at km 12.5`."""
    part = steepest(course, length_m)
    return f"{part.length_m:.0f} m: {mean_grade(part.grade)} at km {part.start_m / 1000.0:.1f}"


def _add_origin(page: Page, course: Course) -> None:
    report = course.report
    if not report.source:
        return
    page.prose(printable(report.source), style="dim")
    page.section("What came in")
    page.item("-", f"{clean(report.taken)}.")
    page.item("-", f"{report.points} points, of which {report.points_kept} are kept.")
    for repair in report.repairs:
        page.item("-", f"Repaired: {clean(repair.sentence)}.")
    if not report.repairs:
        page.item("-", "Nothing to repair.")
    if report.noise is not None:
        page.item("-", report.noise.sentence)
    if report.left_out:
        names = ", ".join(clean(name) for name in report.left_out)
        page.item("-", f"Waypoints too far from the route to be places on it: {names}.")


def _climbs_table(page: Page, found: tuple[Climb, ...]) -> Table:
    table = page.numbered(["km", "length\nkm", "gain\nm", "mean\n%", "steepest\n100 m, %"])
    for number, climb in enumerate(found, start=1):
        table.add_row(*climb_cells(number, climb))
    return table


def climb_cells(number: int, climb: Climb) -> tuple[str, ...]:
    """A climb's number, km, length in km, gain in m, mean and steepest grade in %."""
    return (
        str(number),
        f"{climb.start_m / 1000.0:.1f}",
        f"{climb.length_m / 1000.0:.1f}",
        f"{climb.gain_m:.0f}",
        f"{100.0 * climb.grade:.1f}",
        f"{100.0 * climb.steepest_grade:.0f}",
    )
