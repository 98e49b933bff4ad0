"""A recorded ride ridden again with what was learnt from another: predicted against recorded."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearsim.course.recorded.recording import Recording
from gearsim.course.recorded.same import refuse_same_ride
from gearsim.errors import PlanError
from gearsim.ride.ride import Ride
from gearsim.ride.simulate import simulate
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.studies.learn.gears import APART
from gearsim.studies.learn.learn import Learnt
from gearsim.studies.learn.resistance import Resistance
from gearsim.studies.learn.setup import bike_as_found, drivetrain_as_found, learnt_rider
from gearsim.studies.replay.power import PowerAlong, ride_power
from gearsim.units import SECONDS_PER_MINUTE

Floats = NDArray[np.float64]

STAND_IN = Drivetrain(
    name="stand-in", chainrings=(46, 30), sprockets=(11, 12, 13, 15, 17, 19, 21, 24, 27, 30, 34)
)
"""Gears ridden where none were learnt: cadence and gear use then mean nothing."""

GRADE_EDGES = np.array([-0.06, -0.03, -0.01, 0.01, 0.03, 0.06])
GRADE_CLASSES = (
    "under -6 %",
    "-6 to -3 %",
    "-3 to -1 %",
    "-1 to 1 %",
    "1 to 3 %",
    "3 to 6 %",
    "over 6 %",
)
CADENCE_EDGES_RPM = np.arange(40.0, 131.0, 5.0)
SHORTEST_M = 1000.0


@dataclass(frozen=True, kw_only=True)
class GradeClass:
    """One class of grade: kilometres, and minutes and speed as recorded and as predicted.

    `power_*` are by the recorded power, None where there is none.
    """

    name: str
    length_m: float
    recorded_s: float
    predicted_s: float
    powered_s: float | None

    def speed_mps(self, seconds: float) -> float:
        """Mean speed of the class for a time in it, m/s."""
        return self.length_m / seconds if seconds > 0.0 else math.nan


@dataclass(frozen=True, kw_only=True)
class GearUse:
    """Share of pedalling time in each gear, by development: as recorded and as predicted."""

    development_m: Floats
    recorded: Floats
    predicted: Floats

    @property
    def overlap(self) -> float:
        """Share of time that is in the same gear in both: 1 where they agree."""
        return float(np.minimum(self.recorded, self.predicted).sum())


@dataclass(frozen=True, kw_only=True)
class Replay:
    """A recorded ride, and the same ride predicted with what was learnt elsewhere.

    `ride` is the simulation with the learnt pace; `powered` the recorded power along the course,
    None where no power was recorded.  `recorded_s` is the recorded moving time in each interval of
    the course.  `gear_use` is None where no gears were learnt or no cadence was recorded.
    """

    recording: Recording
    learnt: Learnt
    ride: Ride
    powered: PowerAlong | None
    recorded_s: Floats
    recorded_power_w: Floats
    classes: tuple[GradeClass, ...]
    gear_use: GearUse | None

    @property
    def moving_s(self) -> float:
        """Recorded moving time, s."""
        return float(self.recorded_s.sum())

    @property
    def error(self) -> float:
        """Predicted over recorded moving time by the learnt pace, less 1."""
        return self.ride.finish_s / self.moving_s - 1.0

    @property
    def powered_error(self) -> float | None:
        """Predicted over recorded moving time by the recorded power, less 1."""
        return None if self.powered is None else self.powered.finish_s / self.moving_s - 1.0

    @property
    def recorded_work_j(self) -> float | None:
        """Recorded work at the cranks, J; None where no power was recorded."""
        if self.powered is None:
            return None
        return float((self.recorded_power_w * self.recorded_s).sum())

    @property
    def recorded_cadence_rpm(self) -> Floats:
        """Recorded cadence of every second of pedalling, rpm."""
        kept = self.recording.moving & ~self.recording.off
        cadence = np.nan_to_num(self.recording.cadence_rpm[kept])
        pedalled: Floats = cadence[cadence >= CADENCE_EDGES_RPM[0]]
        return pedalled

    @property
    def predicted_cadence(self) -> tuple[Floats, Floats]:
        """Predicted cadence (rpm) of the intervals that are pedalled, and their seconds."""
        kept = self.ride.cadence_rpm >= CADENCE_EDGES_RPM[0]
        return self.ride.cadence_rpm[kept], self.ride.duration_s[kept]


def replay(recording: Recording, learnt: Learnt, *, same_day: bool = False) -> Replay:
    """Ride a recording's course with what was learnt from other recordings.

    The wind that was learnt is used on the `same_day` only; on another day the air is calm.

    What was found is used as it is, also where it is not plausible: the errors then tell.

    Raises `PlanError` for less than a kilometre, `RouteError` where the ride is one that taught.
    """
    course = recording.course
    if course.length_m < SHORTEST_M:
        raise PlanError(
            f"{recording.source}: {course.length_m:.0f} m to replay; allowed is 1 km and more"
        )
    refuse_same_ride((*learnt.recordings, recording))
    rider, bike = learnt_rider(learnt), bike_as_found(learnt)
    drivetrain = drivetrain_as_found(learnt)
    conditions = _conditions(learnt, same_day)
    ride = simulate(course, rider, bike, drivetrain or STAND_IN, conditions)
    recorded_s, power_w = _by_interval(recording)
    powered = None
    if recording.has_power:
        stops = np.array([stop.distance_m for stop in recording.stops])
        powered = ride_power(course, rider, bike, conditions, power_w, stops)
    cadenced = drivetrain is not None and recording.has_cadence
    return Replay(
        recording=recording,
        learnt=learnt,
        ride=ride,
        powered=powered,
        recorded_s=recorded_s,
        recorded_power_w=power_w,
        classes=_by_grade(ride, powered, recorded_s),
        gear_use=_gear_use(recording, ride) if cadenced else None,
    )


def error_together(replays: tuple[Replay, ...]) -> float:
    """Predicted over recorded moving time of all parts by the learnt pace, less 1."""
    predicted_s = sum(one.ride.finish_s for one in replays)
    return predicted_s / sum(one.moving_s for one in replays) - 1.0


def powered_error_together(replays: tuple[Replay, ...]) -> float | None:
    """The same by the recorded power; None where a part has none."""
    powered = [one.powered for one in replays if one.powered is not None]
    if len(powered) < len(replays):
        return None
    return sum(one.finish_s for one in powered) / sum(one.moving_s for one in replays) - 1.0


def _conditions(learnt: Learnt, same_day: bool) -> Conditions:
    if not same_day or not isinstance(learnt.resistance, Resistance):
        return Conditions()
    north, east = learnt.resistance.wind_mps[0]
    return Conditions(
        wind_mps=math.hypot(north, east), wind_from_rad=math.atan2(east, north), wind_share=1.0
    )


def _by_interval(recording: Recording) -> tuple[Floats, Floats]:
    """Moving time (s) and mean power (W) of each interval of the course, as recorded."""
    # A hair's breadth a second keeps distance rising, also where the rider stands.
    along_m = recording.distance_m + 1e-6 * np.arange(len(recording.distance_m))
    nodes_m = recording.course.distance_m
    moved_s = np.append(0.0, np.cumsum(recording.moving)[:-1]).astype(np.float64)
    at_nodes_s = np.interp(nodes_m, along_m, moved_s)
    at_nodes_s[0], at_nodes_s[-1] = 0.0, moved_s[-1]
    known = ~np.isnan(recording.power_w)
    if not known.any():
        return np.diff(at_nodes_s), np.full(recording.course.intervals, np.nan)
    seconds = np.arange(len(known))
    power_w = np.interp(seconds, seconds[known], recording.power_w[known])
    worked_j = np.append(0.0, np.cumsum(power_w * recording.moving)[:-1])
    at_nodes_j = np.interp(nodes_m, along_m, worked_j)
    recorded_s = np.diff(at_nodes_s)
    return recorded_s, np.diff(at_nodes_j) / np.maximum(recorded_s, 1e-3)


def _by_grade(ride: Ride, powered: PowerAlong | None, recorded_s: Floats) -> tuple[GradeClass, ...]:
    kind = np.digitize(ride.course.grade, GRADE_EDGES)
    return tuple(
        GradeClass(
            name=name,
            length_m=float(ride.course.road_length_m[kind == number].sum()),
            recorded_s=float(recorded_s[kind == number].sum()),
            predicted_s=float(ride.duration_s[kind == number].sum()),
            powered_s=None if powered is None else float(powered.duration_s[kind == number].sum()),
        )
        for number, name in enumerate(GRADE_CLASSES)
    )


def _gear_use(recording: Recording, ride: Ride) -> GearUse:
    """Time in each development of the drivetrain; gears nearer than 2 % count as one."""
    developments = np.sort(ride.gears.development_m)
    steps = np.diff(np.log(developments), prepend=-np.inf) > APART
    group = np.cumsum(steps) - 1
    centre = np.array([developments[group == n].mean() for n in range(int(group[-1]) + 1)])
    pedalled = recording.moving & ~recording.off & ~np.isnan(recording.speed_mps)
    pedalled &= np.nan_to_num(recording.cadence_rpm) >= CADENCE_EDGES_RPM[0]
    recorded_m = recording.speed_mps[pedalled] * SECONDS_PER_MINUTE
    recorded_m = recorded_m / recording.cadence_rpm[pedalled]
    turned = ride.cadence_rpm > 0.0
    predicted_m = ride.gears.development_m[ride.gear[turned]]
    return GearUse(
        development_m=centre,
        recorded=_shares(recorded_m, np.ones(len(recorded_m)), centre),
        predicted=_shares(predicted_m, ride.duration_s[turned], centre),
    )


def _shares(development_m: Floats, seconds: Floats, centre_m: Floats) -> Floats:
    middle = np.sqrt(centre_m[1:] * centre_m[:-1])
    nearest = np.digitize(development_m, middle)
    total = np.bincount(nearest, weights=seconds, minlength=len(centre_m))
    return total / max(float(total.sum()), 1e-9)
