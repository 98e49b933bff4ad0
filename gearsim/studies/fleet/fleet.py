"""Many bikes, many guests, one route: what suits whom, and who gets which."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.ride.score import Weights
from gearsim.setup.conditions import Conditions
from gearsim.setup.guest import Guest
from gearsim.setup.hire_bike import HireBike
from gearsim.setup.outing_limits import OutingLimits
from gearsim.studies.fleet.allocation import allocate
from gearsim.studies.fleet.outing import Day, Outing, Suits, outing
from gearsim.studies.over_cores import over_cores

Done = Callable[[], None]


@dataclass(frozen=True, kw_only=True)
class Fleet:
    """Every guest on every bike, and the allocation; guests and bikes as given.

    `outings` are (guests, bikes); `given` is the number of each guest's bike, None for a guest who
    is left without.  `left_out` says for whom no ride could be computed, and why.
    """

    day: Day
    bikes: tuple[HireBike, ...]
    guests: tuple[Guest, ...]
    outings: tuple[tuple[Outing, ...], ...]
    given: tuple[int | None, ...]
    left_out: tuple[str, ...] = ()

    @property
    def course(self) -> Course:
        """The course of the day."""
        return self.day.course

    @property
    def unsettled(self) -> int:
        """How many rides had a shift plan that had not quite settled."""
        return sum(not each.settled for row in self.outings for each in row)

    @property
    def without(self) -> tuple[int, ...]:
        """The guests who are left without a bike."""
        return tuple(guest for guest, bike in enumerate(self.given) if bike is None)

    def will_do(self, guest: int) -> tuple[int, ...]:
        """The bikes that are suitable for a guest: least walking first, then least mismatch."""
        row = self.outings[guest]
        able = [n for n, each in enumerate(row) if each.suits is not Suits.NOT_SUITABLE]
        return tuple(sorted(able, key=lambda n: (row[n].walked_m, row[n].score.mismatch)))

    def given_outing(self, guest: int) -> Outing | None:
        """The guest's day on the bike that they get; None for a guest who is left without."""
        bike = self.given[guest]
        return None if bike is None else self.outings[guest][bike]

    def left(self, bike: int) -> int:
        """How many bikes of a kind are not given to anybody."""
        return self.bikes[bike].count - self.given.count(bike)


def ride_fleet(
    course: Course,
    bikes: Sequence[HireBike],
    guests: Sequence[Guest],
    conditions: Conditions,
    *,
    limits: OutingLimits | None = None,
    weights: Weights | None = None,
    workers: int | None = None,
    done: Done | None = None,
) -> Fleet:
    """Every guest rides every bike over the course, on all cores, and bikes are allocated.

    Only scores and places are kept of the rides; `done` is called after each.  A guest with whom a
    ride cannot be computed is left out.  Raises `PlanError` when there is no bike or guest, names
    are there twice, or everyone is left out.
    """
    _require_names("bike", [bike.name for bike in bikes])
    _require_names("guest", [guest.name for guest in guests])
    day = Day(
        course=course,
        conditions=conditions,
        limits=limits or OutingLimits(),
        weights=weights or Weights(),
    )

    def ridden(pair: tuple[Guest, HireBike]) -> Outing | PlanError:
        try:
            return outing(day, *pair)
        except PlanError as error:
            return error

    pairs = [(guest, bike) for guest in guests for bike in bikes]
    found = over_cores(ridden, pairs, workers=workers, done=done)
    rows = [found[n * len(bikes) : (n + 1) * len(bikes)] for n in range(len(guests))]
    kept: list[tuple[Guest, tuple[Outing, ...]]] = []
    left_out: list[str] = []
    for guest, row in zip(guests, rows, strict=True):
        faults = [each for each in row if isinstance(each, PlanError)]
        if faults:
            left_out.append(f"{guest.name}: {faults[0]}")
        else:
            kept.append((guest, tuple(each for each in row if isinstance(each, Outing))))
    if not kept:
        raise PlanError(left_out[0])
    outings = tuple(row for _, row in kept)
    return Fleet(
        day=day,
        bikes=tuple(bikes),
        guests=tuple(guest for guest, _ in kept),
        outings=outings,
        given=_given(outings, bikes),
        left_out=tuple(left_out),
    )


def _require_names(what: str, names: Sequence[str]) -> None:
    if not names:
        raise PlanError(f"there is no {what}; give at least one")
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise PlanError(f"two {what}s are named {twice[0]!r}; give each its own name")


def _given(
    outings: Sequence[Sequence[Outing]], bikes: Sequence[HireBike]
) -> tuple[int | None, ...]:
    return allocate(
        np.array([[each.walked_m for each in row] for row in outings]),
        np.array([[each.score.mismatch for each in row] for row in outings]),
        np.array([[each.suits is not Suits.NOT_SUITABLE for each in row] for row in outings]),
        [bike.count for bike in bikes],
    )
