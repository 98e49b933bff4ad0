"""The course as one rider meets it, compiled: what resists, what is wanted, what is dared."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from gearsim.physics import braking, forces
from gearsim.ride import pace
from gearsim.ride.compiler import loop, part

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

gravity_force_n: Any = part(forces.gravity_force_n)
rolling_force_n: Any = part(forces.rolling_force_n)
cornering_speed_mps: Any = part(braking.cornering_speed_mps)
pace_factor: Any = part(pace.pace_factor)


class Road(NamedTuple):
    """The course as this rider meets it: n intervals, n + 1 nodes (`bound_mps`)."""

    length_m: Floats  # along the road
    grade: Floats
    resistance_n: Floats  # gravity and rolling
    head_wind_mps: Floats
    air_factor_kgpm: Floats  # ½ρCdA
    wanted_w: Floats
    bound_mps: Floats  # what the rider dares: descending, cornering, braking ahead


class Ground(NamedTuple):
    """The course's own numbers, and the values of its surfaces on the day."""

    step_m: float
    elevation_m: Floats  # nodes
    bend_radius_m: Floats  # nodes
    stop_nodes: Integers
    surface_index: Integers
    rolling_coefficient: Floats  # of each surface, with the tyre's factor
    side_grip_g: Floats  # of each surface, as much of it as the rider uses
    lowest_m: float
    knot_spacing_m: float
    air_factor_kgpm: Floats  # at even heights from the lowest on, beyond the highest


class Manner(NamedTuple):
    """How the rider takes the road."""

    power_w: float
    full_effect_grade: float
    uphill_factor: float
    downhill_factor: float
    descending_mps: float
    slowest_riding_mps: float
    braking_mps2: float


def empty_road(head_wind_mps: Floats) -> Road:
    """Room for the road of n intervals, with the wind along it."""
    intervals = len(head_wind_mps)
    return Road(
        length_m=np.empty(intervals),
        grade=np.empty(intervals),
        resistance_n=np.empty(intervals),
        head_wind_mps=head_wind_mps,
        air_factor_kgpm=np.empty(intervals),
        wanted_w=np.empty(intervals),
        bound_mps=np.empty(intervals + 1),
    )


@part
def slope(ground: Ground, grade: Floats, length_m: Floats) -> None:
    """Write grade and length of each interval."""
    elevation, step = ground.elevation_m, ground.step_m
    for i in range(len(grade)):
        rise = elevation[i + 1] - elevation[i]
        grade[i], length_m[i] = rise / step, (step**2 + rise**2) ** 0.5


@part
def resist(ground: Ground, grade: Floats, resistance_n: Floats) -> None:
    """Write what gravity and rolling resist for each kg, N."""
    coefficient, surface = ground.rolling_coefficient, ground.surface_index
    for i in range(len(grade)):
        rolling_n = rolling_force_n(1.0, grade[i], coefficient[surface[i]])
        resistance_n[i] = gravity_force_n(1.0, grade[i]) + rolling_n


@part
def thin_out(ground: Ground, air_factor_kgpm: Floats) -> None:
    """Write the air factor at each interval's height, linear between the ground's even heights."""
    elevation, knots = ground.elevation_m, ground.air_factor_kgpm
    for i in range(len(air_factor_kgpm)):
        above_m = 0.5 * (elevation[i] + elevation[i + 1]) - ground.lowest_m
        place = above_m / ground.knot_spacing_m
        knot = int(place)
        air_factor_kgpm[i] = knots[knot] + (place - knot) * (knots[knot + 1] - knots[knot])


@part
def want(manner: Manner, grade: Floats, wanted_w: Floats) -> None:
    """Write the power wanted on each grade."""
    full, uphill, downhill = manner.full_effect_grade, manner.uphill_factor, manner.downhill_factor
    for i in range(len(grade)):
        wanted_w[i] = manner.power_w * pace_factor(grade[i], full, uphill, downhill)


@part
def dare(ground: Ground, manner: Manner, bound_mps: Floats) -> None:
    """Write the speed bound at each node from descending, cornering and stops, m/s.

    A bend is taken at the rider's share of the side acceleration that the surface holds, the worse
    one where it changes; a stop is reached at the slowest riding speed.
    """
    radius_m, grip_g, surface = ground.bend_radius_m, ground.side_grip_g, ground.surface_index
    slowest, fastest, last = manner.slowest_riding_mps, manner.descending_mps, len(surface) - 1
    for i in range(len(bound_mps)):
        worse_g = min(grip_g[surface[max(i - 1, 0)]], grip_g[surface[min(i, last)]])
        bend_mps = cornering_speed_mps(radius_m[i], worse_g)
        bound_mps[i] = min(max(bend_mps, slowest), fastest)
    for node in ground.stop_nodes:
        bound_mps[node] = min(slowest, fastest)


@part
def brake_ahead(length_m: Floats, braking_mps2: float, bound_mps: Floats) -> None:
    """Lower each node's speed bound so that the next can be reached by braking."""
    bound2 = bound_mps[-1] ** 2
    for i in range(len(length_m) - 1, -1, -1):
        # In squares, so that only a bound that is lowered waits for a root.
        reachable2 = bound2 + 2.0 * braking_mps2 * length_m[i]
        bound2 = bound_mps[i] ** 2
        if reachable2 < bound2:
            bound2, bound_mps[i] = reachable2, reachable2**0.5


@loop
def meet(ground: Ground, manner: Manner, road: Road) -> None:
    """Write the road, all but its wind; its resistance is that of 1 kg.

    A loop for each quantity, so that the compiler can take several intervals at once.
    """
    slope(ground, road.grade, road.length_m)
    resist(ground, road.grade, road.resistance_n)
    thin_out(ground, road.air_factor_kgpm)
    want(manner, road.grade, road.wanted_w)
    dare(ground, manner, road.bound_mps)
    brake_ahead(road.length_m, manner.braking_mps2, road.bound_mps)
