"""The places where a group needs its guide: where guests walk or push hard, and steep descents."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearsim.course.climbs import STEEPEST_PART_M, descents
from gearsim.course.course import Course
from gearsim.studies.cue_sheet import Advice, Cue
from gearsim.studies.fleet.fleet import Fleet

ONE_PLACE_M = 150.0  # guests' stretches so near each other are one place
STEEP_DESCENT = -0.08  # over 100 m: from here on a group is told to brake early (judgement)
STEEP_DESCENT_LOOSE = -0.05  # the same on ground that holds less than tarmac
LOOSE_GRIP = 0.40  # side grip in g, under which ground counts as loose
MOST_DESCENTS = 6


@dataclass(frozen=True, kw_only=True)
class GroupPlace:
    """A stretch where some guests walk and others push hard, on the bikes that they are given.

    `steepest_grade` is that of the steepest interval; `near` names the place of the course where
    it begins ("": none).  `walking` and `pushing` are guests, by number; nobody is in both.
    """

    start_m: float
    length_m: float
    steepest_grade: float
    near: str
    walking: tuple[int, ...]
    pushing: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class SteepDescent:
    """A descent to talk about beforehand: where, how steep over 100 m at most, on what ground."""

    start_m: float
    length_m: float
    steepest_at_m: float
    steepest_grade: float
    ground: str
    loose: bool


@dataclass(frozen=True, kw_only=True)
class _Stretch:
    start_m: float
    end_m: float
    steepest_grade: float
    near: str
    guest: int
    walks: bool


def group_places(fleet: Fleet) -> tuple[GroupPlace, ...]:
    """Where guests walk or push hard on the bikes that they are given, in riding order."""
    groups: list[list[_Stretch]] = []
    for each in sorted(_stretches(fleet), key=lambda each: each.start_m):
        if groups and each.start_m - max(one.end_m for one in groups[-1]) <= ONE_PLACE_M:
            groups[-1].append(each)
        else:
            groups.append([each])
    return tuple(_place(group) for group in groups)


def _stretches(fleet: Fleet) -> list[_Stretch]:
    return [
        _Stretch(
            start_m=cue.start_m,
            end_m=cue.start_m + cue.length_m,
            steepest_grade=cue.steepest_grade,
            near=cue.near,
            guest=guest,
            walks=cue.advice is Advice.WALK,
        )
        for guest in range(len(fleet.guests))
        for cue in _cues(fleet, guest)
    ]


def _cues(fleet: Fleet, guest: int) -> tuple[Cue, ...]:
    given = fleet.given_outing(guest)
    return () if given is None else given.cues


def _place(group: list[_Stretch]) -> GroupPlace:
    start_m = group[0].start_m
    walking = sorted({each.guest for each in group if each.walks})
    pushing = sorted({each.guest for each in group} - set(walking))
    return GroupPlace(
        start_m=start_m,
        length_m=max(each.end_m for each in group) - start_m,
        steepest_grade=max(each.steepest_grade for each in group),
        near=next((each.near for each in group if each.near), ""),
        walking=tuple(walking),
        pushing=tuple(pushing),
    )


def steep_descents(course: Course, most: int = MOST_DESCENTS) -> tuple[SteepDescent, ...]:
    """The steep descents of a course in riding order; the steepest where they are too many."""
    found = [_descent(course, each.start_m, each.end_m) for each in descents(course)]
    steep = [
        each
        for each in found
        if each.steepest_grade <= (STEEP_DESCENT_LOOSE if each.loose else STEEP_DESCENT)
    ]
    kept = sorted(steep, key=lambda each: each.steepest_grade)[:most]
    return tuple(sorted(kept, key=lambda each: each.start_m))


def _descent(course: Course, start_m: float, end_m: float) -> SteepDescent:
    first, end = round(start_m / course.step_m), round(end_m / course.step_m)
    window = min(max(1, round(STEEPEST_PART_M / course.step_m)), end - first)
    height_m = course.elevation_m[first : end + 1]
    falls = (height_m[window:] - height_m[:-window]) / (window * course.step_m)
    steepest = int(np.argmin(falls))
    inside = course.surface_index[first + steepest : first + steepest + window]
    worst = min(
        (course.surfaces[index] for index in set(inside.tolist())),
        key=lambda surface: surface.side_grip,
    )
    return SteepDescent(
        start_m=start_m,
        length_m=end_m - start_m,
        steepest_at_m=(first + steepest) * course.step_m,
        steepest_grade=float(falls[steepest]),
        ground=worst.name,
        loose=worst.side_grip < LOOSE_GRIP,
    )
