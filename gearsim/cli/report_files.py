"""The files to take away: the report, and each candidate's places on the road for a head unit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from gearsim.cli.csv_files import file_names
from gearsim.output.places.gpx_out import places_gpx
from gearsim.output.report.comparison import ReportSources, report_page
from gearsim.output.report.html import report_html
from gearsim.ride.score import Weights
from gearsim.setup.fit.fitment import Fit
from gearsim.studies.compare import Comparison
from gearsim.studies.cue_sheet import cue_sheet
from gearsim.studies.finish_band import finish_band

if TYPE_CHECKING:
    from gearsim.studies.days.days import Days

REPORT = "report.html"


def report_files(
    comparison: Comparison, weights: Weights, fits: Sequence[Fit] = (), days: Days | None = None
) -> dict[str, bytes]:
    """The report of a comparison and a GPX file for each candidate with places, by file name."""
    rides = [candidate.ride for candidate in comparison.candidates]
    names = file_names([ride.drivetrain.name for ride in rides])
    sheets = [cue_sheet(ride) for ride in rides]
    places = [
        f"places-{name}.gpx" if sheet.cues else ""
        for name, sheet in zip(names, sheets, strict=True)
    ]
    sources = ReportSources(
        sheets=sheets,
        band=finish_band(rides[0], weights),
        weights=weights,
        fits=fits,
        files=places,
        days=days,
    )
    return {
        REPORT: report_html(report_page(comparison, sources)),
        **{name: gpx for name, gpx in zip(places, places_gpx(rides, sheets), strict=True) if name},
    }
