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
from gearsim.studies.learn.learn import Learnt
from gearsim.studies.learn.resistance import Resistance
from gearsim.studies.learn.setup import bike_as_found, drivetrain_as_found, learnt_rider
from gearsim.studies.replay.power import ride_power
from gearsim.studies.replay.use import Cadence, GearUse, gear_use, recorded_cadence

Floats = NDArray[np.float64]

STAND_IN = Drivetrain(
    name="stand-in", chainrings=(46, 30), sprockets=(11, 12, 13, 15, 17, 19, 21, 24, 27, 30, 34)
)
"""Gears ridden where no pair of parts was found: cadence and gear use then mean nothing."""

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
SHORTEST_M = 1000.0
COMES_ON_WITHIN_S = 3  # the first speed after a stop is recorded by then


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
class Replay:
    """A recorded ride, and the same ride predicted with what was learnt elsewhere.

    `ride` is the simulation with the learnt pace, `powered` that at the recorded power, on the same
    bike and gears; None where no power was recorded.  `recorded_s` is the recorded moving time in
    each interval of the course, `cadence` the recorded one, None where none was.  `gear_use` is
    None where no gears were found or no cadence was recorded.
    """

    recording: Recording
    learnt: Learnt
    ride: Ride
    powered: Ride | None
    recorded_s: Floats
    recorded_power_w: Floats
    classes: tuple[GradeClass, ...]
    cadence: Cadence | None
    gear_use: GearUse | None

    @property
    def moving_s(self) -> float:
        """Recorded moving time, s."""
        return float(self.recorded_s.sum())

    @property
    def error(self) -> float:
        """Predicted over recorded moving time by the learnt pace, less 1."""
        return self.ride.moving_s / self.moving_s - 1.0

    @property
    def gears_found(self) -> bool:
        """Whether the gears ridden are those that were found, not a stand-in."""
        return self.ride.drivetrain != STAND_IN

    @property
    def powered_error(self) -> float | None:
        """Predicted over recorded moving time by the recorded power, less 1."""
        return None if self.powered is None else self.powered.moving_s / self.moving_s - 1.0

    @property
    def recorded_work_j(self) -> float | None:
        """Recorded work at the cranks, J; None where no power was recorded."""
        if self.powered is None:
            return None
        return float((self.recorded_power_w * self.recorded_s).sum())


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
    drivetrain = drivetrain_as_found(learnt) or STAND_IN
    conditions = _conditions(learnt, same_day)
    ride = simulate(course, rider, bike, drivetrain, conditions)
    recorded_s, power_w = _by_interval(recording)
    powered = None
    if recording.has_power:
        pushed_w = _with_starts(recording, power_w, learnt.given.mass_kg)
        stops = recording.stops
        powered = ride_power(
            course, rider, bike, drivetrain, conditions, power_w=pushed_w, stops=stops
        )
    cadence = recorded_cadence(recording) if recording.has_cadence else None
    comparable = cadence is not None and drivetrain != STAND_IN
    return Replay(
        recording=recording,
        learnt=learnt,
        ride=ride,
        powered=powered,
        recorded_s=recorded_s,
        recorded_power_w=power_w,
        classes=_by_grade(ride, powered, recorded_s),
        cadence=cadence,
        gear_use=gear_use(recording, ride, powered) if comparable else None,
    )


def error_together(replays: tuple[Replay, ...]) -> float:
    """Predicted over recorded moving time of all parts by the learnt pace, less 1."""
    predicted_s = sum(one.ride.moving_s for one in replays)
    return predicted_s / sum(one.moving_s for one in replays) - 1.0


def powered_error_together(replays: tuple[Replay, ...]) -> float | None:
    """The same by the recorded power; None where a part has none."""
    powered = [one.powered for one in replays if one.powered is not None]
    if len(powered) < len(replays):
        return None
    return sum(one.moving_s for one in powered) / sum(one.moving_s for one in replays) - 1.0


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
    return recorded_s, np.maximum(np.diff(at_nodes_j), 0.0) / np.maximum(recorded_s, 1e-3)


def _with_starts(recording: Recording, power_w: Floats, mass_kg: float) -> Floats:
    """The power, with the push that the recording lacks where it goes on at speed.

    Where a part begins or the recorder comes on at a speed v, nobody recorded the work for it:
    m·v³/(3·s) takes a rider from rest to v over the first interval, of the length s.
    """
    course = recording.course
    pushed_w = power_w.copy()
    starts = [(0.0, 0.0), *((s.start_s + s.duration_s, s.distance_m) for s in recording.stops)]
    for start_s, along_m in starts:
        speeds = recording.speed_mps[int(start_s) : int(start_s) + COMES_ON_WITHIN_S]
        known = speeds[~np.isnan(speeds)]
        if len(known) > 0:
            first = min(round(along_m / course.step_m), course.intervals - 1)
            push_w = mass_kg * float(known[0]) ** 3 / (3.0 * course.step_m)
            pushed_w[first] = max(pushed_w[first], push_w)
    return pushed_w


def _by_grade(ride: Ride, powered: Ride | None, recorded_s: Floats) -> tuple[GradeClass, ...]:
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
