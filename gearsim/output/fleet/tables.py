"""A fleet as tables for spreadsheets and as records for programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from gearsim.course.climbs import total_climb_m
from gearsim.output.fleet.abilities import ability_rows
from gearsim.output.fleet.reading import FleetReading
from gearsim.output.fleet.words import (
    caution_told,
    definitions,
    fleet_cautions,
    walks_told,
    why_without,
)
from gearsim.setup.guest import Guest
from gearsim.setup.hire_bike import HireBike
from gearsim.studies.fleet.fleet import Fleet
from gearsim.studies.fleet.group_places import GroupPlace
from gearsim.studies.fleet.nearest_change import Change, NewPart
from gearsim.studies.fleet.outing import Outing
from gearsim.units import KMH_PER_MPS, SECONDS_PER_MINUTE

if TYPE_CHECKING:
    import pandas as pd

Row = dict[str, Any]


def fleet_table(fleet: Fleet, read: FleetReading) -> pd.DataFrame:
    """One row for each guest with each bike; the unit of every column is in its name."""
    import pandas as pd

    return pd.DataFrame(_pairs(fleet, read))


def allocation_table(fleet: Fleet) -> pd.DataFrame:
    """One row a guest: the bike that they get and what it comes to; empty for none."""
    import pandas as pd

    return pd.DataFrame([_given(fleet, guest) for guest in range(len(fleet.guests))])


def fleet_records(fleet: Fleet, read: FleetReading) -> dict[str, Any]:
    """Everything, with what was assumed and left out, in plain types ready for JSON."""
    course = fleet.course
    return {
        "route": {
            "name": course.name,
            "length_km": course.length_m / 1000.0,
            "climb_m": total_climb_m(course),
            "step_m": course.step_m,
            "source": course.report.source,
        },
        "conditions": asdict(fleet.day.conditions),
        "limits": asdict(fleet.day.limits),
        "bikes": [
            {**_bike(bike), "left_over": fleet.left(n)} for n, bike in enumerate(fleet.bikes)
        ],
        "guests": [_guest(guest) for guest in fleet.guests],
        "abilities": ability_rows(fleet),
        "outings": _pairs(fleet, read),
        "allocation": [_given(fleet, guest) for guest in range(len(fleet.guests))],
        "will_do": [
            {
                "guest": guest.name,
                "bikes": [fleet.bikes[bike].name for bike in fleet.will_do(number)],
            }
            for number, guest in enumerate(fleet.guests)
        ],
        "changes": [_change(fleet, each) for each in read.changes],
        "places": [_place(fleet, place) for place in read.places],
        "steep_descents": [asdict(descent) for descent in read.descents],
        "left_out": [*read.faults, *fleet.left_out],
        "guesses": list(read.guesses),
        "definitions": list(definitions(fleet)),
        "cautions": list(fleet_cautions(fleet)),
    }


def _pairs(fleet: Fleet, read: FleetReading) -> list[Row]:
    changes = {(each.guest, each.bike): each for each in read.changes}
    return [
        {
            "guest": guest.name,
            "bike": bike.name,
            "given": fleet.given[g] == b,
            **_outing(fleet.outings[g][b]),
            **_parts(changes.get((g, b))),
        }
        for g, guest in enumerate(fleet.guests)
        for b, bike in enumerate(fleet.bikes)
    ]


def _outing(each: Outing) -> Row:
    return {
        "verdict": str(each.suits),
        "against": ", ".join(each.against),
        "mismatch": each.score.mismatch,
        "finish_min": each.score.finish_s / SECONDS_PER_MINUTE,
        "walked_m": each.walked_m,
        "walking_min": each.walking_s / SECONDS_PER_MINUTE,
        "below_lowest_gear_min": each.below_s / SECONDS_PER_MINUTE,
        "walks": walks_told(each),
    }


def _parts(change: Change | None) -> Row:
    found = (None, None) if change is None else (change.cassette, change.chainset)
    cassette, chainset = (None if part is None else part.part.name for part in found)
    return {"nearest_cassette": cassette, "nearest_chainset": chainset}


def _given(fleet: Fleet, guest: int) -> Row:
    bike, each = fleet.given[guest], fleet.given_outing(guest)
    row: Row = {"guest": fleet.guests[guest].name}
    if bike is None or each is None:
        empty = dict.fromkeys(_outing(fleet.outings[guest][0]))
        return {**row, "bike": None, **empty, "verdict": why_without(fleet, guest)}
    return {**row, "bike": fleet.bikes[bike].name, **_outing(each)}


def _bike(bike: HireBike) -> Row:
    return {
        "name": bike.name,
        "count": bike.count,
        "gears_label": bike.drivetrain.label,
        "chainrings": list(bike.drivetrain.chainrings),
        "sprockets": list(bike.drivetrain.sprockets),
        "ratios": list(bike.drivetrain.ratios),
        "tyre_mm": bike.bike.tyre_mm,
        "mass_kg": bike.bike.mass_kg,
        "drag_area_m2": bike.bike.drag_area_m2,
        "tyre_rolling_factor": bike.bike.tyre_rolling_factor,
        "rider_from_cm": bike.rider_from_cm,
        "rider_to_cm": bike.rider_to_cm,
        "assumed": list(bike.assumed),
    }


def _guest(guest: Guest) -> Row:
    rider = guest.rider
    (low, high), (low_limit, high_limit) = rider.band_rpm, rider.limits_rpm
    return {
        "name": guest.name,
        "ability": guest.ability,
        "height_cm": guest.height_cm,
        "mass_kg": rider.mass_kg,
        "power_w": rider.power_w,
        "critical_power_w": rider.critical_w,
        "reserve_kj": rider.reserve_j / 1000.0,
        "target_cadence_rpm": rider.target_cadence_rpm,
        "band_low_rpm": low,
        "band_high_rpm": high,
        "limit_low_rpm": low_limit,
        "limit_high_rpm": high_limit,
        "descending_kmh": rider.descending_mps * KMH_PER_MPS,
        "by_class": list(guest.by_class),
        "assumed": list(guest.assumed),
    }


def _change(fleet: Fleet, each: Change) -> Row:
    return {
        "guest": fleet.guests[each.guest].name,
        "bike": fleet.bikes[each.bike].name,
        "cassette": _new_part(each.cassette),
        "chainset": _new_part(each.chainset),
    }


def _new_part(part: NewPart | None) -> Row | None:
    if part is None:
        return None
    return {"name": part.part.name, "check_first": [caution_told(each) for each in part.cautions]}


def _place(fleet: Fleet, place: GroupPlace) -> Row:
    return {
        "start_km": place.start_m / 1000.0,
        "length_m": place.length_m,
        "steepest_grade": place.steepest_grade,
        "near": place.near,
        "walking": [fleet.guests[guest].name for guest in place.walking],
        "pushing": [fleet.guests[guest].name for guest in place.pushing],
    }
