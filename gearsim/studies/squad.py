"""Many athletes, one course: which drivetrain suits whom, and who can share."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from statistics import median

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.ride.score import Score, Weights, score
from gearsim.ride.simulate import simulate
from gearsim.ride.states import State
from gearsim.setup.athlete import Athlete
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.studies.break_even import BreakEven, coping_power
from gearsim.studies.near_tie import NEAR_TIE_POINTS, near_tie
from gearsim.studies.over_cores import over_cores

Done = Callable[[], None]

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
class Cost:
    """What the gears an athlete has cost against the best: more mismatch, and more seconds.

    Negative where the best has more of it.
    """

    mismatch: float
    off_target_s: float
    below_lowest_s: float
    walking_s: float
    finish_s: float


@dataclass(frozen=True, kw_only=True)
class Standing:
    """How one athlete stands with every drivetrain.

    `scores` are in the order of the squad's drivetrains, and `best` and `has` are places in it;
    `break_even` is that of the gears the athlete has, once it has been looked for.
    """

    athlete: Athlete
    scores: tuple[Score, ...]
    best: int
    has: int | None
    break_even: BreakEven | None = None

    @property
    def cost(self) -> Cost | None:
        """What the gears that the athlete has cost against the best; None where none are told."""
        if self.has is None:
            return None
        has, best = self.scores[self.has], self.scores[self.best]
        return Cost(
            mismatch=has.mismatch - best.mismatch,
            off_target_s=off_target_s(has) - off_target_s(best),
            below_lowest_s=_more_s(has, best, State.BELOW_LOWEST_GEAR),
            walking_s=_more_s(has, best, State.WALKING),
            finish_s=has.finish_s - best.finish_s,
        )

    def will_do(self, drivetrain: int) -> bool:
        """Whether a drivetrain is the athlete's best or in a near tie with it."""
        best = self.scores[self.best].mismatch
        return drivetrain == self.best or near_tie(best, self.scores[drivetrain].mismatch)


@dataclass(frozen=True, kw_only=True)
class Outlier:
    """An athlete whom the squad's choice does not suit.

    It loses to their best by more than a near tie (`loses`), or leaves them far worse off than the
    others (`far_above`).
    """

    standing: Standing
    loses: bool
    far_above: bool


@dataclass(frozen=True, kw_only=True)
class Squad:
    """Everyone with everything: drivetrains by the squad's mismatch, athletes as given.

    `together` is each drivetrain's mismatch with the seconds of all athletes counted as one ride;
    `left_out` says of whom no ride could be computed, and why; `unsettled` counts rides whose
    shift plan had not quite settled.
    """

    course: Course
    conditions: Conditions
    drivetrains: tuple[Drivetrain, ...]
    together: tuple[float, ...]
    standings: tuple[Standing, ...]
    left_out: tuple[str, ...]
    unsettled: int
    most_below_s: float = MOST_BELOW_S

    @property
    def choice(self) -> Drivetrain:
        """The drivetrain with the least mismatch for all together."""
        return self.drivetrains[0]

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
        """The athletes whom the squad's choice does not suit, as given."""
        limit = far_above([each.scores[0].mismatch for each in self.standings])
        found = [
            Outlier(
                standing=each,
                loses=not each.will_do(0),
                far_above=each.scores[0].mismatch > limit,
            )
            for each in self.standings
        ]
        return tuple(each for each in found if each.loses or each.far_above)


def ride_squad(
    course: Course,
    athletes: Sequence[Athlete],
    drivetrains: Sequence[Drivetrain],
    conditions: Conditions,
    *,
    weights: Weights | None = None,
    workers: int | None = None,
    done: Done | None = None,
) -> Squad:
    """Every athlete rides every drivetrain over the course; only scores are kept.

    `done` is called after each of the rides.  An athlete with whom a ride cannot be computed is
    left out.  Raises `PlanError` when there is no athlete or drivetrain, names are there twice,
    or everyone is left out.
    """
    _require_names("drivetrain", [drivetrain.name for drivetrain in drivetrains])
    _require_names("athlete", [athlete.name for athlete in athletes])

    def ridden(pair: tuple[Athlete, Drivetrain]) -> tuple[Score, bool] | PlanError:
        athlete, drivetrain = pair
        try:
            ride = simulate(course, athlete.rider, athlete.bike, drivetrain, conditions)
        except PlanError as error:
            return error
        return score(ride, weights), ride.settled

    pairs = [(athlete, drivetrain) for athlete in athletes for drivetrain in drivetrains]
    found = over_cores(ridden, pairs, workers=workers, done=done)
    scores: list[tuple[Athlete, list[Score]]] = []
    left_out: list[str] = []
    unsettled = 0
    for number, athlete in enumerate(athletes):
        row = found[number * len(drivetrains) : (number + 1) * len(drivetrains)]
        faults = [each for each in row if isinstance(each, PlanError)]
        if faults:
            left_out.append(f"{athlete.name}: {faults[0]}")
            continue
        rides = [each for each in row if not isinstance(each, PlanError)]
        scores.append((athlete, [counted for counted, _ in rides]))
        unsettled += sum(not settled for _, settled in rides)
    if not scores:
        raise PlanError(left_out[0])
    return _squad(course, conditions, drivetrains, scores, left_out, unsettled)


def with_break_even(
    squad: Squad,
    *,
    most_below_s: float = MOST_BELOW_S,
    workers: int | None = None,
    done: Done | None = None,
) -> Squad:
    """The squad with the break-even power of the gears that each athlete has.

    It is the least power at which the athlete rides the course on those gears without walking and
    with at most `most_below_s` below the lowest one.  `done` is called after each athlete.
    """

    def solved(standing: Standing) -> Standing:
        if standing.has is None:
            return standing
        found = coping_power(
            squad.course,
            standing.athlete,
            squad.drivetrains[standing.has],
            squad.conditions,
            most_below_s=most_below_s,
            now=standing.scores[standing.has],
        )
        return replace(standing, break_even=found)

    standings = over_cores(solved, squad.standings, workers=workers, done=done)
    return replace(squad, standings=tuple(standings), most_below_s=most_below_s)


def far_above(values: Sequence[float]) -> float:
    """The value beyond which one is far above the others (see `FAR_ABOVE`); inf for a few."""
    if len(values) < FEWEST_FOR_FAR:
        return float("inf")
    middle = median(values)
    spread = MAD_PER_SD * median(abs(value - middle) for value in values)
    return middle + FAR_ABOVE * max(spread, NEAR_TIE_POINTS)


def off_target_s(counted: Score) -> float:
    """Time neither on target nor coasting, s."""
    return counted.pedalling_or_walking_s - counted.seconds[State.ON_TARGET]


def _more_s(has: Score, best: Score, state: State) -> float:
    return has.seconds[state] - best.seconds[state]


def _require_names(what: str, names: Sequence[str]) -> None:
    if not names:
        raise PlanError(f"there is no {what}; give at least one")
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise PlanError(f"two {what}s are named {twice[0]!r}; give each its own name")


def _squad(
    course: Course,
    conditions: Conditions,
    drivetrains: Sequence[Drivetrain],
    scores: Sequence[tuple[Athlete, list[Score]]],
    left_out: Sequence[str],
    unsettled: int,
) -> Squad:
    """The drivetrains in the order of their mismatch for all, and everyone's scores likewise."""
    columns = [[row[place] for _, row in scores] for place in range(len(drivetrains))]
    together = [_together(column) for column in columns]
    order = sorted(range(len(drivetrains)), key=together.__getitem__)
    names = [drivetrains[place].name for place in order]
    return Squad(
        course=course,
        conditions=conditions,
        drivetrains=tuple(drivetrains[place] for place in order),
        together=tuple(together[place] for place in order),
        standings=tuple(
            _standing(athlete, [row[place] for place in order], names) for athlete, row in scores
        ),
        left_out=tuple(left_out),
        unsettled=unsettled,
    )


def _together(scores: Sequence[Score]) -> float:
    """Mismatch of several rides counted as one."""
    pedalling_or_walking_s = sum(each.pedalling_or_walking_s for each in scores)
    if pedalling_or_walking_s == 0.0:
        return 0.0
    return 100.0 * sum(each.weighted_s for each in scores) / pedalling_or_walking_s


def _standing(athlete: Athlete, scores: Sequence[Score], names: Sequence[str]) -> Standing:
    if athlete.has is not None and athlete.has not in names:
        raise PlanError(
            f"{athlete.name} has {athlete.has!r}; allowed are {', '.join(map(repr, names))}"
        )
    best = min(range(len(scores)), key=lambda n: (scores[n].mismatch, scores[n].finish_s))
    return Standing(
        athlete=athlete,
        scores=tuple(scores),
        best=best,
        has=None if athlete.has is None else names.index(athlete.has),
    )
