"""A rider's power on climbs, where no power was recorded: most of it lifts a known weight."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gearsim.course.recorded.recording import Recording
from gearsim.course.runs import runs
from gearsim.physics.air import standard_density_kgm3
from gearsim.physics.forces import air_force_n, bearing_force_n, head_wind_mps, rolling_force_n
from gearsim.studies.learn.balance import DRIVE_EFFICIENCY, WHEELS_KG
from gearsim.studies.learn.estimate import BELIEF, Estimate, Refusal
from gearsim.studies.learn.resistance import DENSITY_DEVIATION, MASS_DEVIATION, WIND_DEVIATION_MPS
from gearsim.units import GRAVITY_MPS2

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
Climbs = tuple[tuple[Recording, Mask], ...]  # each recording, and its seconds on climbs

CLIMB_GRADE = 0.03
SHORTEST_CLIMB_S = 60
LEAST_S = 300.0
MOSTLY_KNOWN = 0.9
LEAST_MASS = 0.3  # of the mass gone by: a draw is no rider
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
    there, nan where power was not recorded.  `asked_kg` is the mass of rider and bike at which the
    forces ask for just that power, None where it was not recorded; `mass_kg` the mass gone by.
    """

    power_w: Estimate
    seconds: float
    climb_m: float
    air_share: float
    recorded_w: float
    mass_kg: float
    asked_kg: Estimate | None

    @property
    def contradicted(self) -> bool:
        """Whether the recorded power asks for another mass than the one gone by."""
        return self.asked_kg is not None and not self.asked_kg.holds(self.mass_kg)


def learn_climbing(
    recordings: tuple[Recording, ...],
    mass_kg: float,
    rolling_coefficient: float,
    mass_deviation: float = MASS_DEVIATION,
) -> ClimbingPower | Refusal:
    """Mean power on grades from 3 % on, held for a minute and more, from the forces alone.

    The interval holds what is not known: total mass (3 %, or `mass_deviation`, a fraction, where
    it is assumed), grade (2 %), each ride's wind (2 m/s
    from either side), drag area (0.38 ± 0.05 m²), the tyre (the surface's rolling coefficient times
    or over 1.5), chain and air density; and how far such models are from power meters (4.8 %).  The
    mean is over all time on the climbs.
    """
    masks = [_climbing(recording) for recording in recordings]
    seconds = float(sum(mask.sum() for mask in masks))
    if seconds < LEAST_S:
        return _refused(recordings, seconds)
    climbs = tuple(zip(recordings, masks, strict=True))
    rng = np.random.default_rng(SEED)
    body = _Unknown.drawn(rng, mass_kg, rolling_coefficient, mass_deviation)
    winds = [rng.normal(0.0, WIND_DEVIATION_MPS, (2, DRAWS)) for _ in climbs]
    work_j, air_j = _work_of_all_j(climbs, body, winds)
    climb_m = sum(_climb_m(recording, mask) for recording, mask in climbs)
    evidence = f"{seconds / 60.0:.0f} min on climbs of 3 % and more, {climb_m:.0f} m up"
    recorded_w = _recorded_w(climbs)
    # Work is a line in the mass: two masses tell where it meets the recorded work.
    without_j, _ = _work_of_all_j(climbs, replace(body, mass_kg=np.zeros(DRAWS)), winds)
    asked_kg = body.mass_kg * (recorded_w * seconds - without_j) / (work_j - without_j)
    return ClimbingPower(
        power_w=_of_draws(work_j / seconds, evidence),
        seconds=seconds,
        climb_m=climb_m,
        air_share=float(np.median(air_j) / np.median(work_j)),
        recorded_w=recorded_w,
        mass_kg=mass_kg,
        asked_kg=None if np.isnan(recorded_w) else _of_draws(asked_kg, evidence),
    )


def _refused(recordings: tuple[Recording, ...], seconds: float) -> Refusal:
    """Too little climbing; where power was recorded, only the mass is not told by it."""
    why = (
        f"only {seconds / 60.0:.0f} min on climbs of 3 % and more, {LEAST_S / 60.0:.0f} min are "
        "needed"
    )
    climbs = "record a ride with long steady climbs"
    if any(recording.has_power for recording in recordings):
        return Refusal(
            what="whether the recorded power fits the mass", why=why, remedy=f"{climbs} and power"
        )
    return Refusal(what="power on climbs", why=why, remedy=f"{climbs}, or power")


def _of_draws(draws: Floats, evidence: str) -> Estimate:
    low, middle, high = np.quantile(draws, [0.5 - BELIEF / 2, 0.5, 0.5 + BELIEF / 2])
    return Estimate(value=float(middle), low=float(low), high=float(high), evidence=evidence)


def _recorded_w(climbs: Climbs) -> float:
    """Mean recorded power; nan unless nearly all seconds have a reading."""
    power_w = np.concatenate([recording.power_w[mask] for recording, mask in climbs])
    known = ~np.isnan(power_w)
    return float(power_w[known].mean()) if known.mean() >= MOSTLY_KNOWN else np.nan


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
    def drawn(
        cls, rng: np.random.Generator, mass_kg: float, rolling: float, mass_deviation: float
    ) -> _Unknown:
        log_spread = np.log(ROLLING_SPREAD) / 1.645  # the factor holds 90 %
        return cls(
            mass_kg=mass_kg * np.maximum(rng.normal(1.0, mass_deviation, DRAWS), LEAST_MASS),
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


def _work_of_all_j(climbs: Climbs, body: _Unknown, winds: list[Floats]) -> tuple[Floats, Floats]:
    """Work over all climbs, and that against the air, J, for each draw."""
    parts = [
        _work_j(recording, mask, body, wind)
        for (recording, mask), wind in zip(climbs, winds, strict=True)
    ]
    return np.sum([work for work, _ in parts], axis=0), np.sum([air for _, air in parts], axis=0)


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
