"""Every athlete rides all that fits, and the few drivetrains that serve all are kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.ride.score import Score, Weights
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.studies.near_tie import near_tie
from gearsim.studies.over_cores import over_cores
from gearsim.studies.squad.gears import Gears
from gearsim.studies.squad.kinds import MOST_KINDS, fewest_kinds
from gearsim.studies.squad.open_builds import OpenBuilds, OpenTo
from gearsim.studies.squad.rides import Event, Ridden, all_computed, mismatch_together
from gearsim.studies.squad.sought import Sought, Tried
from gearsim.studies.squad.squad import Squad, best_first
from gearsim.studies.squad.standing import Fitting, Offer, Standing

Done = Callable[[], None]


@dataclass(frozen=True, kw_only=True)
class _Rider:
    """An athlete of whom all rides could be computed.

    `rides` are those on what is open to them, `others` those on what is not, for the record.
    """

    open_to: OpenTo
    rides: Mapping[Gears, Ridden]
    others: Mapping[Gears, Ridden]
    least_mismatch: float

    @property
    def now(self) -> Ridden:
        """The ride on what there is already."""
        return self.rides[self.open_to.has]

    def score(self, gears: Gears) -> Score:
        """That of any ride there is."""
        return (self.rides if gears in self.rides else self.others)[gears].score


def search_squad(
    course: Course,
    builds: OpenBuilds,
    conditions: Conditions,
    *,
    weights: Weights | None = None,
    most_kinds: int = MOST_KINDS,
    workers: int | None = None,
    done: Done | None = None,
) -> Squad:
    """Every athlete rides all that is open to them; the squad is of the few that serve all.

    These are at most `most_kinds`, of sets that serve as many the one with the least to check and
    then to buy, and beside them stands the one that is best for all together of those open to
    everyone.  What the athletes have is among what serves: new parts are told of
    each in `Standing.fitting`.  `done` is called after each of the `builds.rides`.

    Raises `PlanError` when everyone is left out.
    """
    event = Event(course=course, conditions=conditions, weights=weights)
    riders, left_out = _ride_all(event, builds, workers, done)
    left_out = [*builds.left_out, *left_out]
    if not riders:
        raise PlanError(left_out[0])
    every = list(builds.drivetrains)
    kinds = fewest_kinds(_mismatch(riders, every), most_kinds, _trouble(riders, every))
    few = [every[n] for n in kinds]
    columns = list(dict.fromkeys([*few, *_best_for_all(riders, every)]))
    riders = _with_others(event, builds, riders, columns, workers)
    standings = tuple(_standing(each, columns, len(few), builds.drivetrains) for each in riders)
    return best_first(
        Squad(
            course=course,
            conditions=conditions,
            drivetrains=tuple(builds.drivetrains[gears] for gears in columns),
            together=tuple(
                mismatch_together([each.score(gears) for each in riders]) for gears in columns
            ),
            few=tuple(columns.index(gears) for gears in few),
            standings=standings,
            left_out=tuple(left_out),
            unsettled=sum(not ride.settled for each in riders for ride in each.rides.values()),
            sought=_sought(builds, riders, columns),
        )
    )


def _ride_all(
    event: Event, builds: OpenBuilds, workers: int | None, done: Done | None
) -> tuple[list[_Rider], list[str]]:
    jobs = [(open_to, gears) for open_to in builds.athletes for gears in open_to.gears]

    def ridden(job: tuple[OpenTo, Gears]) -> Ridden | PlanError:
        open_to, gears = job
        return event.ridden(
            open_to.athlete.rider, open_to.bike, _as_ridden(open_to, gears, builds.drivetrains)
        )

    found = iter(over_cores(ridden, jobs, workers=workers, done=done))
    riders: list[_Rider] = []
    left_out: list[str] = []
    for open_to in builds.athletes:
        row = {gears: next(found) for gears in open_to.gears}
        try:
            riders.append(_rider(open_to, all_computed(row)))
        except PlanError as error:
            left_out.append(f"{open_to.athlete.name}: {error}")
    return riders, left_out


def _rider(open_to: OpenTo, rides: Mapping[Gears, Ridden]) -> _Rider:
    least = min(each.score.mismatch for each in rides.values())
    return _Rider(open_to=open_to, rides=rides, others={}, least_mismatch=least)


def _as_ridden(
    open_to: OpenTo, gears: Gears, drivetrains: Mapping[Gears, Drivetrain]
) -> Drivetrain:
    """What an athlete has comes to the mass of their bike, all else to what the list says."""
    if gears == open_to.has:
        return replace(open_to.present.drivetrain, mass_kg=open_to.present.mass_kg)
    return drivetrains[gears]


def _mismatch(riders: Sequence[_Rider], every: Sequence[Gears]) -> NDArray[np.float64]:
    """Mismatch (athletes, drivetrains), inf where a drivetrain is not open to an athlete."""
    return np.array(
        [
            [each.score(gears).mismatch if gears in each.rides else np.inf for gears in every]
            for each in riders
        ]
    )


def _trouble(riders: Sequence[_Rider], every: Sequence[Gears]) -> tuple[NDArray[np.int_], ...]:
    """How much each must check and buy for each, (athletes, drivetrains)."""
    told = np.array([[each.open_to.trouble(gears) for gears in every] for each in riders])
    return told[..., 0], told[..., 1]


def _best_for_all(riders: Sequence[_Rider], every: Sequence[Gears]) -> list[Gears]:
    """Of what is open to everyone that with the least mismatch for all together, if any is."""
    open_to_all = [gears for gears in every if all(gears in each.rides for each in riders)]
    together = {
        gears: mismatch_together([each.score(gears) for each in riders]) for gears in open_to_all
    }
    return [min(together, key=together.__getitem__)] if together else []


def _with_others(
    event: Event,
    builds: OpenBuilds,
    riders: Sequence[_Rider],
    columns: Sequence[Gears],
    workers: int | None,
) -> list[_Rider]:
    """The athletes with rides on all columns; raises `PlanError` where one cannot be computed."""
    jobs = [(each, gears) for each in riders for gears in columns if gears not in each.rides]

    def ridden(job: tuple[_Rider, Gears]) -> Ridden | PlanError:
        open_to, drivetrain = job[0].open_to, builds.drivetrains[job[1]]
        return event.ridden(open_to.athlete.rider, open_to.bike, drivetrain)

    found = iter(over_cores(ridden, jobs, workers=workers))
    return [
        replace(
            each,
            others=all_computed(
                {gears: next(found) for gears in columns if gears not in each.rides}
            ),
        )
        for each in riders
    ]


def _standing(
    rider: _Rider, columns: Sequence[Gears], few: int, drivetrains: Mapping[Gears, Drivetrain]
) -> Standing:
    """How an athlete stands with the columns, of which the first few serve all."""
    scores = tuple(rider.score(gears) for gears in columns)
    closed = frozenset(n for n, gears in enumerate(columns) if gears not in rider.rides)
    has, athlete = rider.open_to.has, rider.open_to.athlete
    return Standing(
        athlete=athlete,
        scores=scores,
        best=min(
            range(few),
            key=lambda n: (n in closed, scores[n].mismatch, scores[n].finish_s),
        ),
        has=columns.index(has) if athlete.drivetrain is not None and has in columns else None,
        now=None if athlete.drivetrain is None else rider.now.score,
        closed=closed,
        fitting=_fitting(rider, drivetrains),
    )


def _fitting(rider: _Rider, drivetrains: Mapping[Gears, Drivetrain]) -> Fitting:
    offers = [
        Offer(
            name=drivetrains[gears].name,
            score=ridden.score,
            prospect=None if gears == rider.open_to.has else rider.open_to.prospects[gears],
        )
        for gears, ridden in rider.rides.items()
    ]
    best = min(offers, key=_by_mismatch)
    as_good = [each for each in offers if near_tie(best.score.mismatch, each.score.mismatch)]
    return Fitting(
        open_to=len(offers),
        best=best,
        simplest=min(as_good, key=lambda each: (len(each.to_buy), *_by_mismatch(each))),
        one_part=_best_with_one_part(offers, rider.now.score.mismatch),
    )


def _best_with_one_part(offers: Sequence[Offer], now: float) -> Offer | None:
    better = [
        each for each in offers if len(each.to_buy) == 1 and not near_tie(each.score.mismatch, now)
    ]
    return min(better, key=_by_mismatch, default=None)


def _by_mismatch(offer: Offer) -> tuple[float, float]:
    return offer.score.mismatch, offer.score.finish_s


def _sought(builds: OpenBuilds, riders: Sequence[_Rider], columns: Sequence[Gears]) -> Sought:
    presents = {each.has: each.present for each in builds.athletes}
    nothing_told = any(each.athlete.drivetrain is None for each in builds.athletes)
    return Sought(
        tried=tuple(
            _tried(drivetrain, [each for each in riders if gears in each.rides], gears, columns)
            for gears, drivetrain in builds.drivetrains.items()
        ),
        presents=tuple(presents.values()),
        untold=builds.untold if nothing_told else None,
        frame=builds.frame,
        wishes=builds.wishes,
    )


def _tried(
    drivetrain: Drivetrain, riders: Sequence[_Rider], gears: Gears, columns: Sequence[Gears]
) -> Tried:
    mismatch = [(each.least_mismatch, each.score(gears).mismatch) for each in riders]
    prospects = (each.open_to.prospects.get(gears) for each in riders)
    return Tried(
        drivetrain=drivetrain,
        prospect=next((each for each in prospects if each is not None), None),
        open_to=len(riders),
        best_for=sum(least == own for least, own in mismatch),
        as_good_for=sum(near_tie(least, own) for least, own in mismatch),
        mismatch=mismatch_together([each.score(gears) for each in riders]),
        told=gears in columns,
    )
