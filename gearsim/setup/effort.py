"""How the rider shares out their effort over the day."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.setup.checked import Bounds, require_bounds, require_one_of

FIXED, FOR_THE_DURATION = "fixed", "for the duration"
KINDS = (FIXED, FOR_THE_DURATION)
BOUNDS: Bounds = {
    "held_share": (0.2, 1.0),
    "duration_exponent": (0.0, 0.5),
    "work_loss": (0.0, 0.3),
}


@dataclass(frozen=True, kw_only=True)
class Effort:
    """Which power the rider holds: one number, or what the ride's own duration allows.

    "fixed": the rider's `power_w`.  "for the duration": solved for each ride from the rider's
    critical power and reserve (`physics/durability.py`), the mean being what can be held for as
    long as the ride takes, and falling within the ride with the work done; `power_w` then sets
    nothing but critical power where that is not given.

    `held_share`: how much of what could be held is ridden; 1 arrives with nothing left.
    `duration_exponent`: how critical power falls beyond an hour, (t/1 h)^-k.  0.15 (judgement, no
    source) leaves 76 % of it for six hours, the three quarters assumed of a long day elsewhere.
    `work_loss`: what each 1000 kJ takes of the power held.  0.05 (judgement) is half of the
    published loss of all-out power, 10.1 ± 6.5 % (Barsumyan et al. 2025), and inside its spread:
    who shares out a day begins below what fresh legs could hold, and so loses less of it.  With
    both, a day of 3 to 8 hours ends at what losing 8 to 10 % of critical power with each 1000 kJ
    would leave: the published loss again.

    Raises `PlanError` for an unknown kind and for values that no rider has.
    """

    kind: str = FIXED
    held_share: float = 1.0
    duration_exponent: float = 0.15
    work_loss: float = 0.05

    def __post_init__(self) -> None:
        """Refuse what is no effort."""
        require_one_of("effort.kind", self.kind, KINDS)
        require_bounds("effort", self, BOUNDS)
