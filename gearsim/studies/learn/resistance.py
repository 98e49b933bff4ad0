"""Drag area and rolling resistance together, from the energy balance of steady pedalling."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gearsim.studies.learn.balance import DRAG, MASS, METER, ROLLING, WINDS, Balance
from gearsim.studies.learn.estimate import Estimate, Refusal, blocks_of_time, from_spread
from gearsim.studies.learn.windows import WINDOW_S, Windows

Floats = NDArray[np.float64]

POWER_METER_DEVIATION = 0.025  # meter and chain together, as a fraction: judgement
MASS_DEVIATION = 0.03  # what a stated mass is out by, with clothes and bottles: judgement
DENSITY_DEVIATION = 0.03  # 8 °C and the weather's pressure: judgement
WIND_DEVIATION_MPS = 2.0  # of each part of the mean wind at rider height: judgement
DRAG_BOUNDS_M2 = (0.01, 2.0)
LOG_ROLLING_BOUNDS = (-8.0, -2.0)
LEAST_WINDOWS = 30
MOST_BLOCKS = 16
LEAST_BLOCK_S = 150.0
ROBUST_AT = 1.5  # residuals beyond so many robust deviations count less (Huber 1964)
ROUNDS = 25
SETTLED = 1e-5  # m², ln, m/s: a step under which the parameters stand
DRAG_AREA_M2, DRAG_DEVIATION_M2 = (0.35, 0.08)  # of riders of all kinds: bands of 0.28 to 0.45
ROLLING_FACTOR = 2.5  # 90 % of tyres and grounds lie within the surface's coefficient × or ÷ this
WIND = 2  # place of the first wind among what is fitted
THE_MASS = "the mass"
WIDEST = 0.4
"""An interval whose half is wider than this share of the value concludes nothing."""


@dataclass(frozen=True, kw_only=True)
class Resistance:
    """Drag area (m²) and rolling coefficient, learnt together.

    `correlation` is that of their errors: near -1, one could stand for the other.  `wind_mps` has
    each ride's mean wind at rider height as (from north, from east), with `wind_deviation_mps`;
    `explained_w` (n) is the power that the balance gives for each window, `residual_w` the usual
    distance between it and the recorded power.
    """

    drag_area_m2: Estimate
    rolling_coefficient: Estimate
    correlation: float
    wind_mps: tuple[tuple[float, float], ...]
    wind_deviation_mps: tuple[tuple[float, float], ...]
    explained_w: Floats
    residual_w: float
    windows: Windows
    widened_by: str


def learn_resistance(
    windows: Windows,
    mass_kg: float,
    surface_rolling: float,
    mass_deviation: float = MASS_DEVIATION,
) -> Resistance | Refusal:
    """Drag area and rolling coefficient from windows of steady pedalling with power.

    Each window gives (1 - c)·P - P_chain = m·(g·dh + d(½v²))/dt + Crr·m·g·v
    + ½ρCdA·(v + w)·|v + w|·v + bearings, with c and P_chain lost in the chain.

    Riders hold their power, so a gust, a lull or a slipstream shows in the speed: fast windows are
    those with less air against them.  Least squares of power on speed would take that for a drag
    area too small and a rolling resistance too large (errors in variables).  So residuals are not
    weighed by the slopes at the recorded speed but at the steady speed that the window's power
    holds on the grade around it, in which the wind of the moment is not: power and grade are the
    instruments (Sargan JD 1958, Econometrica 26:393-415; from memory).  A rider who pushes harder
    into gusts makes the drag area come out larger, by up to 0.02 m² in gusts of 0.7 m/s.

    Each ride's mean wind (two parts) is fitted along.  Total mass (`mass_deviation`, a fraction),
    the power meter and air density have a stated spread that widens the intervals, but they are
    not fitted: pushing into gusts would pass for a larger mass (such parameters are `considered`,
    Schmidt SF 1966, from memory).  Beforehand the drag area is taken to be 0.35 ± 0.08 m² and the
    rolling coefficient near `surface_rolling`, times or over 2.5.  Errors of windows near in time
    are alike, so the spread is taken over blocks of the ride.  A wind that changes over many
    minutes, riding in a group, and braking while pedalling are not in the balance.
    """
    if windows.count < LEAST_WINDOWS:
        return _too_little(windows)
    balance = Balance(windows=windows, mass_kg=mass_kg)
    fit = _Fit(balance, surface_rolling, mass_deviation)
    theta, weight = fit.solved()
    causes, freedom = fit.covariance(theta, weight)
    covariance = np.sum(list(causes.values()), axis=0)
    deviation = np.sqrt(np.diag(covariance))
    minutes = f"{windows.minutes:.0f} min of steady pedalling in {windows.count} windows"
    drag = from_spread(float(theta[DRAG]), float(deviation[DRAG]), freedom, minutes)
    rolling = _exponential(
        from_spread(float(theta[ROLLING]), float(deviation[ROLLING]), freedom, "")
    )
    rolling = replace(rolling, evidence=minutes)
    widened_by = max(causes, key=lambda cause: float(causes[cause][DRAG, DRAG]))
    if not (0.0 < drag.half_width < WIDEST * drag.value):
        return _cannot_tell_apart(drag, rolling, widened_by)
    winds, spreads = theta[WINDS:].reshape(-1, 2), deviation[WIND:].reshape(-1, 2)
    return Resistance(
        drag_area_m2=drag,
        rolling_coefficient=rolling,
        correlation=float(covariance[DRAG, ROLLING] / (deviation[DRAG] * deviation[ROLLING])),
        wind_mps=tuple((float(n), float(e)) for n, e in winds),
        wind_deviation_mps=tuple((float(n), float(e)) for n, e in spreads),
        explained_w=balance.explained_w(theta),
        residual_w=_robust_deviation(balance.residual_w(theta)),
        windows=windows,
        widened_by=widened_by,
    )


class _Fit:
    """The parameters θ of a balance, with what is expected of them beforehand."""

    def __init__(self, balance: Balance, surface_rolling: float, mass_deviation: float) -> None:
        self.balance = balance
        winds = 2 * balance.rides
        self.fitted = np.array([DRAG, ROLLING, *range(WINDS, WINDS + winds)])
        self.deviation = np.array(
            [
                DRAG_DEVIATION_M2,
                np.log(ROLLING_FACTOR) / 1.645,
                mass_deviation,
                POWER_METER_DEVIATION,
            ]
            + [WIND_DEVIATION_MPS] * winds
        )
        self.expected = np.array([DRAG_AREA_M2, np.log(surface_rolling), 1.0, 1.0] + [0.0] * winds)

    def solved(self) -> tuple[Floats, Floats]:
        """Parameters and the weight of each window, 1/W², after Gauss-Newton steps."""
        theta = self.expected.copy()
        for _ in range(ROUNDS):
            residual = self.balance.residual_w(theta)
            weight = self._weight(residual)
            asked, slope = self._slopes(theta)
            pull = ((self.expected - theta) / self.deviation**2)[self.fitted]
            step = np.linalg.solve(
                self._curvature(asked, slope, weight), asked.T @ (weight * residual) + pull
            )
            theta[self.fitted] += step
            theta[DRAG] = np.clip(theta[DRAG], *DRAG_BOUNDS_M2)
            theta[ROLLING] = np.clip(theta[ROLLING], *LOG_ROLLING_BOUNDS)
            if np.abs(step).max() < SETTLED:
                break
        return theta, weight

    def _slopes(self, theta: Floats) -> tuple[Floats, Floats]:
        """Slopes by what is fitted: at the speed to be expected, and at the speed recorded."""
        expected = self.balance.at_expected_speed(theta)
        return expected.slope(theta)[:, self.fitted], self.balance.slope(theta)[:, self.fitted]

    def _weight(self, residual: Floats) -> Floats:
        """Weight of each window: less for strays, and less where windows near in time err alike.

        Blocks of k windows with errors e have (Σe)² = k·Σe² in full accord and Σe² in none; that
        ratio says for how many windows one that is independent stands.
        """
        scale = _robust_deviation(residual)
        stray = np.minimum(1.0, ROBUST_AT * scale / np.maximum(np.abs(residual), 1e-9))
        error = stray * residual
        sums = np.bincount(self._blocks(), weights=error)
        alike = max(1.0, float((sums**2).sum() / (error**2).sum()))
        weight: Floats = stray / (scale**2 * alike)
        return weight

    def _curvature(self, asked: Floats, slope: Floats, weight: Floats) -> Floats:
        """How the pull of what is asked changes with the parameters, with what is expected."""
        curvature: Floats = asked.T @ (weight[:, None] * slope)
        return curvature + np.diag(1.0 / self.deviation[self.fitted] ** 2)

    def covariance(self, theta: Floats, weight: Floats) -> tuple[dict[str, Floats], int]:
        """Covariance of the fitted parameters by what causes it, and the degrees of freedom.

        Scatter is taken over blocks left out one by one.
        """
        asked, slope = self._slopes(theta)
        score = asked * (weight * self.balance.residual_w(theta))[:, None]
        whole = self._curvature(asked, slope, weight)
        block = self._blocks()
        blocks = int(block.max()) + 1
        moved = np.zeros((blocks, len(self.fitted)))
        for number in range(blocks):
            inside = block == number
            part = asked[inside].T @ (weight[inside, None] * slope[inside])
            moved[number] = np.linalg.solve(whole - part, score[inside].sum(axis=0))
        inverse = np.linalg.inv(whole)
        shift = -inverse @ asked.T @ (weight[:, None] * self.balance.slope(theta))
        causes = {
            "scatter between windows": (blocks - 1.0) / blocks * moved.T @ moved,
            "the unknown wind": _spread(inverse[:, WIND:] / self.deviation[WINDS:]),
            "what is usual": _spread(inverse[:, :WIND] / self.deviation[:MASS]),
            THE_MASS: _spread(shift[:, [MASS]] * self.deviation[MASS]),
            "the power meter": _spread(shift[:, [METER]] * self.deviation[METER]),
            "air density": _spread(
                DENSITY_DEVIATION * theta[DRAG] * np.eye(len(self.fitted))[:, [DRAG]]
            ),
        }
        return causes, blocks - 1

    def _blocks(self) -> NDArray[np.int64]:
        stands_for_s = WINDOW_S * np.arange(1.0, self.balance.windows.count + 1.0)
        return blocks_of_time(stands_for_s, MOST_BLOCKS, LEAST_BLOCK_S)


def _spread(columns: Floats) -> Floats:
    """Covariance of independent errors of deviation 1, each moving the parameters by a column."""
    covariance: Floats = columns @ columns.T
    return covariance


def _robust_deviation(residual: Floats) -> float:
    return max(float(1.4826 * np.median(np.abs(residual))), 0.1)


def _exponential(log: Estimate) -> Estimate:
    return Estimate(
        value=float(np.exp(log.value)),
        low=float(np.exp(log.low)),
        high=float(np.exp(log.high)),
        evidence=log.evidence,
    )


def _too_little(windows: Windows) -> Refusal:
    return Refusal(
        what="drag area and rolling resistance",
        why=f"only {windows.minutes:.0f} min of steady pedalling with power, "
        f"{LEAST_WINDOWS * WINDOW_S / 60:.0f} min are needed",
        remedy="record power for an hour with long stretches without freewheeling",
    )


def _cannot_tell_apart(drag: Estimate, rolling: Estimate, widened_by: str) -> Refusal:
    remedy = (
        "record power on a calm day, alone, both slowly uphill and fast on the flat, out and back"
    )
    if widened_by == THE_MASS:
        remedy = "weigh rider and bike and tell --rider-mass and --bike-mass"
    return Refusal(
        what="drag area and rolling resistance",
        why=f"drag area could be {max(drag.low, 0.0):.2f} to {drag.high:.2f} m² and the rolling "
        f"coefficient {max(rolling.low, 0.0):.4f} to {rolling.high:.4f}: "
        f"not told apart, most of all for {widened_by}",
        remedy=remedy,
    )
