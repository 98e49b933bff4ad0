"""Every build that comes into question, ridden over a course and ranked against what is there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.ride.outset import outset_of
from gearsim.ride.score import Weights, score
from gearsim.ride.simulate import simulate_from
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame
from gearsim.setup.parts.parts_list import PartsList
from gearsim.setup.rider import Rider
from gearsim.setup.wishes import Wishes
from gearsim.studies.compare import Comparison, compare_rides
from gearsim.studies.ground import seconds_by_ground
from gearsim.studies.near_tie import near_tie
from gearsim.studies.over_cores import over_cores
from gearsim.studies.search.builds_in_question import InQuestion, builds_in_question
from gearsim.studies.search.gains import Outcome
from gearsim.studies.search.options import (
    Option,
    Outcomes,
    Ranking,
    Ridden,
    ranking,
    ridden_as,
)
from gearsim.studies.search.present_parts import Present
from gearsim.studies.search.prospect import Prospect
from gearsim.studies.search.weight_worth import WeightWorth, weight_worth

GOLDEN = 0.618033988749895
"""Builds are ridden in an order that jumps about the list by the golden ratio, so that those
ridden when the search is stopped are a fair sample of all."""

Done = Callable[[], None]


@dataclass(frozen=True, kw_only=True)
class Search:
    """The answer: what the rider has, and the builds that were ridden, ranked.

    `bike` is the one that all are ridden on: the plan's without what the list says that the
    drivetrain weighs which the rider has now; each build brings its own weight by the list, so
    that the present one comes to the plan's.  `faults` says of which builds no ride could be
    computed.
    """

    course: Course
    rider: Rider
    bike: Bike
    conditions: Conditions
    weights: Weights
    question: InQuestion
    now: Outcome
    ranking: Ranking
    weight: WeightWorth
    faults: tuple[str, ...]

    @property
    def options(self) -> tuple[Option, ...]:
        """The builds that were ridden, the best first."""
        return self.ranking.options

    @property
    def stopped(self) -> bool:
        """Whether the search was stopped before all builds were ridden."""
        return self.ridden < len(self.question.prospects)

    @property
    def ridden(self) -> int:
        """How many builds were ridden, also those whose ride could not be computed."""
        return len(self.options) + len(self.faults)

    def as_good(self, place: int) -> bool:
        """Whether an option is the best or in a near tie with it."""
        return place == 0 or near_tie(self.options[0].mismatch, self.options[place].mismatch)

    @property
    def least_trouble(self) -> int:
        """The place, among those as good as the best, with the least to check and then to buy."""
        trouble = {
            place: option.prospect.trouble
            for place, option in enumerate(self.options)
            if self.as_good(place)
        }
        return min(trouble, key=trouble.__getitem__)

    def near_now(self, place: int) -> bool:
        """Whether an option is in a near tie with what the rider has."""
        return near_tie(*sorted((self.now.score.mismatch, self.options[place].mismatch)))


def search(
    course: Course,
    rider: Rider,
    bike: Bike,
    conditions: Conditions,
    *,
    now: Drivetrain,
    parts: PartsList,
    frame: Frame | None = None,
    wishes: Wishes | None = None,
    weights: Weights | None = None,
) -> Search:
    """Ride every drivetrain of a parts list that fits and is as wished, and rank them.

    `now` is what the rider has; `wishes.now` and `wishes.parts` are the plan's own and not read.

    Raises `PlanError` where wishes rule each other out or nothing is left to ride.
    """
    question = builds_in_question(now, parts, bike, frame or Frame(), wishes or Wishes())
    return ride_builds(course, rider, bike, conditions, question, weights=weights)


def rides_of(prospects: Sequence[Prospect]) -> dict[Ridden, Drivetrain]:
    """What must be ridden for all prospects: one drivetrain for all of the same gears and mass."""
    return {ridden_as(each.drivetrain): each.drivetrain for each in reversed(prospects)}


def ride_builds(
    course: Course,
    rider: Rider,
    bike: Bike,
    conditions: Conditions,
    question: InQuestion,
    *,
    weights: Weights | None = None,
    workers: int | None = None,
    done: Done | None = None,
) -> Search:
    """Ride the builds in question, on all cores, and rank them; only scores are kept.

    `done` is called after each of the `rides_of` the prospects.  Stopped by `KeyboardInterrupt`,
    the search comes back with what it has; where that is nothing, the interrupt goes on.

    Raises `PlanError` where the present drivetrain cannot be ridden, or none of the builds.
    """
    weights = weights or Weights()
    bare, present = _bare(bike, question.present), _as_ridden(question.present)
    outset = outset_of(course, rider, bare, conditions)

    def outcome(drivetrain: Drivetrain) -> Outcome | PlanError:
        try:
            ride = simulate_from(outset, drivetrain)
        except PlanError as error:
            return error
        return Outcome(
            score=score(ride, weights), ground_s=seconds_by_ground(ride), settled=ride.settled
        )

    now = outcome(present)
    if isinstance(now, PlanError):
        raise now
    as_is_s = now.score.finish_s
    worth = weight_worth(course, rider, bare, present, conditions, as_is_s=as_is_s)
    found = _ride_in_turn(outcome, rides_of(question.prospects), workers, done)
    return Search(
        course=course,
        rider=rider,
        bike=bare,
        conditions=conditions,
        weights=weights,
        question=question,
        now=now,
        ranking=ranking(question, now, found),
        weight=worth,
        faults=_faults(question, found),
    )


def best_rides(search: Search) -> Comparison:
    """The full rides of what the rider has and of the best few, compared."""
    present = _as_ridden(search.question.present)
    best = [search.options[place].prospect.drivetrain for place in search.ranking.best]
    return compare_rides(
        search.course,
        search.rider,
        search.bike,
        [present, *best],
        search.conditions,
        weights=search.weights,
    )


def _bare(bike: Bike, present: Present) -> Bike:
    """The bike without the drivetrain, which weighs what the list says."""
    mass_kg = bike.mass_kg + present.drivetrain.mass_kg - present.mass_kg
    try:
        return replace(bike, mass_kg=mass_kg)
    except PlanError as error:
        raise PlanError(
            f"bike.mass_kg is {bike.mass_kg:g}, but its drivetrain {present.drivetrain.name!r} "
            f"weighs {present.mass_kg:.2f} by the parts list: too little is left; check both"
        ) from error


def _as_ridden(present: Present) -> Drivetrain:
    return replace(
        present.drivetrain, name=f"{present.drivetrain.name} (now)", mass_kg=present.mass_kg
    )


def _ride_in_turn(
    outcome: Callable[[Drivetrain], Outcome | PlanError],
    rides: dict[Ridden, Drivetrain],
    workers: int | None,
    done: Done | None,
) -> dict[Ridden, Outcome | PlanError]:
    """The outcome of each ride, or of those that were ridden before the search was stopped."""
    found: dict[Ridden, Outcome | PlanError] = {}

    def ridden(key: Ridden) -> None:
        found[key] = outcome(rides[key])

    keys = [key for _, key in sorted((n * GOLDEN % 1.0, key) for n, key in enumerate(rides))]
    try:
        over_cores(ridden, keys, workers=workers, done=done)
    except KeyboardInterrupt:
        if not any(isinstance(each, Outcome) for each in found.values()):
            raise
    return found


def _faults(question: InQuestion, found: Outcomes) -> tuple[str, ...]:
    told = ((each.name, found.get(ridden_as(each.drivetrain))) for each in question.prospects)
    return tuple(f"{name}: {error}" for name, error in told if isinstance(error, PlanError))
