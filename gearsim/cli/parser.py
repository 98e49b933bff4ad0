"""The commands, their options and their help."""

from __future__ import annotations

import sys
from argparse import Action, ArgumentParser, Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn

from gearsim.cli import console
from gearsim.cli.help_format import HelpFormatter
from gearsim.cli.help_texts import (
    ABOUT,
    COMPARE,
    COMPARE_EXAMPLE,
    COMPARE_SHORT,
    COMPLETION,
    COMPLETION_EXAMPLE,
    COMPLETION_SHORT,
    FIT,
    FIT_EXAMPLE,
    FIT_SHORT,
    FLEET,
    FLEET_EXAMPLE,
    FLEET_SHORT,
    GEARS,
    GEARS_EXAMPLE,
    GEARS_SHORT,
    LEARN,
    LEARN_EXAMPLE,
    LEARN_SHORT,
    NEW,
    NEW_EXAMPLE,
    NEW_SHORT,
    REPLAY,
    REPLAY_EXAMPLE,
    REPLAY_SHORT,
    RINGS,
    RINGS_EXAMPLE,
    RINGS_SHORT,
    ROUTE,
    ROUTE_EXAMPLE,
    ROUTE_SHORT,
    SEARCH,
    SEARCH_EXAMPLE,
    SEARCH_SHORT,
    SQUAD,
    SQUAD_EXAMPLE,
    SQUAD_SHORT,
    START,
)
from gearsim.cli.option_values import (
    any_number,
    bike_kilograms,
    cadences,
    day_count,
    kind_count,
    paces,
    rider_kilograms,
    some_minutes,
    wheel_millimetres,
)

SHELLS = ("bash", "zsh", "fish")
STYLE: Any = {"formatter_class": HelpFormatter, "allow_abbrev": False}


class Parser(ArgumentParser):
    """A parser that tells a wrong usage in one line, and what was meant where that shows."""

    def parse_args(  # type: ignore[override]  # nobody hands us a namespace of another class
        self, args: Sequence[str] | None = None, namespace: Namespace | None = None
    ) -> Namespace:
        """Parse a whole command line; exits with 2 where it is wrong."""
        given = sys.argv[1:] if args is None else list(args)
        found, left = self.parse_known_args(given, namespace)
        if left:
            from gearsim.cli.usage_hints import quotes_hint

            hint = quotes_hint(given[1:])
            self.error(f"unrecognized arguments: {' '.join(left)}{f'; {hint}' if hint else ''}")
        return found

    def _check_value(self, action: Action, value: Any) -> None:
        """Tell an unknown command by our own words; argparse lists all that there are."""
        if action.dest == "command" and action.choices and value not in action.choices:
            from gearsim.cli.usage_hints import told_unknown

            self.error(told_unknown(value, action.choices))
        super()._check_value(action, value)

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
    _add_days_option(compare)
    _add_report_option(compare, also=" and places for a head unit (GPX)")
    _add_parts_option(compare)
    _add_result_options(compare)
    route = commands.add_parser("route", **_told(ROUTE, ROUTE_EXAMPLE, ROUTE_SHORT))
    route.add_argument("route", metavar="FILE", type=Path, help="a GPX file, plain or gzipped")
    _add_result_options(route)
    _add_gears_options(commands.add_parser("gears", **_told(GEARS, GEARS_EXAMPLE, GEARS_SHORT)))
    _add_fit_options(commands.add_parser("fit", **_told(FIT, FIT_EXAMPLE, FIT_SHORT)))
    _add_learn_options(commands.add_parser("learn", **_told(LEARN, LEARN_EXAMPLE, LEARN_SHORT)))
    _add_replay_options(
        commands.add_parser("replay", **_told(REPLAY, REPLAY_EXAMPLE, REPLAY_SHORT))
    )
    _add_squad_options(commands.add_parser("squad", **_told(SQUAD, SQUAD_EXAMPLE, SQUAD_SHORT)))
    _add_fleet_options(commands.add_parser("fleet", **_told(FLEET, FLEET_EXAMPLE, FLEET_SHORT)))
    _add_search_options(
        commands.add_parser("search", **_told(SEARCH, SEARCH_EXAMPLE, SEARCH_SHORT))
    )
    _add_rings_options(commands.add_parser("rings", **_told(RINGS, RINGS_EXAMPLE, RINGS_SHORT)))
    new = commands.add_parser("new", **_told(NEW, NEW_EXAMPLE, NEW_SHORT))
    new.add_argument("plan", metavar="PLAN", type=Path, help="where to write the plan")
    new.add_argument("--route", metavar="FILE", type=Path, help="the GPX file of the route")
    _add_telling_options(new, "print what was written as JSON for programs")
    completion = commands.add_parser(
        "completion", **_told(COMPLETION, COMPLETION_EXAMPLE, COMPLETION_SHORT)
    )
    completion.add_argument(
        "shell", metavar="SHELL", choices=SHELLS, help=f"one of {', '.join(SHELLS)}"
    )
    return top


def _told(description: str, example: str, short: str) -> dict[str, Any]:
    return {"description": description, "epilog": example, "help": short, **STYLE}


def _add_gears_options(gears: ArgumentParser) -> None:
    gears.add_argument("what", metavar="WHAT", nargs="+", help="a plan, or gears as one word")
    told = "without it the plan's, else"
    gears.add_argument("--tyre", metavar="MM", type=any_number, help=f"tyre width; {told} 40")
    gears.add_argument(
        "--rim", metavar="MM", type=any_number, help=f"diameter where the tyre sits; {told} 622"
    )
    gears.add_argument(
        "--target", metavar="RPM", type=any_number, help=f"the cadence liked best; {told} 85"
    )
    gears.add_argument(
        "--band", metavar="RPM-RPM", type=cadences, help=f"the cadence liked; {told} 75-95"
    )
    gears.add_argument(
        "--limits", metavar="RPM-RPM", type=cadences, help=f"lowest and highest; {told} 50-115"
    )
    gears.add_argument(
        "--same", metavar="PERCENT", type=any_number, help="gears closer than this count as one: 5"
    )
    _add_result_options(gears)


def _add_fit_options(fit: ArgumentParser) -> None:
    fit.add_argument("plan", metavar="PLAN", type=Path, help="the plan, a TOML file")
    _add_parts_option(fit)
    _add_result_options(fit)


def _add_learn_options(learn: ArgumentParser) -> None:
    learn.add_argument(
        "rides", metavar="RIDE", type=Path, nargs="+", help="a recorded ride, GPX with times"
    )
    _add_known_options(learn)
    _add_result_options(learn)


def _add_replay_options(replay: ArgumentParser) -> None:
    replay.add_argument("ride", metavar="RIDE", type=Path, help="a recorded ride, GPX with times")
    replay.add_argument(
        "--taught-by",
        metavar="RIDE",
        type=Path,
        nargs="+",
        help="other rides of the same rider and bike; without it, half teaches half",
    )
    _add_known_options(replay)
    _add_result_options(replay)


def _add_known_options(command: ArgumentParser) -> None:
    command.add_argument(
        "--rider-mass", metavar="KG", type=rider_kilograms, help="mass of the rider: 75"
    )
    command.add_argument(
        "--bike-mass",
        metavar="KG",
        type=bike_kilograms,
        help="mass of the bike ready to ride: 10",
    )
    command.add_argument("--surface", metavar="NAME", help="what the rides are on: tarmac")
    command.add_argument(
        "--circumference",
        metavar="MM",
        type=wheel_millimetres,
        help="of the driven wheel, as rolled out",
    )


def _add_fleet_options(fleet: ArgumentParser) -> None:
    fleet.add_argument("plan", metavar="PLAN", type=Path, help="the plan, a TOML file")
    _add_parts_option(fleet)
    _add_result_options(fleet)


def _add_squad_options(squad: ArgumentParser) -> None:
    squad.add_argument("plan", metavar="PLAN", type=Path, help="the plan, a TOML file")
    squad.add_argument(
        "--below",
        metavar="MIN",
        type=some_minutes,
        default=5.0,
        help="longest below the lowest gear that gears are low enough with: 5",
    )
    squad.add_argument(
        "--search",
        action="store_true",
        help="ride all that fits on the bike of the plan, not its own drivetrains",
    )
    squad.add_argument(
        "--kinds",
        metavar="N",
        type=kind_count,
        default=6,
        help="most drivetrains that the few may be which serve all: 6",
    )
    _add_parts_option(squad)
    _add_report_option(squad)
    _add_result_options(squad)


def _add_search_options(search: ArgumentParser) -> None:
    search.add_argument("plan", metavar="PLAN", type=Path, help="the plan, a TOML file")
    _add_days_option(search)
    _add_report_option(search, also=" and places of the best for a head unit (GPX)")
    _add_parts_option(search)
    _add_result_options(search)


def _add_rings_options(rings: ArgumentParser) -> None:
    rings.add_argument("plan", metavar="PLAN", type=Path, help="the plan, a TOML file")
    rings.add_argument(
        "--candidates",
        action="store_true",
        help="weigh the plan's own drivetrains, not all that fits",
    )
    rings.add_argument(
        "--group",
        metavar="KMH-KMH",
        type=paces,
        help="paces of a group on the flat, from the slowest to the fastest: 28-38",
    )
    rings.add_argument(
        "--report", action="store_true", help="write a page to read and print (report.html) too"
    )
    _add_parts_option(rings)
    _add_result_options(rings)


def _add_parts_option(command: ArgumentParser) -> None:
    command.add_argument(
        "--parts",
        metavar="FILE",
        type=Path,
        action="append",
        default=[],
        help="a parts list of your own beside the one built in; may be given again",
    )


def _add_days_option(command: ArgumentParser) -> None:
    command.add_argument(
        "--days",
        metavar="N",
        type=day_count,
        help="ride this many days at most as well: 16, 32, 64 and so on, doubling up to 4096; "
        "fewer where the order is settled sooner",
    )


def _add_report_option(command: ArgumentParser, also: str = "") -> None:
    command.add_argument(
        "--report",
        action="store_true",
        help=f"write a page to read and print (report.html){also} too",
    )


def _add_result_options(command: ArgumentParser) -> None:
    command.add_argument(
        "--out", metavar="DIR", type=Path, help="write the results into this folder instead"
    )
    command.add_argument(
        "--replace", action="store_true", help="replace files of the same names in that folder"
    )
    _add_telling_options(
        command, "print the results as JSON for programs; files are written only with --out"
    )


def _add_telling_options(command: ArgumentParser, as_json: str) -> None:
    command.add_argument("--json", action="store_true", help=as_json)
    command.add_argument(
        "--quiet", action="store_true", help="print nothing but faults (and JSON, when asked)"
    )
