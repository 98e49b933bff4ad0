"""The power at which what is said of a rider and their gears turns over."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from gearsim.course.course import Course
from gearsim.ride.score import Score, score
from gearsim.ride.simulate import simulate
from gearsim.ride.states import State
from gearsim.setup.athlete import Athlete, at_power
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.possible import RIDING_W

SEARCHED = (0.5, 2.0)  # times the rider's own power
KNOWN_TO = 0.01  # of the rider's own power; a power meter knows no better


@dataclass(frozen=True, kw_only=True)
class BreakEven:
    """Where a verdict that holds from some power on begins to hold.

    `power_w` is the least power found at which it holds, known to 1 % of the rider's own; None
    where it holds all over the powers searched (`holds_now`) or nowhere (not `holds_now`).
    """

    own_w: float
    holds_now: bool
    searched_w: tuple[float, float]
    power_w: float | None


def break_even(
    holds: Callable[[float], bool], own_w: float, *, holds_now: bool | None = None
) -> BreakEven:
    """The least power at which a verdict holds that, once it holds, holds for every stronger rider.

    `holds` says whether it does at a power in W, and `holds_now` spares asking it at the rider's
    own.  Bisection between half and twice the rider's own power, at most 8 rides; the answer is a
    power at which the verdict was seen to hold, with one at which it was not within 1 %.
    """
    searched = (max(SEARCHED[0] * own_w, RIDING_W[0]), min(SEARCHED[1] * own_w, RIDING_W[1]))
    now = holds(own_w) if holds_now is None else holds_now
    low, high = (searched[0], own_w) if now else (own_w, searched[1])
    turns = not holds(low) if now else holds(high)
    while turns and high - low > KNOWN_TO * own_w:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if holds(middle) else (middle, high)
    return BreakEven(
        own_w=own_w, holds_now=now, searched_w=searched, power_w=high if turns else None
    )


def copes(counted: Score, most_below_s: float) -> bool:
    """Whether a ride needs no walking and little time below the lowest gear."""
    on_foot, below = State.WALKING, State.BELOW_LOWEST_GEAR
    return counted.seconds[on_foot] == 0.0 and counted.seconds[below] <= most_below_s


def coping_power(
    course: Course,
    athlete: Athlete,
    drivetrain: Drivetrain,
    conditions: Conditions,
    *,
    most_below_s: float,
    now: Score | None = None,
) -> BreakEven:
    """The least power at which the athlete copes (see `copes`) with these gears on this course.

    `now` is the score of the ride at the athlete's own power, where it is known.
    """

    def holds(power_w: float) -> bool:
        rider = at_power(athlete.rider, power_w)
        ride = simulate(course, rider, athlete.bike, drivetrain, conditions)
        return copes(score(ride), most_below_s)

    known = None if now is None else copes(now, most_below_s)
    return break_even(holds, athlete.rider.power_w, holds_now=known)
