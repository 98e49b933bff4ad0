"""How the power that a rider can hold falls with the ride's duration and with the work done."""

from __future__ import annotations

import numpy as np

from gearsim.physics.number import Number
from gearsim.units import SECONDS_PER_HOUR

PER_WORK_J = 1_000_000.0  # losses are told for each 1000 kJ


def sustainable_power_w(
    duration_s: Number, critical_power_w: Number, reserve_j: Number, exponent: Number
) -> Number:
    """Mean power that can be held for a duration from a full reserve, W.

    P = CP·min(1, (t/1 h)^-k) + W′/t: the critical power model (P = W′/t + CP, Monod and Scherrer
    1965) up to an hour, to which critical power holds at best; beyond it critical power falls by a
    power law of duration, the form in which Riegel PS (1981), American Scientist 69:285-290 (from
    memory), describes records of endurance.  `exponent` is k, 0 for none.  Falls with duration;
    for 2 minutes and more.
    """
    hours = np.maximum(duration_s / SECONDS_PER_HOUR, 1.0)
    power_w: Number = critical_power_w * hours**-exponent + reserve_j / duration_s
    return power_w


def share_left(work_j: Number, loss: Number) -> Number:
    """Share of the power when fresh that is left after an amount of work, 1 … 0.

    s = (1 - loss)^(W/1000 kJ): each 1000 kJ takes the same share of what was left.  Published
    for all-out power of 20 minutes after the first 1000 kJ: a loss of 10.1 ± 6.5 % (amateurs;
    Barsumyan A et al. 2025, BMC Sports Sci Med Rehabil 17:192); going on in the same way beyond
    that is an assumption.
    """
    left: Number = (1.0 - loss) ** (work_j / PER_WORK_J)
    return left
