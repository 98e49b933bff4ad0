"""The course and what happens along it as drawings of a report: profile, lanes, hardest places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gearsim.course.climbs import climbs
from gearsim.course.course import Course
from gearsim.output.comparison.chart import LEAST_SHADE
from gearsim.output.drawing.lanes import bars
from gearsim.output.drawing.profile import LEAST_HEIGHT_SPAN_M, Floats, round_ticks, thinned
from gearsim.output.drawing.style import MARKS
from gearsim.output.places.words import length
from gearsim.output.report.parts import Drawing, Label, Row, Shape, Table
from gearsim.output.words import (
    STATE_PHRASES,
    about,
    clean,
    duration,
    listed,
    mean_grade,
)
from gearsim.ride.score import WorstPlace
from gearsim.ride.states import State
from gearsim.studies.compare import Candidate
from gearsim.studies.hard_places import HardPlace, hardest_places

WIDTH, PROFILE_HEIGHT, LANE_HEIGHT = 1000, 200, 60
MOST_KM_LABELS, MOST_HEIGHT_LABELS = 6, 4


@dataclass(frozen=True, kw_only=True)
class Lane:
    """A candidate's lane along the road: its mark (its rank) and name, its gears, the drawing."""

    mark: str
    name: str
    gears: str
    drawing: Drawing


@dataclass(frozen=True, kw_only=True)
class Road:
    """The profile, a lane for each candidate, and the places that are shaded in both."""

    profile: Drawing
    lanes: tuple[Lane, ...]
    hardest: Table


def road(candidates: Sequence[Candidate], marks: Sequence[str] = ()) -> Road:
    """The course with the states of every candidate along it.

    `marks` stand before the names of the candidates, their ranks where none are given.
    """
    marks = marks or [str(rank) for rank in range(1, len(candidates) + 1)]
    course = candidates[0].ride.course
    hardest = sorted(hardest_places(candidates), key=lambda place: place.told.start_m)
    shaded = _shaded(course, [place.told for place in hardest])
    return Road(
        profile=_profile(course, shaded),
        lanes=tuple(
            Lane(
                mark=mark,
                name=clean(candidate.name),
                gears=candidate.ride.drivetrain.label,
                drawing=lane_drawing(candidate, shaded),
            )
            for mark, candidate in zip(marks, candidates, strict=True)
        ),
        hardest=_hardest_table(hardest),
    )


def lane_drawing(candidate: Candidate, shaded: Floats) -> Drawing:
    """Where a candidate's gears do not suit: bars on a rail, as in the comparison's picture.

    `shaded` (k, 2) are spans of the width, from and to.
    """
    boxes = [
        Shape(filling=state.name.lower().replace("_", "-"), path=_boxes(candidate, state))
        for state in MARKS
    ]
    rail = LANE_HEIGHT // 2
    return Drawing(
        title=f"Where the gears of {clean(candidate.name)} do not suit",
        about=_told(candidate),
        width=WIDTH,
        height=LANE_HEIGHT,
        shapes=(
            Shape(filling="shade", path=_spans_path(shaded, LANE_HEIGHT)),
            *(shape for shape in boxes if shape.path),
            Shape(filling="rail", path=f"M0 {rail}H{WIDTH}"),
        ),
    )


def letter(number: int) -> str:
    """The letter that marks the hardest place of that number, from 0."""
    return chr(ord("A") + number)


def _profile(course: Course, shaded: Floats) -> Drawing:
    km, height = thinned(course.distance_m / 1000.0, course.elevation_m)
    low, span = float(height.min()), max(float(np.ptp(height)), LEAST_HEIGHT_SPAN_M)
    x, y = WIDTH * km / km[-1], PROFILE_HEIGHT * (1.0 - _up(height, low, span))
    skyline = "L".join(f"{left:.1f} {top:.1f}" for left, top in zip(x, y, strict=True))
    ground = f"M{skyline}L{WIDTH} {PROFILE_HEIGHT}L0 {PROFILE_HEIGHT}Z"
    length_km = course.length_m / 1000.0
    return Drawing(
        title="Profile of the course",
        about=_told_of_course(course),
        width=WIDTH,
        height=PROFILE_HEIGHT,
        shapes=(
            Shape(filling="ground", path=ground),
            Shape(filling="shade", path=_spans_path(shaded, PROFILE_HEIGHT)),
            Shape(filling="skyline", path=f"M{skyline}"),
        ),
        labels=(*_height_labels(low, span), *_place_labels(shaded)),
        below=tuple(
            Label(text=f"{tick:g} km", left_percent=float(100.0 * tick / length_km))
            for tick in round_ticks(0.0, length_km, MOST_KM_LABELS)
        ),
    )


def _height_labels(low_m: float, span_m: float) -> list[Label]:
    ticks_m = round_ticks(low_m, low_m + span_m, MOST_HEIGHT_LABELS)
    tops = 100.0 * (1.0 - _up(ticks_m, low_m, span_m))
    return [
        Label(text=f"{tick:.0f} m", left_percent=0.0, top_percent=float(top))
        for tick, top in zip(ticks_m, tops, strict=True)
    ]


def _place_labels(shaded: Floats) -> list[Label]:
    middles = 100.0 / WIDTH * shaded.mean(axis=1)
    return [
        Label(text=letter(number), left_percent=float(middle), top_percent=100.0)
        for number, middle in enumerate(middles)
    ]


def _up(height_m: Floats, low_m: float, span_m: float) -> Floats:
    """How far up the drawing a height is, 0 to 1: there is ground under the lowest."""
    return 0.14 + 0.8 * (height_m - low_m) / span_m


def _shaded(course: Course, places: Sequence[WorstPlace]) -> Floats:
    """From and to of each place across the width (k, 2), wide enough to be seen."""
    start = np.array([place.start_m for place in places]) / course.length_m
    half = 0.5 * np.array([place.length_m for place in places]) / course.length_m
    middle, half = start + half, np.maximum(half, 0.5 * LEAST_SHADE)
    return WIDTH * np.clip(np.stack([middle - half, middle + half], axis=1), 0.0, 1.0)


def _spans_path(spans: Floats, height: int) -> str:
    return "".join(f"M{left:.1f} 0H{right:.1f}V{height}H{left:.1f}Z" for left, right in spans)


def _boxes(candidate: Candidate, state: State) -> str:
    scale = WIDTH / (candidate.ride.course.length_m / 1000.0)
    return "".join(
        f"M{scale * left:.1f} {LANE_HEIGHT * (0.5 - top):.1f}H{scale * right:.1f}"
        f"V{LANE_HEIGHT * (0.5 - bottom):.1f}H{scale * left:.1f}Z"
        for left, bottom, right, top in bars(candidate.ride, state, MARKS[state], 0.0)
    )


def _told(candidate: Candidate) -> str:
    seconds = candidate.score.seconds
    parts = [f"{about(seconds[s])} {STATE_PHRASES[s]}" for s in MARKS if seconds[s] > 0.0]
    if not parts:
        return "On target or coasting all the way."
    return f"{listed(parts)}. The places are in the tables further down."


def _told_of_course(course: Course) -> str:
    low, high = float(course.elevation_m.min()), float(course.elevation_m.max())
    largest = max(climbs(course), key=lambda climb: climb.gain_m, default=None)
    told = f"{course.length_m / 1000.0:.1f} km between {low:.0f} and {high:.0f} m."
    if largest is None:
        return told
    return (
        f"{told} The largest climb begins at km {largest.start_m / 1000.0:.1f}: "
        f"{largest.gain_m:.0f} m up in {length(largest.length_m)}."
    )


def _hardest_table(places: Sequence[HardPlace]) -> Table:
    return Table(
        caption="The hardest places, as the best that has trouble there meets them",
        corner="place",
        heads=("km", "length", "mean grade", "who fares worst, and on how long a stretch"),
        rows=tuple(
            Row(
                title=letter(number),
                cells=(
                    f"{place.told.start_m / 1000.0:.1f}",
                    length(place.told.length_m),
                    mean_grade(place.told.grade),
                    f"{clean(place.sufferer.name)}: {place.state}, "
                    f"{duration(place.seconds)} on {length(place.length_m)}",
                ),
            )
            for number, place in enumerate(places)
        ),
        worded=(3,),
    )
