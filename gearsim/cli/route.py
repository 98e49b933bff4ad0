"""`gearsim route FILE`: what came in, what was made of it, and what the course asks for."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pandas as pd

from gearsim.cli import console
from gearsim.cli.csv_files import table_file
from gearsim.cli.present import before_work, present
from gearsim.course.climbs import climbs, steepest, total_climb_m, total_descent_m
from gearsim.course.course import Course
from gearsim.course.loading import load_course
from gearsim.output.cautions import heights_caution
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.route.chart import route_figure
from gearsim.output.route.text import route_text

CLIMB_COLUMNS = ("km", "length_m", "gain_m", "grade_percent", "steepest_percent")
WRITTEN = ("climbs.csv", "route.png")
STEEPEST_M = (50.0, 100.0, 500.0)


def run(arguments: Namespace) -> None:
    """Load the route, write the files, and print what was found."""
    usual = arguments.route.with_name(f"{_stem(arguments.route)}-route")
    before_work(arguments, usual=usual, ours=WRITTEN)
    with console.doing(f"Loading {arguments.route.name}", quiet=arguments.quiet):
        course = load_course(arguments.route)
    present(
        arguments,
        usual=usual,
        ours=WRITTEN,
        files=lambda: _files(course),
        text=lambda: route_text(course, console.width(), console.colour()),
        records=lambda: _records(course),
    )


def _stem(route: Path) -> str:
    """The file's name without `.gpx` or `.gpx.gz`."""
    return Path(route.name.removesuffix(".gz")).stem


def _files(course: Course) -> dict[str, bytes]:
    return {
        "climbs.csv": table_file(pd.DataFrame(_climb_rows(course), columns=CLIMB_COLUMNS)),
        "route.png": figure_png(route_figure(course)),
    }


def _climb_rows(course: Course) -> list[dict[str, float]]:
    return [
        {
            "km": climb.start_m / 1000.0,
            "length_m": climb.length_m,
            "gain_m": climb.gain_m,
            "grade_percent": 100.0 * climb.grade,
            "steepest_percent": 100.0 * climb.steepest_grade,
        }
        for climb in climbs(course)
    ]


def _records(course: Course) -> dict[str, Any]:
    parts = [steepest(course, length_m) for length_m in STEEPEST_M]
    return {
        "name": course.name,
        "length_km": course.length_m / 1000.0,
        "step_m": course.step_m,
        "climb_m": total_climb_m(course),
        "descent_m": total_descent_m(course),
        "steepest": [
            {
                "km": part.start_m / 1000.0,
                "length_m": part.length_m,
                "grade_percent": 100.0 * part.grade,
            }
            for part in parts
        ],
        "climbs": _climb_rows(course),
        "places": [{"km": p.distance_m / 1000.0, "name": p.name} for p in course.places],
        "report": asdict(course.report),
        "cautions": list(heights_caution(course)),
    }
