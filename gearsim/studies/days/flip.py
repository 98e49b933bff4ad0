"""The nearest day found on which the verdict flips, made as plain as it can be."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from gearsim.setup.conditions import Conditions
from gearsim.setup.uncertain import Uncertain
from gearsim.studies.days.draws import (
    INPUTS,
    SCORE_AT_90_PERCENT,
    Day,
    Input,
    any_direction,
    day_of,
    varying,
    wet_above,
)

Behind = Callable[[Day, int], float]
"""How far the choice's mismatch is above a contender's on a day; above 0 the contender wins."""

MOST_STARTS = 3
HALVINGS = 5


@dataclass(frozen=True, kw_only=True)
class Flip:
    """A day on which the candidate at `contender` wins by `points`; `changed` is what makes it so.

    All else is in the middle of its range.  `spreads` is how far from there the day is: the root
    of the summed squares of each changed input's distance, in half ranges (one in ten is further
    out to that side).
    """

    day: Day
    contender: int
    points: float
    changed: tuple[Input, ...]
    spreads: float


@dataclass(frozen=True, kw_only=True)
class Ranges:
    """What days are drawn from."""

    uncertain: Uncertain
    conditions: Conditions

    def distance(self, day: Day, changed: Sequence[Input]) -> float:
        """How far the changed inputs are from the middle of their ranges, in half ranges."""
        return math.hypot(*(self._spreads(day, what) for what in changed))

    def day(self, scores: dict[Input, float], number: int) -> Day:
        """The day with these scores, and all else in the middle of its range."""
        return day_of(
            [scores.get(what, 0.0) for what in INPUTS],
            self.uncertain,
            self.conditions,
            number=number,
            heights_certain=Input.HEIGHTS not in scores,
        )

    def is_scaled(self, what: Input) -> bool:
        """Whether an input can be nearer to its middle or further from it."""
        if what is Input.WET:
            return False
        return what is not Input.WIND_FROM or not any_direction(self.conditions)

    def differing(self, day: Day) -> tuple[Input, ...]:
        """The inputs of a day that are not as in the middle of the ranges."""
        middle = self.day({}, 0)
        return tuple(
            what
            for what in varying(self.uncertain, self.conditions)
            if what is not Input.WET or day.wet != middle.wet
        )

    def _spreads(self, day: Day, what: Input) -> float:
        if what is Input.WET:
            return abs(wet_above(self.uncertain, self.conditions)) / SCORE_AT_90_PERCENT
        return abs(day.score(what)) / SCORE_AT_90_PERCENT if self.is_scaled(what) else 0.0


def starts_of(
    days: Sequence[Day], contenders: Sequence[int | None], ranges: Ranges
) -> list[tuple[Day, int]]:
    """The nearest drawn days on which another candidate wins, and which one."""
    flipped = [
        (day, contender)
        for day, contender in zip(days, contenders, strict=True)
        if contender is not None
    ]
    flipped.sort(key=lambda found: ranges.distance(found[0], ranges.differing(found[0])))
    return flipped[:MOST_STARTS]


def plainest_flip(start: Day, contender: int, ranges: Ranges, behind: Behind) -> Flip:
    """A day near the middle on which the contender still wins, from a drawn one on which it does.

    One input after the other, twice, the least changed first, goes to the middle of its range
    unless the contender then no longer wins; then what is left goes towards the middle together, by
    halving.
    Every step is ridden.  No nearer day is ruled out.
    """
    scores = {what: start.score(what) for what in ranges.differing(start)}
    points = behind(start, contender)
    for what in 2 * sorted(scores, key=lambda each: ranges.distance(start, [each])):
        fewer = {other: value for other, value in scores.items() if other is not what}
        found = behind(ranges.day(fewer, start.number), contender) if what in scores else 0.0
        if found > 0.0:
            scores, points = fewer, found
    near, far = 0.0, 1.0
    for _ in range(HALVINGS if any(map(ranges.is_scaled, scores)) else 0):
        half = 0.5 * (near + far)
        found = behind(ranges.day(_scaled(scores, half, ranges), start.number), contender)
        if found > 0.0:
            far, points = half, found
        else:
            near = half
    day = ranges.day(_scaled(scores, far, ranges), start.number)
    changed = tuple(scores)
    return Flip(
        day=replace(day, number=0) if not changed else day,
        contender=contender,
        points=points,
        changed=changed,
        spreads=ranges.distance(day, changed),
    )


def _scaled(scores: dict[Input, float], times: float, ranges: Ranges) -> dict[Input, float]:
    return {
        what: value * times if ranges.is_scaled(what) else value for what, value in scores.items()
    }
