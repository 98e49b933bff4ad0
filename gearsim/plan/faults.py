"""The faults of a plan that take more than one key to see."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from difflib import get_close_matches
from pathlib import Path

import numpy as np

from gearsim.course.surface import SurfaceStretch, assign_surfaces, surface_named
from gearsim.errors import PlanError
from gearsim.plan.keys import Table
from gearsim.setup.drivetrain import Drivetrain
from gearsim.toml.shown import shown


def faults_of_surfaces(default: str | None, stretches: list[SurfaceStretch]) -> Iterator[str]:
    """Unknown names and stretches upside down; only the course tells whether they end on it."""
    if default is not None:
        yield from _fault(surface_named, default)
    for stretch in stretches:
        yield from _fault(assign_surfaces, [stretch], stretch.surface, np.array([0.0, np.inf]))


def _fault(check: Callable[..., object], *values: object) -> Iterator[str]:
    try:
        check(*values)
    except PlanError as error:
        yield str(error)


def faults_of_names(drivetrains: list[Drivetrain]) -> Iterator[str]:
    """Names that two drivetrains share."""
    for name, count in Counter(drivetrain.name for drivetrain in drivetrains).items():
        if count > 1:
            yield f"drivetrain {name!r} is there {count} times; give each a name of its own"


def faults_of_now(given: Table, drivetrains: list[Drivetrain]) -> Iterator[str]:
    """A drivetrain that the rider is said to have now, and that is not there."""
    now = given.get("search", {}).get("now")
    names = [drivetrain.name for drivetrain in drivetrains]
    names += [table.get("name", "") for table in given.get("drivetrain", ())]
    if now is not None and now not in names:
        near = get_close_matches(now, names, n=1)
        hint = f"did you mean {near[0]!r}?" if near else "give the name of a [[drivetrain]]"
        yield f"search.now is {shown(now)}; {hint}"


def faults_of_route(folder: Path, name: str | None) -> Iterator[str]:
    """A route that is not beside the plan; no name at all is told elsewhere."""
    if not name:
        return
    if not name.isprintable():
        slip = "in a path write / instead of \\, or put it in single quotes"
        yield f"route is {shown(name)}; {slip}"
        return
    route = folder / name
    try:
        if route.is_file():
            return
        beside = [path.name for path in route.parent.glob("*.gpx*")]
    except (OSError, ValueError):
        beside = []
    near = get_close_matches(route.name, beside, n=1)
    missing = f"route is {shown(name)}; there is no such file in {route.parent.absolute()}"
    if near:
        yield f"{missing}, did you mean {near[0]}?"
    elif Path(name).is_absolute():
        yield f"{missing}, check its name"
    else:
        looked = "a route is looked for from the plan's own folder"
        yield f"{missing} ({looked}): check its name, or bring it there if the plan was moved"
