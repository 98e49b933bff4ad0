"""Invented reports for the tests of pages and of GPX."""

from dataclasses import replace
from functools import cache

from lxml import html
from made_comparison import FIVE, RIDER, hills

from gearsim.output.report.comparison import ReportPage, ReportSources, report_page
from gearsim.output.report.html import report_html
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.fitment import Fit
from gearsim.studies.compare import Comparison, compare_rides
from gearsim.studies.cue_sheet import cue_sheet
from gearsim.studies.finish_band import finish_band

EVIL = "</title><script>alert(1)</script>\"'&<img src=x onerror=alert(1)>"


@cache
def hostile() -> Comparison:
    """A comparison in which every name that a file can bring is an attack."""
    course = hills(6.0, EVIL)
    places = tuple(replace(place, name=EVIL) for place in course.places)
    report = replace(course.report, source=f"/tmp/{EVIL}.gpx", taken=EVIL, left_out=(EVIL,))
    drivetrains = (
        replace(FIVE[0], name=EVIL),
        replace(FIVE[1], name="\u202eright to left\x00\x1b[31m"),
        Drivetrain(name="W" * 200, ratios=(1.0, 2.0)),
    )
    return compare_rides(
        replace(course, places=places, report=report),
        replace(RIDER, name=EVIL),
        Bike(name=EVIL),
        drivetrains,
        Conditions(),
    )


def page_of(comparison: Comparison, *fits: Fit) -> ReportPage:
    """The report's page of a comparison."""
    rides = [candidate.ride for candidate in comparison.candidates]
    sources = ReportSources(
        sheets=[cue_sheet(ride) for ride in rides],
        band=finish_band(rides[0]),
        fits=fits,
        files=[f"places-{number}.gpx" for number in range(len(rides))],
    )
    return report_page(comparison, sources)


def document(comparison: Comparison) -> html.HtmlElement:
    """The report of a comparison, parsed."""
    return html.document_fromstring(text_of(comparison))


def text_of(comparison: Comparison) -> str:
    """The report of a comparison as it is written."""
    return report_html(page_of(comparison)).decode()
