"""The ride's differential equation in the hands of a general solver: slow, and sure.

m·v·dv/ds = η·P/v - gravity - rolling - ½ρCdA·|v + w|·(v + w) - bearings, along the road, after
Martin et al. (1998).  Written from the equation alone: of the project it uses the values given by
the user and the density of the air (which has its own tests against libraries), no more.
"""

from bisect import bisect_right
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from gearsim.course.course import Course
from gearsim.physics.air import air_density_kgm3
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.rider import Rider

Floats = NDArray[np.float64]

GRAVITY = 9.80665
STARTING_MPS = 1e-3  # the equation has a pole at rest


@dataclass(frozen=True, kw_only=True)
class Rig:
    """What the equation needs; arrays have one entry a piece of road."""

    road_m: Floats  # along the road
    drive_w: Floats  # at the wheel
    steady_n: Floats  # gravity, rolling and the bearings at rest
    head_wind_mps: Floats
    half_density_area_kgpm: Floats
    bearings_nspm: float
    moving_kg: float  # with the wheels' inertia


def rig_of(course: Course, rider: Rider, bike: Bike, day: Conditions, efficiency: float) -> Rig:
    """The same ride for the general solver, where nothing but the forces and the pace counts."""
    slope = np.arctan(course.grade)
    mass_kg = rider.mass_kg + bike.mass_kg
    rolling = bike.tyre_rolling_factor * course.surfaces[0].rolling_coefficient
    density_kgm3 = air_density_kgm3(
        0.5 * (course.elevation_m[1:] + course.elevation_m[:-1]),
        temperature_c=day.temperature_c,
        relative_humidity=day.relative_humidity,
        pressure_pa=day.pressure_pa,
        reference_height_m=day.reference_height_m,
    )
    radius_m = (bike.rim_mm / 2.0 + bike.tyre_mm) / 1000.0
    return Rig(
        road_m=course.step_m / np.cos(slope),
        drive_w=efficiency * _wanted_w(rider, course.grade),
        steady_n=mass_kg * GRAVITY * (np.sin(slope) + rolling * np.cos(slope))
        + 0.091 * bike.bearing_factor,
        head_wind_mps=day.wind_share
        * day.wind_mps
        * np.cos(day.wind_from_rad - course.bearing_rad),
        half_density_area_kgpm=0.5 * bike.drag_area_m2 * density_kgm3,
        bearings_nspm=0.0087 * bike.bearing_factor,
        moving_kg=mass_kg + bike.wheel_inertia_kgm2 / radius_m**2,
    )


def _wanted_w(rider: Rider, grade: Floats) -> Floats:
    """The factors hold in full from the grade of full effect on, in proportion below it."""
    factor = np.interp(
        grade,
        [-rider.full_effect_grade, 0.0, rider.full_effect_grade],
        [rider.downhill_factor, 1.0, rider.uphill_factor],
    )
    return rider.power_w * factor


def per_metre(
    _: float,
    now: Floats,
    drive_w: float,
    steady_n: float,
    wind_mps: float,
    air_kgpm: float,
    bearings_nspm: float,
    moving_kg: float,
) -> tuple[float, float]:
    """How time and speed change with a metre of road."""
    speed = now[1]
    through = speed + wind_mps
    held_n = steady_n + air_kgpm * abs(through) * through + bearings_nspm * speed
    return 1.0 / speed, (drive_w / speed - held_n) / (moving_kg * speed)


def finish(rig: Rig, *, rtol: float, method: str = "LSODA") -> tuple[float, float]:
    """Finish time, s, and speed there, m/s: piece by piece, as the grade jumps between them."""
    now = np.array([0.0, STARTING_MPS])
    for i, length_m in enumerate(rig.road_m):
        given = (
            rig.drive_w[i],
            rig.steady_n[i],
            rig.head_wind_mps[i],
            rig.half_density_area_kgpm[i],
            rig.bearings_nspm,
            rig.moving_kg,
        )
        solved = solve_ivp(
            per_metre, (0.0, length_m), now, method=method, rtol=rtol, atol=1e-9, args=given
        )
        now = solved.y[:, -1]
    return float(now[0]), float(now[1])


def whole_finish(rig: Rig, rtol: float, method: str = "RK45") -> float:
    """Finish time, s: the whole course in one go, the pieces looked up on the way."""
    edges = np.append(0.0, np.cumsum(rig.road_m))
    ends = edges[1:].tolist()
    last = len(ends) - 1
    pieces = list(
        zip(
            rig.drive_w.tolist(),
            rig.steady_n.tolist(),
            rig.head_wind_mps.tolist(),
            rig.half_density_area_kgpm.tolist(),
            strict=True,
        )
    )

    def looked_up(road_m: float, now: Floats) -> tuple[float, float]:
        piece = pieces[min(bisect_right(ends, road_m), last)]
        return per_metre(road_m, now, *piece, rig.bearings_nspm, rig.moving_kg)

    solved = solve_ivp(
        looked_up, (0.0, edges[-1]), (0.0, STARTING_MPS), method=method, rtol=rtol, atol=1e-9
    )
    return float(solved.y[0, -1])
