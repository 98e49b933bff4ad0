"""Drag area and rolling resistance together, from the energy balance of steady pedalling."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gearsim.physics.forces import air_force_n, bearing_force_n, head_wind_mps
from gearsim.studies.learn.estimate import Estimate, Refusal, blocks_of_time, from_spread
from gearsim.studies.learn.windows import WINDOW_S, Windows
from gearsim.units import GRAVITY_MPS2

Floats = NDArray[np.float64]

CHAIN_LOAD_LOSS = 0.009  # share of power lost in proportion to it: physics/chain.py, common gears
CHAIN_DRAG_W = 2.2  # the chain's own drag at 85 rpm on 40 teeth: physics/chain.py
DRIVE_EFFICIENCY = 0.98  # of both together at 200 W
WHEELS_KG = 1.5  # I/r² of both wheels (Martin et al. 1998, from memory)
POWER_METER_DEVIATION = 0.025  # meter and chain together, as a fraction: judgement
MASS_DEVIATION = 0.03  # what a stated mass is out by, with clothes and bottles: judgement
DENSITY_DEVIATION = 0.03  # 8 °C and the weather's pressure: judgement
WIND_DEVIATION_MPS = 2.0  # of each part of the mean wind at rider height: judgement
LOG_ROLLING_BOUNDS = (-8.0, -2.0)
LEAST_WINDOWS = 30
MOST_BLOCKS = 16
LEAST_BLOCK_S = 150.0
ROBUST_AT = 1.5  # residuals beyond so many robust deviations count less (Huber 1964)
ROUNDS = 25
DRAG_AREA_M2, DRAG_DEVIATION_M2 = (0.35, 0.08)  # of riders of all kinds: bands of 0.28 to 0.45
ROLLING_FACTOR = 2.5  # 90 % of tyres and grounds lie within the surface's coefficient × or ÷ this
DRAG, ROLLING, MASS, METER, WINDS = 0, 1, 2, 3, 4  # places in θ
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
    Each ride's mean wind (two parts) is fitted along.  Total mass (`mass_deviation`, a fraction),
    the power meter and air density have a stated spread that widens the intervals, but they are
    not fitted: at a steady power the climb follows from the speed, so errors of height would pass
    for a smaller mass (errors in variables; such parameters are `considered`, Schmidt SF 1966, from
    memory).  Beforehand the drag area is taken to be 0.35 ± 0.08 m² and the rolling coefficient
    near `surface_rolling`, times or over 2.5.  Errors of windows near in time are alike, so the
    spread is taken over blocks of the ride.  A wind that changes, riding in a group, and braking
    while pedalling are not in the balance.
    """
    if windows.count < LEAST_WINDOWS:
        return _too_little(windows)
    fit = _Fit(windows, mass_kg, surface_rolling, mass_deviation)
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
        explained_w=fit.explained_w(theta),
        residual_w=float(_robust_deviation(fit.residual_w(theta))),
        windows=windows,
        widened_by=widened_by,
    )


class _Fit:
    """The balance of all windows, as a function of the parameters θ.

    θ = drag area, ln rolling coefficient, mass factor, meter factor, then each ride's wind.
    """

    def __init__(
        self, windows: Windows, mass_kg: float, surface_rolling: float, mass_deviation: float
    ) -> None:
        self.windows = windows
        self.mass_kg = mass_kg
        self.rides = int(windows.ride.max()) + 1
        self.fitted = np.array([DRAG, ROLLING, *range(WINDS, WINDS + 2 * self.rides)])
        self.deviation = np.array(
            [
                DRAG_DEVIATION_M2,
                np.log(ROLLING_FACTOR) / 1.645,
                mass_deviation,
                POWER_METER_DEVIATION,
            ]
            + [WIND_DEVIATION_MPS] * (2 * self.rides)
        )
        self.expected = np.array(
            [DRAG_AREA_M2, np.log(surface_rolling), 1.0, 1.0] + [0.0] * (2 * self.rides)
        )

    def explained_w(self, theta: Floats) -> Floats:
        """Power at the cranks that each window takes, W."""
        w = self.windows
        wind = theta[WINDS:].reshape(-1, 2)[w.ride]
        size, source = np.hypot(wind[:, 0], wind[:, 1]), np.arctan2(wind[:, 1], wind[:, 0])
        head = head_wind_mps(size[:, None], source[:, None], w.bearing_rad)
        factor = 0.5 * w.density_kgm3[:, None] * theta[DRAG]
        air = (air_force_n(w.speed_mps, head, factor) * w.speed_mps).mean(axis=1)
        bearings = (bearing_force_n(w.speed_mps, 1.0) * w.speed_mps).mean(axis=1)
        mass = theta[MASS] * self.mass_kg
        rolling = np.exp(theta[ROLLING]) * mass * GRAVITY_MPS2 * w.speed_mps.mean(axis=1)
        lifted = mass * w.climb_wpkg + (mass + WHEELS_KG) * w.gain_wpkg
        at_wheel: Floats = lifted + rolling + np.asarray(air) + np.asarray(bearings)
        at_cranks: Floats = (at_wheel + CHAIN_DRAG_W) / ((1.0 - CHAIN_LOAD_LOSS) * theta[METER])
        return at_cranks

    def residual_w(self, theta: Floats) -> Floats:
        return self.windows.power_w - self.explained_w(theta)

    def slope(self, theta: Floats) -> Floats:
        """Derivative of the explained power by each parameter, (n, parameters)."""
        step = np.array([1e-3, 1e-3, 1e-4, 1e-4] + [1e-3] * (2 * self.rides))
        columns = []
        for place, size in enumerate(step):
            aside = np.zeros(len(theta))
            aside[place] = size
            ahead, behind = self.explained_w(theta + aside), self.explained_w(theta - aside)
            columns.append((ahead - behind) / (2.0 * size))
        return np.stack(columns, axis=1)

    def solved(self) -> tuple[Floats, Floats]:
        """Parameters and the weight of each window, 1/W², after Gauss-Newton steps."""
        theta = self.expected.copy()
        weight = np.ones(self.windows.count)
        for _ in range(ROUNDS):
            residual = self.residual_w(theta)
            weight = self._weight(residual)
            slope = self.slope(theta)[:, self.fitted]
            pull = ((self.expected - theta) / self.deviation**2)[self.fitted]
            theta[self.fitted] += np.linalg.solve(
                self._curvature(slope, weight), slope.T @ (weight * residual) + pull
            )
            theta[DRAG] = max(theta[DRAG], 0.01)
            theta[ROLLING] = np.clip(theta[ROLLING], *LOG_ROLLING_BOUNDS)
        return theta, weight

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

    def _curvature(self, slope: Floats, weight: Floats) -> Floats:
        curvature: Floats = slope.T @ (weight[:, None] * slope)
        return curvature + np.diag(1.0 / self.deviation[self.fitted] ** 2)

    def covariance(self, theta: Floats, weight: Floats) -> tuple[dict[str, Floats], int]:
        """Covariance of the fitted parameters by what causes it, and the degrees of freedom.

        Scatter is taken over blocks left out one by one.
        """
        slope, residual = self.slope(theta), self.residual_w(theta)
        fitted = slope[:, self.fitted]
        whole = self._curvature(fitted, weight)
        block = self._blocks()
        blocks = int(block.max()) + 1
        moved = np.zeros((blocks, fitted.shape[1]))
        for number in range(blocks):
            inside = block == number
            part = fitted[inside].T @ (weight[inside, None] * fitted[inside])
            score = fitted[inside].T @ (weight[inside] * residual[inside])
            moved[number] = np.linalg.solve(whole - part, score)
        inverse = np.linalg.inv(whole)
        shift = -inverse @ fitted.T @ (weight[:, None] * slope)
        causes = {
            "scatter between windows": (blocks - 1.0) / blocks * moved.T @ moved,
            "the unknown wind": _spread(inverse[:, WIND:] / self.deviation[WINDS:]),
            "what is usual": _spread(inverse[:, :WIND] / self.deviation[:MASS]),
            THE_MASS: _spread(shift[:, [MASS]] * self.deviation[MASS]),
            "the power meter": _spread(shift[:, [METER]] * self.deviation[METER]),
            "air density": _spread(
                DENSITY_DEVIATION * theta[DRAG] * np.eye(fitted.shape[1])[:, [DRAG]]
            ),
        }
        return causes, blocks - 1

    def _blocks(self) -> NDArray[np.int64]:
        stands_for_s = WINDOW_S * np.arange(1.0, self.windows.count + 1.0)
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
