"""The reserve: work that can be done above critical power, how it drains and comes back."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from gearsim.errors import PlanError
from gearsim.physics.number import Number


def limit_s(power_w: Number, critical_power_w: Number, reserve_j: Number) -> Number:
    """How long a power can be held from a reserve, s: t = W′/(P - CP); inf at or below CP.

    Monod H, Scherrer J (1965), Ergonomics 8:329-338 (from memory), in its linear form
    P = W′/t + CP; holds for about 2 to 30 minutes.
    """
    over = np.asarray(power_w - critical_power_w)
    drains = over > 0.0
    limit: Number = np.where(drains, reserve_j / np.where(drains, over, 1.0), np.inf)[()]
    return limit


def critical_power_from_trials(
    power_w: Sequence[float], duration_s: Sequence[float]
) -> tuple[float, float]:
    """Critical power in W and reserve in J from all-out trials of different durations.

    The line P·t = CP·t + W′, exact through two trials and by least squares through more.

    Raises `PlanError` for trials that differ in number, fewer than two durations, powers or
    durations that are not above 0, or trials whose line has no positive critical power and reserve.
    """
    possible = all(0.0 < value < math.inf for value in (*power_w, *duration_s))
    if not possible or len(power_w) != len(duration_s) or len(set(duration_s)) < 2:
        raise PlanError(
            f"trials are {list(power_w)} W over {list(duration_s)} s; "
            "allowed is a power above 0 for each of two or more different durations above 0"
        )
    durations = np.asarray(duration_s, dtype=float)
    critical, reserve = np.polyfit(durations, np.asarray(power_w) * durations, 1)
    if not (critical > 0.0 and reserve > 0.0):
        raise PlanError(
            f"trials {list(power_w)} W over {list(duration_s)} s give critical power "
            f"{critical:.0f} W and reserve {reserve:.0f} J; allowed are both above 0, so check "
            "that the longer trials were done at less power but more work"
        )
    return float(critical), float(reserve)


def reserve_after_j(
    reserve_now_j: float,
    reserve_full_j: float,
    critical_power_w: float,
    power_w: float,
    duration_s: float,
) -> float:
    """Reserve left after a time at one power, J.  Compiles; scalars only.

    Drains by P - CP at and above CP, and below 0 where the power could not be held so long.  Below
    CP it recovers as W′ - (W′ - W′₀)·exp(-(CP - P)·t/W′): Skiba PF et al. (2015), Eur J Appl
    Physiol 115:703-713, the differential form.
    """
    if power_w >= critical_power_w:
        return reserve_now_j - (power_w - critical_power_w) * duration_s
    if reserve_full_j <= 0.0:
        return reserve_full_j
    recovery = (critical_power_w - power_w) * duration_s / reserve_full_j
    return reserve_full_j - (reserve_full_j - reserve_now_j) * math.exp(-recovery)
