"""A squad: everyone with every drivetrain, who can share, how few will do, who stands out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

from gearsim.course.course import Course
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.studies.near_tie import NEAR_TIE_POINTS
from gearsim.studies.squad.gears import Gears, gears_of
from gearsim.studies.squad.sought import Sought
from gearsim.studies.squad.standing import Standing

MOST_BELOW_S = 300.0
"""Time below the lowest gear that an athlete still copes with (judgement, no source)."""

FAR_ABOVE = 3.0
MAD_PER_SD = 1.4826
FEWEST_FOR_FAR = 5
"""A mismatch is far above the others' when it is more than three standard deviations above their
median, the deviation being 1.4826 × the median absolute one, or half a point where that is more
(the very cautious rule of Leys et al. 2013, J Exp Soc Psychol 49:764-766, from memory); asked of
five athletes or more."""


@dataclass(frozen=True, kw_only=True)
class Outlier:
    """An athlete whom the squad's choice, or after a search the best of the few, does not suit.

    On the drivetrain at that place (`on`) they lose to their best by more than a near tie
    (`loses`), or are left far worse off than the others (`far_above`).
    """

    standing: Standing
    on: int
    loses: bool
    far_above: bool


@dataclass(frozen=True, kw_only=True)
class Served:
    """Whom some of the drivetrains serve: for whom one of them is as good as their best.

    `most_lost` is the largest mismatch above their own best that anyone is left with, each on the
    best of these for them, and `loser` who that is.
    """

    places: tuple[int, ...]
    athletes: int
    most_lost: float
    loser: Standing


@dataclass(frozen=True, kw_only=True)
class Squad:
    """Everyone with everything: drivetrains by the squad's mismatch, athletes as given.

    `together` is each drivetrain's mismatch with the seconds of all athletes counted as one ride;
    `few` are the fewest drivetrains that serve all, each in turn the one that adds most;
    `left_out` says of whom no ride could be computed, and why; `unsettled` counts rides whose
    shift plan had not quite settled.  `sought` is there where the drivetrains were sought.
    """

    course: Course
    conditions: Conditions
    drivetrains: tuple[Drivetrain, ...]
    together: tuple[float, ...]
    few: tuple[int, ...]
    standings: tuple[Standing, ...]
    left_out: tuple[str, ...]
    unsettled: int
    most_below_s: float = MOST_BELOW_S
    sought: Sought | None = None

    @property
    def choice(self) -> Drivetrain:
        """The drivetrain with the least mismatch for all together."""
        return self.drivetrains[0]

    @property
    def others(self) -> dict[Gears, tuple[Drivetrain, ...]]:
        """What athletes have beside the squad's drivetrains: by the gears, under all its names."""
        told: dict[Gears, list[Drivetrain]] = {}
        for each in self.standings:
            has = each.athlete.drivetrain
            if has is not None and each.has is None:
                told.setdefault(gears_of(has), []).append(has)
        return {gears: tuple(dict.fromkeys(same)) for gears, same in told.items()}

    @property
    def shared(self) -> dict[int, tuple[Standing, ...]]:
        """The athletes by the place of the drivetrain that is their best."""
        groups = {
            place: tuple(each for each in self.standings if each.best == place)
            for place in range(len(self.drivetrains))
        }
        return {place: group for place, group in groups.items() if group}

    @property
    def outliers(self) -> tuple[Outlier, ...]:
        """The athletes who stand out, as given."""
        on = [0 if self.sought is None else each.best for each in self.standings]
        mismatch = [
            each.scores[place].mismatch for each, place in zip(self.standings, on, strict=True)
        ]
        limit = far_above(mismatch)
        found = [
            Outlier(standing=each, on=place, loses=not each.will_do(place), far_above=value > limit)
            for each, place, value in zip(self.standings, on, mismatch, strict=True)
        ]
        return tuple(each for each in found if each.loses or each.far_above)

    @property
    def served(self) -> tuple[Served, ...]:
        """Whom the first of the few serves, then the first two of them, and so on to all."""
        return tuple(self._served(self.few[: n + 1]) for n in range(len(self.few)))

    def _served(self, places: tuple[int, ...]) -> Served:
        lost = [(_lost(each, places), each) for each in self.standings]
        most_lost, loser = max(lost, key=lambda pair: pair[0])
        athletes = sum(any(map(each.will_do, places)) for each in self.standings)
        return Served(places=places, athletes=athletes, most_lost=most_lost, loser=loser)


def _lost(standing: Standing, places: Sequence[int]) -> float:
    """Mismatch above the least possible, on the best of these drivetrains for the athlete."""
    open_to = [place for place in places if place not in standing.closed] or places
    return min(standing.scores[n].mismatch for n in open_to) - standing.least_mismatch


def far_above(values: Sequence[float]) -> float:
    """The value beyond which one is far above the others (see `FAR_ABOVE`); inf for a few."""
    if len(values) < FEWEST_FOR_FAR:
        return float("inf")
    middle = median(values)
    spread = MAD_PER_SD * median(abs(value - middle) for value in values)
    return middle + FAR_ABOVE * max(spread, NEAR_TIE_POINTS)


def best_first(squad: Squad) -> Squad:
    """The squad with its drivetrains in the order of their mismatch for all together."""
    order = sorted(range(len(squad.drivetrains)), key=squad.together.__getitem__)
    place = {old: new for new, old in enumerate(order)}
    return replace(
        squad,
        drivetrains=tuple(squad.drivetrains[old] for old in order),
        together=tuple(squad.together[old] for old in order),
        few=tuple(place[old] for old in squad.few),
        standings=tuple(
            replace(
                each,
                scores=tuple(each.scores[old] for old in order),
                best=place[each.best],
                has=None if each.has is None else place[each.has],
                closed=frozenset(place[old] for old in each.closed),
            )
            for each in squad.standings
        ),
    )
