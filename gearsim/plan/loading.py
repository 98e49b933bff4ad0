"""A plan from its file, or all that is wrong with it."""

from __future__ import annotations

import shlex
from dataclasses import replace
from pathlib import Path

from gearsim.errors import PlanError, all_at_once
from gearsim.plan.cautions import plan_cautions
from gearsim.plan.faults import (
    faults_of_names,
    faults_of_now,
    faults_of_route,
    faults_of_surfaces,
)
from gearsim.plan.keys import LISTS, NEEDED, REPEATED, VALUES, Table
from gearsim.plan.plan import Plan
from gearsim.plan.typed import of_right_types
from gearsim.plan.values import values_of
from gearsim.toml.read import read_text, tables_of


def load_plan(path: str | Path) -> Plan:
    """The plan in a TOML file.

    Raises `FileError` for a file that cannot be read and `PlanError` for one that is not a plan:
    its message is the first fault, and its notes (`__notes__`) are the others, one line each.
    """
    path = Path(path)
    data = _read(path)
    faults = [
        f"{key} is missing; {remedy}"
        for key, remedy in NEEDED.items()
        if data.get(key) in (None, "", []) and not _brought_by_bikes(key, data)
    ]
    given, wrong = of_right_types(data, faults)
    built = {section: values_of(section, given, wrong, faults) for section in VALUES}
    faults += faults_of_surfaces(given.get("default_surface"), built["surface"])
    faults += faults_of_names(built["drivetrain"])
    faults += faults_of_now(given, built["drivetrain"])
    faults += faults_of_route(path.parent, given.get("route"))
    if faults:
        raise all_at_once([f"{path}: {fault}" for fault in faults])
    rider = replace(built["rider"][0], effort=built["effort"][0])
    return Plan(
        path=path,
        route=path.parent / given["route"],
        **{key: path.parent / given[key] for key in LISTS if given.get(key)},
        rider=rider,
        bike=built["bike"][0],
        frame=built["frame"][0],
        conditions=built["conditions"][0],
        weights=built["score"][0],
        uncertain=built["days"][0],
        wishes=built["search"][0],
        limits=built["fleet"][0],
        stops=tuple(built["stop"]),
        surfaces=tuple(built["surface"]),
        drivetrains=tuple(built["drivetrain"]),
        cautions=plan_cautions(given, rider, built["bike"][0]),
        **{key: given[key] for key in ("step_m", "default_surface") if key in given},
    )


def _brought_by_bikes(key: str, data: Table) -> bool:
    """Whether the bikes of a list bring what the plan lacks: their gears."""
    return key == "drivetrain" and bool(data.get("bikes"))


def _read(path: Path) -> Table:
    quoted = shlex.quote(str(path))
    a_route = PlanError(
        f"{path}: looks like a route, not a plan; "
        f"write a plan for it with: gearsim new plan.toml --route {quoted}"
    )
    if path.name.lower().endswith(".gpx.gz") and path.name in _names_beside(path):
        raise a_route
    text = read_text(path, "a plan file", _without(path))
    if text.lstrip().startswith("<"):
        raise a_route
    return tables_of(path, text, repeated=REPEATED)


def _names_beside(path: Path) -> frozenset[str]:
    try:
        return frozenset(other.name for other in path.parent.iterdir())
    except (OSError, ValueError):  # a folder that is not there or cannot be
        return frozenset()


def _without(path: Path) -> str:
    """What to do where there is no such plan."""
    with_ending = Path(f"{path}.toml")
    if with_ending.name in _names_beside(path):
        return f"did you mean {with_ending}?"
    return f"write one with: gearsim new {shlex.quote(str(path))}"
