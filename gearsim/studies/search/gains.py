"""What a build gains and loses against the drivetrain that the rider has now, in numbers."""

from __future__ import annotations

from dataclasses import dataclass, field

from gearsim.ride.score import Score
from gearsim.ride.states import State
from gearsim.studies.ground import GROUNDS, Ground, GroundSeconds

MOST_OF_IT = 2.0 / 3.0  # of a difference, for the ground to be named where it lies


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What a ride comes to, in additive amounts, without the ride itself."""

    score: Score
    ground_s: GroundSeconds = field(hash=False)
    settled: bool

    @property
    def shifts_per_hour(self) -> float:
        """Rear and front shifts an hour together."""
        return self.score.rear_shifts_per_hour + self.score.front_shifts_per_hour


@dataclass(frozen=True, kw_only=True)
class Change:
    """How much more there is of each than now; negative where there is less.

    `seconds` has every state; `ground` names where at least two thirds of such a difference lie,
    None where it is spread.  `price` is what the parts to be bought cost, None unless known.
    """

    mismatch: float
    finish_s: float
    seconds: dict[State, float] = field(hash=False)
    ground: dict[State, Ground | None] = field(hash=False)
    mass_kg: float
    rear_shifts_per_hour: float
    front_shifts_per_hour: float
    loses_all_front_shifts: bool
    parts_to_adjust: int
    price: float | None


def change(
    now: Outcome,
    then: Outcome,
    *,
    mass_kg: float,
    parts_to_adjust: int,
    price: float | None,
) -> Change:
    """The difference of two rides; mass and parts to adjust are given as differences already."""
    before, after = now.score, then.score
    front = after.front_shifts_per_hour - before.front_shifts_per_hour
    return Change(
        mismatch=after.mismatch - before.mismatch,
        finish_s=after.finish_s - before.finish_s,
        seconds={state: after.seconds[state] - before.seconds[state] for state in State},
        ground={state: _where(now, then, state) for state in State},
        mass_kg=mass_kg,
        rear_shifts_per_hour=after.rear_shifts_per_hour - before.rear_shifts_per_hour,
        front_shifts_per_hour=front,
        loses_all_front_shifts=before.front_shifts > 0 and after.front_shifts == 0,
        parts_to_adjust=parts_to_adjust,
        price=price,
    )


def _where(now: Outcome, then: Outcome, state: State) -> Ground | None:
    """The ground where most of a difference lies."""
    before, after = now.ground_s[state], then.ground_s[state]
    apart = [later - sooner for sooner, later in zip(before, after, strict=True)]
    total = sum(apart)
    most = max(apart) if total > 0.0 else min(apart)
    if total == 0.0 or most / total < MOST_OF_IT:
        return None
    return GROUNDS[apart.index(most)]
