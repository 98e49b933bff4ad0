"""Rides of our own simulator, recorded with the faults of real instruments; the truth is known."""

import datetime
from dataclasses import dataclass, replace

import numpy as np
from made_rides import DOUBLE, course_of_height, waves
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.course.recorded.recording import Recording
from gearsim.physics.air import standard_density_kgm3
from gearsim.ride.ride import Ride
from gearsim.ride.simulate import simulate
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider

Floats = NDArray[np.float64]

ROAD = waves((7000.0, 0.02, 0.3), (2300.0, 0.025, 1.1), (600.0, 0.015, 2.0))
"""Hills up to 6 %."""

START = datetime.datetime(2021, 3, 4, 9, tzinfo=datetime.UTC)

STRONG_MPS = 25.0


@dataclass(frozen=True, kw_only=True)
class Faults:
    """What is wrong with the instruments and the day; nothing by default.

    `gust_mps` is the deviation of wind that comes and goes within a minute, against which the rider
    pushes harder (`in_gusts` is for a rider who does not), `meter` the power meter's scale,
    `power_share` its scatter from second to second, `height_m` the deviation of heights that
    wander over 300 m.
    """

    gust_mps: float = 0.0
    meter: float = 1.0
    power_share: float = 0.0
    height_m: float = 0.0
    speed_mps: float = 0.0


USUAL = Faults(gust_mps=0.7, power_share=0.05, height_m=0.5, speed_mps=0.05)


def loop(length_m: float = 25_000.0, turns: float = 3.0) -> Course:
    """A hilly road that turns through all directions `turns` times."""
    intervals = round(length_m / 10.0)
    bearing = np.linspace(0.0, 2.0 * np.pi * turns, intervals)
    return course_of_height(ROAD, length_m, bearing_rad=bearing, start_height_m=200.0)


def ride_of(
    rider: Rider | None = None,
    bike: Bike | None = None,
    day: Conditions | None = None,
    drivetrain: Drivetrain = DOUBLE,
    course: Course | None = None,
) -> Ride:
    """A ride over the loop."""
    return simulate(
        course or loop(), rider or Rider(), bike or Bike(), drivetrain, day or Conditions()
    )


def in_gusts(ride: Ride, gust_mps: float, memory_s: float, seed: int) -> Ride:
    """The ride at the same power in a wind that comes and goes: the speed gives way.

    Each interval's head wind is made of one strong wind and a bearing that has it so.
    """
    day = ride.conditions
    mean_mps = day.wind_mps * day.wind_share
    head_mps = mean_mps * np.cos(day.wind_from_rad - ride.course.bearing_rad)
    rng = np.random.default_rng(seed)
    head_mps = head_mps + gust_mps * _wandering(rng, ride.time_s, memory_s)
    bearing_rad = np.arccos(np.clip(head_mps / STRONG_MPS, -1.0, 1.0))
    blown = simulate(
        replace(ride.course, bearing_rad=bearing_rad),
        replace(ride.rider, critical_power_w=2000.0, reserve_j=100_000.0),
        ride.bike,
        ride.drivetrain,
        replace(day, wind_mps=STRONG_MPS, wind_from_rad=0.0, wind_share=1.0),
        wanted_w=ride.power_w,
    )
    return replace(blown, course=ride.course, conditions=day)


def recorded(ride: Ride, seed: int = 0, faults: Faults = USUAL) -> Recording:
    """The ride as its instruments record it, once a second, cadence in whole rpm."""
    rng = np.random.default_rng(seed)
    seconds = np.arange(np.floor(ride.finish_s))
    node_s = np.append(0.0, ride.time_s)
    middle_s = 0.5 * (node_s[1:] + node_s[:-1])
    interval = np.clip(np.searchsorted(node_s, seconds, side="right") - 1, 0, len(middle_s) - 1)
    distance_m = np.interp(seconds, node_s, ride.course.distance_m)
    speed_mps = np.interp(seconds, node_s, ride.node_speed_mps)
    power_w = ride.power_w[interval] + _gust_w(rng, ride, interval, speed_mps, faults.gust_mps)
    power_w = np.where(ride.power_w[interval] > 0.0, np.maximum(power_w, 0.0), 0.0)
    power_w = power_w * faults.meter * rng.normal(1.0, faults.power_share, len(seconds))
    turning = speed_mps / ride.gears.development_m[ride.gear[interval]] * 60.0
    cadence_rpm = np.where(ride.cadence_rpm[interval] > 0.0, turning, 0.0)
    height_m = np.interp(seconds, node_s, ride.course.elevation_m)
    height_m = height_m + faults.height_m * _wandering(rng, distance_m, 300.0)
    measured_mps = np.maximum(speed_mps + rng.normal(0.0, faults.speed_mps, len(seconds)), 0.0)
    nothing = np.full(len(seconds), np.nan)
    return Recording(
        name="made",
        source="made.gpx",
        course=ride.course,
        began_s=START.timestamp(),
        time_s=seconds,
        distance_m=distance_m,
        elevation_m=height_m,
        grade=ride.course.grade[interval],
        bearing_rad=ride.course.bearing_rad[interval],
        speed_mps=measured_mps,
        power_w=np.round(power_w),
        cadence_rpm=np.round(cadence_rpm),
        heart_rate_bpm=nothing,
        moving=np.ones(len(seconds), dtype=bool),
        off=np.zeros(len(seconds), dtype=bool),
        stops=(),
        speed_recorded=True,
    )


def _gust_w(
    rng: np.random.Generator, ride: Ride, interval: NDArray[np.int64], speed: Floats, gust: float
) -> Floats:
    """Power that gusts take at the speed ridden: the rider pushes against them."""
    day = ride.conditions
    wind = day.wind_mps * day.wind_share
    head = wind * np.cos(day.wind_from_rad - ride.course.bearing_rad[interval])
    flow = speed + head
    gusty = flow + gust * _wandering(rng, np.arange(len(speed), dtype=float), 30.0)
    height = ride.course.elevation_m[:-1][interval]
    factor = 0.5 * ride.bike.drag_area_m2 * np.asarray(standard_density_kgm3(height))
    extra: Floats = factor * speed * (np.abs(gusty) * gusty - np.abs(flow) * flow) / 0.98
    return extra


def _wandering(rng: np.random.Generator, along: Floats, memory: float) -> Floats:
    """A deviation of 1 that forgets itself over `memory`."""
    keep = np.exp(-np.diff(along, prepend=along[0]) / memory)
    new = rng.normal(size=len(along))
    values = new.copy()
    for place in range(1, len(along)):
        kept = keep[place]
        values[place] = kept * values[place - 1] + np.sqrt(1.0 - kept**2) * new[place]
    return values


def without_power(recording: Recording) -> Recording:
    """The same recording by a bike without a power meter."""
    return replace(recording, power_w=np.full(len(recording.time_s), np.nan))


def without_cadence(recording: Recording) -> Recording:
    """The same recording by a bike without a cadence sensor."""
    return replace(recording, cadence_rpm=np.full(len(recording.time_s), np.nan))


def as_gpx(recording: Recording, readings: tuple[str, ...] = ("speed", "power", "cad")) -> str:
    """The recording as a GPX 1.1 file, one point a second."""
    course = recording.course
    latitude = np.interp(recording.distance_m, course.distance_m, course.latitude_deg)
    longitude = np.interp(recording.distance_m, course.distance_m, course.longitude_deg)
    values = {
        "speed": recording.speed_mps,
        "power": recording.power_w,
        "cad": recording.cadence_rpm,
    }
    points = []
    for n, second in enumerate(recording.time_s):
        told = "".join(f"<{name}>{values[name][n]:g}</{name}>" for name in readings)
        time = (START + datetime.timedelta(seconds=float(second))).isoformat()
        points.append(
            f'<trkpt lat="{latitude[n]:.7f}" lon="{longitude[n]:.7f}">'
            f"<ele>{recording.elevation_m[n]:.1f}</ele><time>{time}</time>"
            f"<extensions>{told}</extensions></trkpt>"
        )
    body = "\n".join(points)
    return (
        '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><name>made</name><trkseg>{body}</trkseg></trk></gpx>"
    )
