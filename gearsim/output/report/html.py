"""Report pages as HTML: one file that opens without a network and runs no script."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from gearsim.output.report.comparison import ReportPage

if TYPE_CHECKING:
    from jinja2 import Environment


def report_html(page: ReportPage) -> bytes:
    """The report of a comparison as one self-contained HTML file."""
    return rendered("comparison.html", page=page)


def rendered(template: str, **data: object) -> bytes:
    """A page made from a template of `templates/`: every text in the data is shown as text.

    A name that the template needs and the data lack is an error, never a blank.
    """
    return _environment().get_template(template).render(**data).encode()


@cache
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("gearsim.output"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
