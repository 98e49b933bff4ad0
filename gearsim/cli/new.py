"""`gearsim new PLAN`: a plan that runs as it is, with every key explained."""

from __future__ import annotations

import json
import os
import shlex
import unicodedata
from argparse import Namespace
from importlib import resources
from pathlib import Path
from typing import NamedTuple

from gearsim.cli import console
from gearsim.cli.example_route import example_gpx
from gearsim.cli.results import refuse_forbidden, write_new_files
from gearsim.errors import FileError, printable

ROUTE_LINE = 'route = "route.gpx"'
ROUTE_ENDINGS = (".gpx", ".gpx.gz")


class Route(NamedTuple):
    """The route of a new plan, how it came to be chosen, and its content where it is a new one."""

    path: Path
    told: str
    content: bytes | None = None


def run(arguments: Namespace) -> None:
    """Write the plan, and an example route where there is no other, and say what to do next."""
    plan: Path = arguments.plan
    _refuse_unwritable(plan)
    route = _route_for(plan, arguments.route)
    if route.content is None:
        _refuse_unreadable(route.path, quiet=arguments.quiet)
    files = {plan: _plan_text(plan, route.path).encode()}
    if route.content is not None:
        files[route.path] = route.content
    write_new_files(files)
    if arguments.json:
        told = {"plan": str(plan), "route": str(route.path), "chosen": route.told}
        console.say(json.dumps(told, ensure_ascii=False, indent=2))
    elif not arguments.quiet:
        console.say(_next_step(plan, route))


def _next_step(plan: Path, route: Route) -> str:
    paths = [printable(str(path)) for path in (plan, route.path)]
    command = f"gearsim compare {shlex.quote(str(plan))}"
    written = f"{paths[0]} is written. Its route is {paths[1]}, {route.told}."
    change = f"Change what you like in a text editor, then: {command}"
    return f"{console.paragraph(written, *paths)}\n{console.paragraph(change, command)}"


def _refuse_unwritable(plan: Path) -> None:
    """Refuse a place where no plan can go, before anything else is said of it."""
    try:
        if plan.name.lower().endswith(ROUTE_ENDINGS):
            raise FileError(
                f"{plan}: is the name of a route; give the plan another, such as plan.toml, "
                f"and the route with --route {shlex.quote(str(plan))}"
            )
        if plan.is_dir():
            raise FileError(f"{plan}: is a folder; give the plan a name in it, such as plan.toml")
        if plan.exists():
            raise FileError(f"{plan}: exists and is left as it is; choose another name")
        if not plan.parent.is_dir():
            raise FileError(f"{plan}: its folder {plan.parent} is not there; make it first")
        refuse_forbidden(plan, plan.parent)
    except OSError as error:
        raise FileError(
            f"{plan}: cannot be written ({error.strerror}); choose another place"
        ) from error


def _refuse_unreadable(route: Path, *, quiet: bool) -> None:
    """Refuse a route that no course can be made of, as `gearsim route` does."""
    from gearsim.course.loading import load_course

    with console.doing(f"Reading {route.name}", quiet=quiet):
        load_course(route)


def _route_for(plan: Path, given: Path | None) -> Route:
    if given is not None:
        if not given.is_file():
            raise FileError(f"{given}: there is no such file; give the route's GPX file")
        return Route(given, "as given")
    beside = _routes_in(plan.parent)
    if len(beside) > 1:
        names = ", ".join(path.name for path in beside)
        raise FileError(
            f"{plan.parent}: holds {len(beside)} GPX files ({names}); say which with --route"
        )
    if beside:
        return Route(beside[0], "the only GPX file beside it")
    example = plan.with_name(f"{plan.stem}-route.gpx")
    return Route(example, "a short invented example, written too", example_gpx().encode())


def _routes_in(folder: Path) -> list[Path]:
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.iterdir() if path.name.lower().endswith(ROUTE_ENDINGS))


def _plan_text(plan: Path, route: Path) -> str:
    template = resources.files("gearsim").joinpath("plan_template.toml").read_text("utf-8")
    name = _from_folder(route, plan.parent)
    if any(unicodedata.category(letter) in ("Cc", "Cs") for letter in name):
        raise FileError(f"{route}: its name cannot stand in a plan; rename the file")
    return template.replace(ROUTE_LINE, f"route = {json.dumps(name, ensure_ascii=False)}", 1)


def _from_folder(route: Path, folder: Path) -> str:
    try:
        return Path(os.path.relpath(route, folder)).as_posix()
    except ValueError:  # another drive
        return route.absolute().as_posix()
