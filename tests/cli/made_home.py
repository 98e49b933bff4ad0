"""A folder with all that a command can be given, and every command of the parser with its words."""

from argparse import ArgumentParser
from functools import cache
from pathlib import Path

from made_recordings import as_gpx, loop, recorded, ride_of
from made_rides import SINGLE

from gearsim.cli.completion import actions
from gearsim.cli.example_route import example_gpx
from gearsim.cli.new import _plan_text
from gearsim.cli.parser import parser
from gearsim.setup.rider import Rider

COMMANDS: dict[str, ArgumentParser] = next(
    each.choices for each in actions(parser()) if each.dest == "command" and each.choices
)
GIVEN = {
    "PLAN": "plan.toml",
    "FILE": "route.gpx",
    "RIDE": "ride.gpx",
    "WHAT": "46-30x11-13-15-17-19-21-24-28-34",
    "SHELL": "bash",
}
"""What stands for an argument in the tests, by what the help calls it."""

OTHERWISE = {
    "new": ["new.toml", "--route", "route.gpx"],  # its PLAN is not read but written
    "rings": ["plan.toml", "--candidates"],  # few rides
}
"""Commands that are given something else."""

LISTS = {
    "athletes.csv": "name,mass_kg,power_w,has\nAda,58,172,one ring\nBen,82,,two rings\n",
    "bikes.csv": (
        "name,count,chainrings,sprockets\n"
        "Grey,1,48-36-26,11-13-15-17-20-23-26-30-34\nBlue,2,42,11-13-15-17-19-21-24-28-32\n"
    ),
    "guests.csv": "name,ability,mass_kg\nAlma,now and then,64\nBruno,every week,80\n",
}

FEW_BUILDS = "chainrings = 1\nlargest_mass_kg = 1.4"
"""Wishes that leave few builds to search."""


def given(command: str) -> list[str]:
    """A command with what it needs, and hardly ever an option."""
    if command in OTHERWISE:
        return [command, *OTHERWISE[command]]
    needed = [each for each in COMMANDS[command]._actions if not each.option_strings]
    return [command, *(GIVEN[str(each.metavar)] for each in needed)]


def options(command: str) -> set[str]:
    """The options of a command."""
    return {option for each in COMMANDS[command]._actions for option in each.option_strings}


def furnish(folder: Path) -> None:
    """Put all files of `GIVEN` into a folder, with lists for the plan."""
    (folder / "route.gpx").write_text(example_gpx())
    (folder / "ride.gpx").write_text(_recorded_ride())
    text = _plan_text(folder / "plan.toml", folder / "route.gpx")
    for name, table in LISTS.items():
        key = name.removesuffix(".csv")
        assert f"# {key} = " in text
        text = text.replace(f"# {key} = ", f"{key} = ")
        (folder / name).write_text(table)
    assert text.count("[search]\n") == 1
    text = text.replace("[search]\n", f"[search]\n{FEW_BUILDS}\n")
    (folder / "plan.toml").write_text(text)


@cache
def _recorded_ride() -> str:
    ride = ride_of(Rider(power_w=200.0), drivetrain=SINGLE, course=loop(8_000.0))
    return as_gpx(recorded(ride))
