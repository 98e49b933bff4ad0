"""A rider's power on climbs, where no power was recorded: most of it lifts a known weight."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearsim.course.finding import runs
from gearsim.course.recording import Recording
from gearsim.physics.air import standard_density_kgm3
from gearsim.physics.forces import air_force_n, bearing_force_n, head_wind_mps, rolling_force_n
from gearsim.studies.learn_estimate import BELIEF, Estimate, Refusal
from gearsim.studies.learn_resistance import (
    DENSITY_DEVIATION,
    DRIVE_EFFICIENCY,
    MASS_DEVIATION,
    WHEELS_KG,
    WIND_DEVIATION_MPS,
)
from gearsim.units import GRAVITY_MPS2

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

CLIMB_GRADE = 0.03
SHORTEST_CLIMB_S = 60
LEAST_S = 300.0
SLOWEST_MPS = 1.0
DRAWS = 800
SEED = 20_200_101
DRAG_AREA_M2, DRAG_DEVIATION_M2 = 0.38, 0.05  # a rider unknown (bands in setup/bike.py)
ROLLING_SPREAD = 1.5  # a tyre unknown rolls at the surface's coefficient over or times this
EFFICIENCY_DEVIATION = 0.01
GRADE_DEVIATION = 0.02  # climb totals are good to about 2 % dry (Menaspà et al. 2016)
MODEL_DEVIATION = 0.048  # 95 % of -10.4 to +8.5 % from a power meter (Millet et al. 2014)


@dataclass(frozen=True, kw_only=True)
class ClimbingPower:
    """Mean power on climbs, W; the seconds and metres of climb behind it; what it leans on most.

    `air_share` is the part of the power that goes into air.  `recorded_w` is the mean recorded
    there, nan where power was not recorded.
    """

    power_w: Estimate
    seconds: float
    climb_m: float
    air_share: float
    recorded_w: float


def learn_climbing(
    recordings: tuple[Recording, ...], mass_kg: float, rolling_coefficient: float
) -> ClimbingPower | Refusal:
    """Mean power on grades from 3 % on, held for a minute and more, from the forces alone.

    The interval holds what is not known: total mass (3 %), grade (2 %), each ride's wind (2 m/s
    from either side), drag area (0.38 ± 0.05 m²), the tyre (the surface's rolling coefficient times
    or over 1.5), chain and air density; and how far such models are from power meters (4.8 %).  The
    mean is over all time on the climbs.
    """
    masks = [_climbing(recording) for recording in recordings]
    seconds = float(sum(mask.sum() for mask in masks))
    if seconds < LEAST_S:
        return Refusal(
            what="power on climbs",
            why=f"only {seconds / 60.0:.0f} min on climbs of 3 % and more, "
            f"{LEAST_S / 60.0:.0f} min are needed",
            remedy="record a ride with long steady climbs, or power",
        )
    rng = np.random.default_rng(SEED)
    body = _Unknown.drawn(rng, mass_kg, rolling_coefficient)
    work_j, air_j = np.zeros(DRAWS), 0.0
    for recording, mask in zip(recordings, masks, strict=True):
        wind = rng.normal(0.0, WIND_DEVIATION_MPS, (2, DRAWS))
        ride_j, ride_air_j = _work_j(recording, mask, body, wind)
        work_j, air_j = work_j + ride_j, air_j + float(np.median(ride_air_j))
    low, middle, high = np.quantile(work_j / seconds, [0.5 - BELIEF / 2, 0.5, 0.5 + BELIEF / 2])
    recorded = [r.power_w[mask] for r, mask in zip(recordings, masks, strict=True)]
    climb_m = sum(_climb_m(r, mask) for r, mask in zip(recordings, masks, strict=True))
    return ClimbingPower(
        power_w=Estimate(
            value=float(middle),
            low=float(low),
            high=float(high),
            evidence=f"{seconds / 60.0:.0f} min on climbs of 3 % and more, {climb_m:.0f} m up",
        ),
        seconds=seconds,
        climb_m=climb_m,
        air_share=air_j / float(np.median(work_j)),
        recorded_w=float(np.mean(np.concatenate(recorded))),
    )


@dataclass(frozen=True, kw_only=True)
class _Unknown:
    """What is not known, drawn many times: arrays of draws."""

    mass_kg: Floats
    grade_factor: Floats
    rolling_coefficient: Floats
    drag_area_m2: Floats
    density_factor: Floats
    efficiency: Floats
    model_factor: Floats

    @classmethod
    def drawn(cls, rng: np.random.Generator, mass_kg: float, rolling: float) -> _Unknown:
        log_spread = np.log(ROLLING_SPREAD) / 1.645  # the factor holds 90 %
        return cls(
            mass_kg=mass_kg * rng.normal(1.0, MASS_DEVIATION, DRAWS),
            grade_factor=rng.normal(1.0, GRADE_DEVIATION, DRAWS),
            rolling_coefficient=rolling * np.exp(rng.normal(0.0, log_spread, DRAWS)),
            drag_area_m2=np.maximum(rng.normal(DRAG_AREA_M2, DRAG_DEVIATION_M2, DRAWS), 0.1),
            density_factor=rng.normal(1.0, DENSITY_DEVIATION, DRAWS),
            efficiency=rng.normal(DRIVE_EFFICIENCY, EFFICIENCY_DEVIATION, DRAWS),
            model_factor=rng.normal(1.0, MODEL_DEVIATION, DRAWS),
        )


def _climbing(recording: Recording) -> Mask:
    """Seconds on climbs: a minute and more on at least 3 %, riding."""
    riding = recording.moving & ~recording.off
    riding &= np.nan_to_num(recording.speed_mps) >= SLOWEST_MPS
    steep = riding & (recording.grade >= CLIMB_GRADE)
    kept = np.zeros(len(steep), dtype=bool)
    for first, last in zip(*runs(steep), strict=True):
        kept[first : last + 1] = last - first + 1 >= SHORTEST_CLIMB_S
    return kept


def _climb_m(recording: Recording, mask: Mask) -> float:
    firsts, lasts = runs(mask)
    return float((recording.elevation_m[lasts] - recording.elevation_m[firsts]).sum())


def _work_j(
    recording: Recording, mask: Mask, body: _Unknown, wind_mps: Floats
) -> tuple[Floats, Floats]:
    """Work at the cranks over the climbing seconds of a ride, and that against the air, J."""
    speed, grade = recording.speed_mps[mask][:, None], recording.grade[mask][:, None]
    bearing, height = recording.bearing_rad[mask][:, None], recording.elevation_m[mask][:, None]
    source, size = np.arctan2(wind_mps[1], wind_mps[0]), np.hypot(wind_mps[0], wind_mps[1])
    head = head_wind_mps(size, source, bearing)
    density = standard_density_kgm3(height) * body.density_factor
    air = air_force_n(speed, head, 0.5 * density * body.drag_area_m2)
    force = air + bearing_force_n(speed, 1.0)
    force = force + rolling_force_n(body.mass_kg, grade, body.rolling_coefficient)
    gained = _kinetic_per_kg(recording, mask) * (body.mass_kg + WHEELS_KG)
    # By height, not by speed times grade: a wheel's size set wrongly must not count as a hill.
    lifted = GRAVITY_MPS2 * _climb_m(recording, mask) * body.grade_factor * body.mass_kg
    per_effort = body.model_factor / body.efficiency
    work = ((force * speed).sum(axis=0) + gained + lifted) * per_effort
    return np.asarray(work), np.asarray((air * speed).sum(axis=0) * per_effort)


def _kinetic_per_kg(recording: Recording, mask: Mask) -> float:
    speed = recording.speed_mps
    firsts, lasts = runs(mask)
    return float(0.5 * (speed[lasts] ** 2 - speed[firsts] ** 2).sum())
