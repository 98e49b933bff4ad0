"""One guest on one bike for the day: what happens, and whether it can be asked of them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearsim.course.course import Course
from gearsim.ride.score import Score, Weights, score
from gearsim.ride.simulate import simulate
from gearsim.ride.states import STATES, State
from gearsim.setup.conditions import Conditions
from gearsim.setup.guest import Guest
from gearsim.setup.hire_bike import HireBike
from gearsim.setup.outing_limits import OutingLimits
from gearsim.studies.cue_sheet import Advice, Cue, cue_sheet

TOLD = (Advice.WALK, Advice.PUSH_HARD)


class Suits(StrEnum):
    """What a bike comes to for a guest, the best first."""

    RIDES_ALL = "rides it all"
    SOME_WALKING = "some walking"
    NOT_SUITABLE = "not suitable"


class Against(StrEnum):
    """Why a bike is not suitable for a guest."""

    SIZE = "wrong size"
    WALKS = "walks too far"
    BELOW = "too long below the lowest gear"
    TIME = "takes too long"


@dataclass(frozen=True, kw_only=True)
class Outing:
    """A guest's day on a bike.

    `walked_m` is the road walked; `cues` are the places to walk and to push hard, in riding order;
    `against` says why the bike is not suitable, empty where it is.
    """

    score: Score
    walked_m: float
    cues: tuple[Cue, ...]
    against: tuple[Against, ...]
    settled: bool

    @property
    def suits(self) -> Suits:
        """What the bike comes to."""
        if self.against:
            return Suits.NOT_SUITABLE
        return Suits.SOME_WALKING if self.walks else Suits.RIDES_ALL

    @property
    def walks(self) -> tuple[Cue, ...]:
        """The places to walk, in riding order."""
        return tuple(cue for cue in self.cues if cue.advice is Advice.WALK)

    @property
    def walking_s(self) -> float:
        """Time on foot, s."""
        return self.score.seconds[State.WALKING]

    @property
    def below_s(self) -> float:
        """Time below the lowest gear, s."""
        return self.score.seconds[State.BELOW_LOWEST_GEAR]


@dataclass(frozen=True, kw_only=True)
class Day:
    """What is the same for all guests and bikes."""

    course: Course
    conditions: Conditions
    limits: OutingLimits
    weights: Weights


def outing(day: Day, guest: Guest, bike: HireBike) -> Outing:
    """Ride the day; raises `PlanError` where the ride cannot be computed."""
    ride = simulate(day.course, guest.rider, bike.bike, bike.drivetrain, day.conditions)
    counted = score(ride, day.weights)
    on_foot = ride.state == STATES.index(State.WALKING)
    walked_m = float(day.course.road_length_m[on_foot].sum())
    in_trouble = counted.seconds[State.WALKING] + counted.seconds[State.BELOW_LOWEST_GEAR] > 0.0
    cues = cue_sheet(ride).cues if in_trouble else ()
    of_size = bike.is_of_size_for(guest)
    return Outing(
        score=counted,
        walked_m=walked_m,
        cues=tuple(cue for cue in cues if cue.advice in TOLD),
        against=_against(day.limits, counted, walked_m, of_size),
        settled=ride.settled,
    )


def _against(
    limits: OutingLimits, counted: Score, walked_m: float, of_size: bool
) -> tuple[Against, ...]:
    longest_s, below_s = limits.longest_ride_s, counted.seconds[State.BELOW_LOWEST_GEAR]
    found = {
        Against.SIZE: not of_size,
        Against.WALKS: walked_m > limits.most_walked_m,
        Against.BELOW: below_s > limits.most_below_s,
        Against.TIME: longest_s is not None and counted.moving_s > longest_s,
    }
    return tuple(each for each, is_so in found.items() if is_so)
