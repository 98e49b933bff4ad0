"""The energy balance of windows: the power that each one takes, for the parameters θ.

θ = drag area (m²), ln rolling coefficient, mass factor, meter factor, then each ride's mean wind
from north and from east (m/s).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gearsim.physics.forces import (
    air_force_n,
    bearing_force_n,
    gravity_force_n,
    head_wind_mps,
    steady_speed_mps,
)
from gearsim.studies.learn.windows import Windows
from gearsim.units import GRAVITY_MPS2

Floats = NDArray[np.float64]

CHAIN_LOAD_LOSS = 0.009  # share of power lost in proportion to it: physics/chain.py, common gears
CHAIN_DRAG_W = 2.2  # the chain's own drag at 85 rpm on 40 teeth: physics/chain.py
DRIVE_EFFICIENCY = 0.98  # of both together at 200 W
WHEELS_KG = 1.5  # I/r² of both wheels (Martin et al. 1998, from memory)
DRAG, ROLLING, MASS, METER, WINDS = 0, 1, 2, 3, 4  # places in θ
STEPS = (1e-3, 1e-3, 1e-4, 1e-4)  # of θ before the winds, for slopes
WIND_STEP_MPS = 1e-3


@dataclass(frozen=True, kw_only=True)
class Balance:
    """The balance of n windows of a rider and bike of `mass_kg` in all."""

    windows: Windows
    mass_kg: float

    @property
    def rides(self) -> int:
        """Number of rides that the windows are of."""
        return int(self.windows.ride.max()) + 1

    def explained_w(self, theta: Floats) -> Floats:
        """Power at the cranks that each window takes, W, (n)."""
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
        """Recorded power less what is explained, W, (n)."""
        return self.windows.power_w - self.explained_w(theta)

    def slope(self, theta: Floats) -> Floats:
        """Derivative of the explained power by each parameter, (n, parameters)."""
        columns = []
        for place, size in enumerate((*STEPS, *[WIND_STEP_MPS] * (2 * self.rides))):
            aside = np.zeros(len(theta))
            aside[place] = size
            ahead, behind = self.explained_w(theta + aside), self.explained_w(theta - aside)
            columns.append((ahead - behind) / (2.0 * size))
        return np.stack(columns, axis=1)

    def at_expected_speed(self, theta: Floats) -> Balance:
        """The same windows at the steady speed that their power holds there in calm air.

        Neither the wind of the moment nor an error of the window's own climb is in that speed.
        """
        w = self.windows
        speed_mps = np.asarray(
            steady_speed_mps(
                w.power_w,
                w.grade,
                mass_kg=self.mass_kg,
                rolling_coefficient=np.exp(theta[ROLLING]),
                air_factor_kgpm=0.5 * w.density_kgm3 * theta[DRAG],
                efficiency=DRIVE_EFFICIENCY,
            )
        )
        expected = replace(
            w,
            speed_mps=speed_mps[:, None],
            climb_wpkg=np.asarray(gravity_force_n(1.0, w.grade) * speed_mps),
            gain_wpkg=np.zeros(w.count),
        )
        return replace(self, windows=expected)
