"""How strongly to smooth: the strengths that make the recorded heights most probable."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.optimize import minimize

from gearsim.course.heights.filter import Recorded, Variances, loosened, most_probable, road_bands
from gearsim.course.track import Floats

SMALLEST_SCATTER_M = 0.01  # heights are hardly ever written finer
_START = Variances(grade=0.04**2, wander_m2=0.5, scatter_m2=0.05)
_GRADE = (0.003**2, 0.3**2)
_WANDER_M2 = (0.01**2, 10.0**2)
_LARGEST_SCATTER_M2 = 5.0**2
_LOOSENINGS = 3
_TOLERANCE = 5e-4  # of the log of the likelihood; a finer search changes no grade by 0.01 %

_PROBE = 1e-4  # step of the logs by which the slope is felt: in a finer one rounding drowns it


def most_likely_variances(sample: Recorded, rounding_m: float) -> Variances:
    """The variances under which the sample's heights are most probable (maximum likelihood).

    The marginal likelihood weighs fit against freedom by itself (Rasmussen and Williams 2006,
    section 5.4.1).  Rounding to steps of `rounding_m` is scatter of variance step²/12 at least.
    """
    least_m2 = SMALLEST_SCATTER_M**2 + rounding_m**2 / 12.0
    even = np.ones(sample.changes)
    roughly = _most_likely(_improbability(sample, road_bands(sample, even)), _START, least_m2)
    stiffness = settled_stiffness(sample, roughly, even)
    return _most_likely(_improbability(sample, road_bands(sample, stiffness)), roughly, least_m2)


def settled_stiffness(
    recorded: Recorded, variances: Variances, stiffness: Floats, times: int = _LOOSENINGS
) -> Floats:
    """`stiffness` after loosening it that many times where the grade changes much."""
    for _ in range(times):
        unknowns, _ = most_probable(recorded, road_bands(recorded, stiffness), variances)
        stiffness = loosened(recorded, unknowns, variances)
    return stiffness


def _improbability(sample: Recorded, road: Floats) -> Callable[[Floats], float]:
    return lambda logs: -most_probable(sample, road, _variances(logs))[1]


def _variances(logs: Floats) -> Variances:
    grade, wander_m2, scatter_m2 = (float(value) for value in np.exp(logs))
    return Variances(grade=grade, wander_m2=wander_m2, scatter_m2=scatter_m2)


def _most_likely(
    improbability: Callable[[Floats], float], start: Variances, least_m2: float
) -> Variances:
    """The variances at the nearest top of the likelihood, sought from `start` on."""
    low = np.log([_GRADE[0], _WANDER_M2[0], least_m2])
    high = np.log([_GRADE[1], _WANDER_M2[1], max(_LARGEST_SCATTER_M2, 4.0 * least_m2)])
    first = np.log([start.grade, start.wander_m2, start.scatter_m2])
    found = minimize(
        improbability,
        np.clip(first, low, high),
        method="L-BFGS-B",
        bounds=list(zip(low, high, strict=True)),
        options={"maxiter": 40, "ftol": _TOLERANCE, "eps": _PROBE},
    )
    return _variances(found.x)
