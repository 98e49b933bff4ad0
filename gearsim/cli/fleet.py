"""`gearsim fleet PLAN`: every guest of a list on every bike of a list, and who gets which."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence

from gearsim.cli import console
from gearsim.cli.compare import COMPILING
from gearsim.cli.csv_files import table_file
from gearsim.cli.present import before_work, present
from gearsim.course.course import Course
from gearsim.lists.bikes import BikeList, load_bikes
from gearsim.lists.guests import GuestList, load_guests
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.fleet.abilities import abilities_table
from gearsim.output.fleet.chart import fleet_figure
from gearsim.output.fleet.reading import FleetReading
from gearsim.output.fleet.sheet import fleet_sheet
from gearsim.output.fleet.tables import allocation_table, fleet_records, fleet_table
from gearsim.output.fleet.text import fleet_text
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.ride import kernel_ready
from gearsim.setup.parts.parts_list import PartsList, load_parts
from gearsim.studies.fleet.fleet import Fleet, ride_fleet
from gearsim.studies.fleet.group_places import group_places, steep_descents
from gearsim.studies.fleet.nearest_change import Change, narrow_misses, nearest_changes

WRITTEN = ("fleet.csv", "allocation.csv", "abilities.csv", "fleet-sheet.html", "fleet.png")
COPIED_DIGITS = 12  # of numbers that, copied into a plan, are to give the same rides


def run(arguments: Namespace) -> None:
    """Ride, allocate, write the files, and print; rows that are wrong are told and left out."""
    plan = load_plan(arguments.plan)
    usual = plan.path.with_name(f"{plan.path.stem}-fleet")
    before_work(arguments, usual=usual, ours=WRITTEN)
    parts = load_parts(*plan.parts_files, *arguments.parts)
    bikes, guests = load_bikes(plan, parts), load_guests(plan)
    console.complain(*(f"{fault}; left out" for fault in (*bikes.faults, *guests.faults)))
    with console.doing(f"Loading {plan.route.name}", quiet=arguments.quiet):
        course = plan.load_course()
    fleet = _ride(plan, bikes, guests, course, quiet=arguments.quiet)
    console.complain(*(f"{fault}; left out" for fault in fleet.left_out))
    read = FleetReading(
        bikes=bikes,
        guests=guests,
        places=group_places(fleet),
        descents=steep_descents(course),
        changes=_changes(fleet, parts, quiet=arguments.quiet),
    )
    present(
        arguments,
        usual=usual,
        ours=WRITTEN,
        files=lambda: _files(fleet, read, plan.cautions),
        text=lambda: fleet_text(fleet, read, console.width(), console.colour()),
        records=lambda: fleet_records(fleet, read),
        cautions=plan.cautions,
    )


def _ride(plan: Plan, bikes: BikeList, guests: GuestList, course: Course, *, quiet: bool) -> Fleet:
    if not kernel_ready() and not quiet:
        console.note(COMPILING)
    rides = len(bikes.bikes) * len(guests.guests)
    with console.counting("Rides", rides, quiet=quiet) as done:
        return ride_fleet(
            course,
            bikes.bikes,
            guests.guests,
            plan.conditions,
            limits=plan.limits,
            weights=plan.weights,
            done=done,
        )


def _changes(fleet: Fleet, parts: PartsList, *, quiet: bool) -> tuple[Change, ...]:
    with console.counting("What to change", len(narrow_misses(fleet)), quiet=quiet) as done:
        return nearest_changes(fleet, parts, done=done)


def _files(fleet: Fleet, read: FleetReading, cautions: Sequence[str]) -> dict[str, bytes]:
    return {
        "fleet.csv": table_file(fleet_table(fleet, read)),
        "allocation.csv": table_file(allocation_table(fleet)),
        "abilities.csv": table_file(abilities_table(fleet), digits=COPIED_DIGITS),
        "fleet-sheet.html": fleet_sheet(fleet, read, cautions),
        "fleet.png": figure_png(fleet_figure(fleet, read)),
    }
