"""The effort that a ride's own duration allows: solved, since each depends on the other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from gearsim.errors import PlanError
from gearsim.physics.durability import share_left, sustainable_power_w
from gearsim.setup.rider import Rider
from gearsim.units import SECONDS_PER_HOUR, SECONDS_PER_MINUTE

Floats = NDArray[np.float64]

QUICK_RIDES = 10
BISECTIONS = 14  # of the range searched, down to less than SETTLED of the effort
SEARCHED = (0.5, 1.5)  # times the effort that the quick rides came to
SETTLED = 1e-4  # relative change of wanted power under which ride and effort agree
SHORTEST_S = 2.0 * SECONDS_PER_MINUTE  # the critical power model holds from about here on
LONGEST_S = 48.0 * SECONDS_PER_HOUR  # beyond it sleep decides, of which the rule knows nothing
FIRST_GUESS_MPS = 5.5


class Ridden(Protocol):
    """What the solver looks at of a ride: time and mean power of each interval."""

    @property
    def duration_s(self) -> Floats:
        """Time for each interval, s, (n)."""

    @property
    def power_w(self) -> Floats:
        """Power at the cranks, W, (n)."""


Ride = TypeVar("Ride", bound=Ridden)


@dataclass(frozen=True, kw_only=True)
class SolvedEffort:
    """The effort that was solved for a ride.

    `first_w` and `last_w` are wanted on the flat at the start and at the finish; `mean_w` is the
    mean of wanted power over the ride's `moving_s`; `rides` were needed to find it.
    """

    first_w: float
    last_w: float
    mean_w: float
    moving_s: float
    rides: int


@dataclass(frozen=True, kw_only=True)
class _Wanted:
    """Wanted power along the course, its mean, and what it is on the flat at either end."""

    power_w: Floats
    mean_w: float
    first_w: float
    last_w: float

    def scaled(self, times: float) -> _Wanted:
        """So many times as much."""
        return _Wanted(
            power_w=times * self.power_w,
            mean_w=times * self.mean_w,
            first_w=times * self.first_w,
            last_w=times * self.last_w,
        )


def solve_effort(
    rider: Rider, length_m: Floats, factor: Floats, ride: Callable[[Floats, float], Ride]
) -> tuple[Ride, SolvedEffort]:
    """The ride whose wanted power is what its own duration and work allow.

    `ride` rides with a power wanted in each interval and its mean; `length_m` and `factor` are road
    and pace (1 on the flat) of each interval.  The mean of wanted power over the time in which any
    is wanted is what can be held for the ride's moving time; within the ride it falls with the work
    done.  Found by fixed-point iteration, which closes in since a longer ride allows less, but by
    less than it is longer: about 5 rides.  Where rides jump instead (a ramp ridden or walked) and
    after `QUICK_RIDES`, by bisection for the most that lasts.

    Raises `PlanError` for a ride too short or too long for the rule, and where none is found.
    """
    duration_s = length_m / FIRST_GUESS_MPS
    guess_w = np.full(len(length_m), _held_w(rider, float(duration_s.sum())))
    wanted = _allowed(rider, factor, duration_s, guess_w)
    for rides in range(1, QUICK_RIDES + 1):
        ridden = ride(wanted.power_w, wanted.mean_w)
        allowed = _allowed(rider, factor, ridden.duration_s, ridden.power_w)
        if _agree(wanted, allowed):
            return ridden, _solved(wanted, ridden, rides)
        wanted = allowed
    return _most_that_lasts(rider, factor, ride, wanted)


def _most_that_lasts(
    rider: Rider, factor: Floats, ride: Callable[[Floats, float], Ride], wanted: _Wanted
) -> tuple[Ride, SolvedEffort]:
    """The ride at the most times the effort given of which the mean can be held for its time."""
    low, high, found = SEARCHED[0], SEARCHED[1], None
    for _ in range(BISECTIONS):
        times = 0.5 * (low + high)
        tried = wanted.scaled(times)
        ridden = ride(tried.power_w, tried.mean_w)
        mean_w = float(
            (tried.power_w * ridden.duration_s).sum() / ridden.duration_s[factor > 0.0].sum()
        )
        held_w = _held_w(rider, float(ridden.duration_s.sum()))
        if mean_w <= held_w:
            low, found = times, (replace(tried, mean_w=mean_w), ridden)
        else:
            high = times
    if found is None:
        raise PlanError(
            f"rider {rider.name!r}: no effort was found that lasts for the ride: {mean_w:.0f} W "
            f"would be wanted where {held_w:.0f} W can be held; "
            'set effort.kind = "fixed" or give the rider more power'
        )
    return found[1], _solved(*found, QUICK_RIDES + BISECTIONS)


def _solved(wanted: _Wanted, ridden: Ridden, rides: int) -> SolvedEffort:
    moving_s = float(ridden.duration_s.sum())
    if not SHORTEST_S <= moving_s <= LONGEST_S:
        raise PlanError(
            f"the ride takes {moving_s / SECONDS_PER_MINUTE:.2f} min; an effort for the duration "
            f"is known for {SHORTEST_S / SECONDS_PER_MINUTE:g} min to "
            f'{LONGEST_S / SECONDS_PER_HOUR:g} h: set effort.kind = "fixed"'
        )
    return SolvedEffort(
        first_w=wanted.first_w,
        last_w=wanted.last_w,
        mean_w=wanted.mean_w,
        moving_s=moving_s,
        rides=rides,
    )


def _held_w(rider: Rider, moving_s: float) -> float:
    """Mean power that the rider holds for a moving time, W; that of the range's end outside it."""
    effort = rider.effort
    within_s = min(max(moving_s, SHORTEST_S), LONGEST_S)
    most_w = sustainable_power_w(
        within_s, rider.critical_w, rider.reserve_j, effort.duration_exponent
    )
    return min(effort.held_share * float(most_w), rider.largest_w)


def _allowed(rider: Rider, factor: Floats, duration_s: Floats, power_w: Floats) -> _Wanted:
    """Wanted power that a ride of these times and powers allows.

    Its mean, over the time in which any is wanted, is what can be held for so long; it falls with
    the work done so far, and is on the flat never more than the rider's largest power.
    """
    work_j = power_w * duration_s
    left = np.asarray(share_left(np.cumsum(work_j) - work_j, rider.effort.work_loss))
    mean_w = _held_w(rider, float(duration_s.sum()))
    weighted_s = float((factor * left * duration_s).sum())
    shares = weighted_s / float(duration_s[factor > 0.0].sum()) if weighted_s > 0.0 else 1.0
    first_w = min(mean_w / shares, rider.largest_w)
    return _Wanted(
        power_w=first_w * left * factor,
        mean_w=mean_w,
        first_w=first_w,
        last_w=first_w * float(left[-1]),
    )


def _agree(one: _Wanted, other: _Wanted) -> bool:
    close = SETTLED * other.first_w
    off_w = np.abs(one.power_w - other.power_w)
    return abs(one.mean_w - other.mean_w) <= close and bool((off_w <= close).all())
