"""What the rider wants: power by grade."""

from __future__ import annotations

import numpy as np

from gearsim.physics.number import Number


def pace_factor(
    grade: Number, full_effect_grade: Number, uphill_factor: Number, downhill_factor: Number
) -> Number:
    """Power wanted on a grade over that on the flat.  Compiles.

    The uphill or downhill factor from the grade of full effect on, and in proportion below it.
    """
    effect = np.minimum(np.maximum(grade / full_effect_grade, -1.0), 1.0)
    uphill = (uphill_factor - 1.0) * np.maximum(effect, 0.0)
    downhill = (1.0 - downhill_factor) * np.minimum(effect, 0.0)
    factor: Number = 1.0 + uphill + downhill
    return factor
