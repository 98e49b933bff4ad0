"""The commands, their options and their help."""

from __future__ import annotations

from argparse import ArgumentParser, RawDescriptionHelpFormatter
from pathlib import Path
from typing import Any, NoReturn

from gearsim.cli import console

ABOUT = """\
Which gears for this route, this rider and this bike?

Rides candidate drivetrains over a route on the computer and ranks them by how
long the rider is off the cadence they like, spun out, below the lowest gear or
walking, and shows where and why.
"""
START = """\
To begin, in a folder with your route's GPX file (or none, for an example):
  gearsim new plan.toml         writes a plan with everything explained
  gearsim compare plan.toml     rides it

`gearsim COMMAND --help` explains a command.
Exit codes: 0 done, 2 something you gave is wrong, 1 a defect of gearsim.
"""
COMPARE = """\
Ride every drivetrain of a plan over its route and rank them.

Prints the table and writes a folder of results: the table (comparison.csv),
the worst places (worst-places.csv), every ride interval by interval
(ride-*.csv, as .csv.gz when large) and one picture (comparison.png).

The folder is PLAN-results beside the plan. Results that differ from those
already there go to PLAN-results-2, -3 and so on; nothing is overwritten.
"""
COMPARE_EXAMPLE = """\
Example:
  gearsim compare plan.toml --out ~/race
"""
ROUTE = """\
Show what a GPX file holds and what is made of it: which track was taken,
what was repaired, what kind of noise its heights have, the climb, the
steepest parts and the climbs one by one. Writes a folder with the climbs
(climbs.csv) and a picture (route.png).

The folder is FILE-route beside the file. Results that differ from those
already there go to FILE-route-2, -3 and so on; nothing is overwritten.
"""
ROUTE_EXAMPLE = """\
Example:
  gearsim route route.gpx
"""
NEW = """\
Write a plan that runs as it is, with every key explained, for you to change.

The route is the one given, else the only GPX file beside the plan; where
there is none, a short invented example route is written too. No file is ever
overwritten.
"""
NEW_EXAMPLE = """\
Example:
  gearsim new plan.toml --route route.gpx
"""
COMPARE_SHORT = "ride the drivetrains of a plan and rank them"
ROUTE_SHORT = "show what a GPX file holds"
NEW_SHORT = "write a plan to begin with"
STYLE: Any = {"formatter_class": RawDescriptionHelpFormatter, "allow_abbrev": False}


class Parser(ArgumentParser):
    """A parser that tells a wrong usage in one line."""

    def error(self, message: str) -> NoReturn:
        """Tell what is wrong and where help is, and exit with 2."""
        console.complain(f"{message}; see: {self.prog} --help")
        self.exit(2)


def parser() -> Parser:
    """The parser of the whole command line."""
    top = Parser(prog="gearsim", description=ABOUT, epilog=START, **STYLE)
    top.add_argument(
        "--version", dest="command", action="store_const", const="version", help="show the version"
    )
    commands = top.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    compare = commands.add_parser("compare", **_told(COMPARE, COMPARE_EXAMPLE, COMPARE_SHORT))
    compare.add_argument("plan", metavar="PLAN", type=Path, help="the plan, a TOML file")
    _add_result_options(compare)
    route = commands.add_parser("route", **_told(ROUTE, ROUTE_EXAMPLE, ROUTE_SHORT))
    route.add_argument("route", metavar="FILE", type=Path, help="a GPX file, plain or gzipped")
    _add_result_options(route)
    new = commands.add_parser("new", **_told(NEW, NEW_EXAMPLE, NEW_SHORT))
    new.add_argument("plan", metavar="PLAN", type=Path, help="where to write the plan")
    new.add_argument("--route", metavar="FILE", type=Path, help="the GPX file of the route")
    return top


def _told(description: str, example: str, short: str) -> dict[str, Any]:
    return {"description": description, "epilog": example, "help": short, **STYLE}


def _add_result_options(command: ArgumentParser) -> None:
    command.add_argument(
        "--out", metavar="DIR", type=Path, help="write the results into this folder instead"
    )
    command.add_argument(
        "--replace", action="store_true", help="replace files of the same names in that folder"
    )
    command.add_argument(
        "--json",
        action="store_true",
        help="print the results as JSON for programs; files are written only with --out",
    )
    command.add_argument(
        "--quiet", action="store_true", help="print nothing but faults (and JSON, when asked)"
    )
