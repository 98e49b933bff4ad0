"""One ring against two as drawings of a page: ladders of gears, a group's pace, what turns it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np

from gearsim.output.drawing.profile import Floats, round_ticks
from gearsim.output.one_or_two.words import SIDES, UNITS, lever_told
from gearsim.output.report.parts import Drawing, Label, Shape
from gearsim.output.words import at_least_shown
from gearsim.setup.gear_sheet import GearSheet
from gearsim.studies.one_or_two.lever_curve import LeverCurve
from gearsim.studies.one_or_two.one_or_two import OneOrTwo
from gearsim.units import KMH_PER_MPS, SECONDS_PER_MINUTE

WIDTH, HEIGHT = 1000, 400
RING_HEIGHT, RING_GAP = 60, 24
MARGIN = 0.04  # of the width, free at both ends of the gears
SPEEDS_KMH = (5, 10, 20, 30, 50)
CLOSE_PERCENT, WIDE_PERCENT = 11.0, 16.0
"""Steps up to the first are drawn pale, above the second dark (judgement)."""

PACES = 401
MOST_TICKS = 4


def ladders(found: OneOrTwo) -> tuple[Drawing, Drawing]:
    """The gears of both sides over one logarithmic scale of ratios."""
    sheets = (found.one.sheet, found.two.sheet)
    ratios = np.concatenate([np.log(sheet.gears.ratio) for sheet in sheets])
    low, high = float(ratios.min()), float(ratios.max())
    margin = MARGIN * (high - low)
    ends = (low - margin, high + margin)
    one, two = (_ladder(side, sheet, ends) for side, sheet in zip(SIDES, sheets, strict=True))
    return one, two


def _ladder(side: str, sheet: GearSheet, ends: tuple[float, float]) -> Drawing:
    gears = sheet.gears
    x = _across(np.log(gears.ratio), ends)
    rings = int(gears.ring.max()) + 1
    fields: dict[str, list[str]] = {"step-close": [], "step-middling": [], "step-wide": []}
    rungs = []
    for ring in range(rings):
        of_ring = np.flatnonzero(gears.ring == ring).tolist()
        top = ring * (RING_HEIGHT + RING_GAP)
        bottom = top + RING_HEIGHT
        rungs += [f"M{x[gear]:.1f} {top}V{bottom}" for gear in of_ring]
        for higher, lower in pairwise(of_ring):
            step = float(sheet.step_below_percent[higher])
            fields[_filling(step)].append(
                f"M{x[lower]:.1f} {top}H{x[higher]:.1f}V{bottom}H{x[lower]:.1f}Z"
            )
    filled = [Shape(filling=name, path="".join(path)) for name, path in fields.items() if path]
    height = rings * RING_HEIGHT + (rings - 1) * RING_GAP
    return Drawing(
        title=f"The gears with {side}",
        about=_told_of_gears(sheet),
        width=WIDTH,
        height=height,
        shapes=(*filled, Shape(filling="rung", path="".join(rungs))),
        below=_speeds(sheet, ends),
    )


def _filling(step_percent: float) -> str:
    if step_percent <= CLOSE_PERCENT:
        return "step-close"
    return "step-wide" if step_percent > WIDE_PERCENT else "step-middling"


def _across(values: Floats, ends: tuple[float, float]) -> Floats:
    return WIDTH * (values - ends[0]) / (ends[1] - ends[0])


def _speeds(sheet: GearSheet, ends: tuple[float, float]) -> tuple[Label, ...]:
    """Speeds at the target cadence, under the ratios that have them."""
    turn_m = sheet.bike.circumference_m * sheet.rider.target_cadence_rpm / SECONDS_PER_MINUTE
    ratios = np.log(np.array(SPEEDS_KMH) / KMH_PER_MPS / turn_m)
    percents = (_across(ratios, ends) * 100.0 / WIDTH).tolist()
    return tuple(
        Label(text=f"{kmh} km/h", left_percent=percent)
        for kmh, percent in zip(SPEEDS_KMH, percents, strict=True)
        if 0.0 <= percent <= 96.0
    )


def _told_of_gears(sheet: GearSheet) -> str:
    largest = sheet.largest_step_percent
    steps = "" if largest is None else f", the largest step {largest:.0f} %"
    return (
        f"{len(sheet.gears.ratio)} gears over {sheet.range_percent:.0f} %, "
        f"{sheet.distinct_ratios} of them distinct{steps}."
    )


def group_drawing(found: OneOrTwo) -> Drawing:
    """The cadence in the nearest gear at every pace of the group."""
    group = found.one.group
    pace = np.linspace(*group.paces_mps, PACES)
    worst = max(found.one.group.worst_off_rpm, found.two.group.worst_off_rpm)
    room = max(1.3 * worst, 1.0)
    box = _Box(
        x=(KMH_PER_MPS * group.paces_mps[0], KMH_PER_MPS * group.paces_mps[1]),
        y=(group.target_rpm - room, group.target_rpm + room),
    )
    lines = [
        line
        for rings, side in enumerate((found.one, found.two), start=1)
        for line in _line(rings, box.path(KMH_PER_MPS * pace, side.group.cadence_rpm(pace)))
    ]
    target = box.top(group.target_rpm)
    return Drawing(
        title="Cadence at a group's pace",
        about="; ".join(
            f"{name}: {at_least_shown(side.group.mean_off_rpm, 1)} rpm off the target on average, "
            f"{at_least_shown(side.group.worst_off_rpm, 1)} at worst"
            for name, side in zip(SIDES, (found.one, found.two), strict=True)
        ),
        width=WIDTH,
        height=HEIGHT,
        shapes=(*box.rules(), Shape(filling="own", path=f"M0 {target:.1f}H{WIDTH}"), *lines),
        labels=box.heights("rpm"),
        below=box.places("km/h"),
    )


def lever_drawing(found: OneOrTwo, curve: LeverCurve) -> Drawing:
    """Mismatch of the best of each side as one thing changes."""
    value = np.array([each.value for each in curve.standings])
    one = np.array([each.one for each in curve.standings])
    two = np.array([each.two for each in curve.standings])
    finite = [score for score in (*one, *two) if math.isfinite(score)]
    highest = max(finite, default=0.0)
    low, high = curve.searched
    box = _Box(x=(low, high if high > low else low + 1.0), y=(0.0, 1.15 * highest or 1.0))
    shapes = [*box.rules(), Shape(filling="own", path=box.upright(curve.own))]
    for rings, scores in ((1, one), (2, two)):
        shapes += _line(rings, box.path(value, scores))
    turns = [turn for turn in (curve.down, curve.up) if turn is not None]
    shapes += [Shape(filling="turn", path=box.upright(turn.value)) for turn in turns]
    return Drawing(
        title=f"Mismatch as {curve.lever} changes",
        about=lever_told(found, curve),
        width=WIDTH,
        height=HEIGHT,
        shapes=tuple(shapes),
        labels=box.heights(""),
        below=box.places(UNITS[curve.lever]),
    )


def _line(rings: int, path: str) -> list[Shape]:
    """A single line for one ring, a double one for two."""
    if rings == 1:
        return [Shape(filling="single", path=path)]
    return [Shape(filling="double", path=path), Shape(filling="inside", path=path)]


class _Box:
    """What a drawing shows, from and to, across and up."""

    def __init__(self, *, x: tuple[float, float], y: tuple[float, float]) -> None:
        self.x, self.y = x, y

    def left(self, value: float) -> float:
        return WIDTH * (value - self.x[0]) / (self.x[1] - self.x[0])

    def top(self, value: float) -> float:
        return HEIGHT * (self.y[1] - value) / (self.y[1] - self.y[0])

    def path(self, x: Iterable[float], y: Iterable[float]) -> str:
        points = [
            f"{self.left(one):.1f} {self.top(other):.1f}"
            for one, other in zip(x, y, strict=True)
            if math.isfinite(other)
        ]
        return f"M{'L'.join(points)}" if points else ""

    def upright(self, value: float) -> str:
        return f"M{self.left(value):.1f} 0V{HEIGHT}"

    def rules(self) -> Sequence[Shape]:
        path = "".join(f"M0 {self.top(tick):.1f}H{WIDTH}" for tick in self._ticks(self.y))
        return [Shape(filling="level", path=path)]

    def heights(self, unit: str) -> tuple[Label, ...]:
        return tuple(
            Label(
                text=f"{tick:g} {unit}".strip(),
                left_percent=0.0,
                top_percent=100.0 * self.top(tick) / HEIGHT,
            )
            for tick in self._ticks(self.y)
        )

    def places(self, unit: str) -> tuple[Label, ...]:
        ticks = self._ticks(self.x)
        return tuple(
            Label(text=f"{tick:g} {unit}", left_percent=100.0 * self.left(tick) / WIDTH)
            for tick in ticks
            if self.left(tick) <= 0.95 * WIDTH
        )

    @staticmethod
    def _ticks(ends: tuple[float, float]) -> list[float]:
        return [float(tick) + 0.0 for tick in round_ticks(*ends, MOST_TICKS)]  # no -0
