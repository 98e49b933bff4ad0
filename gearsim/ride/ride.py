"""A ride: everything that happened, interval by interval."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gearsim.course.course import Course
from gearsim.ride.counting import places_passed
from gearsim.ride.effort import SolvedEffort
from gearsim.ride.legs import legs_of, rested_before_s, stopped_s
from gearsim.ride.states import CAUSES, STATES
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.gears import Gears
from gearsim.setup.rider import Rider

if TYPE_CHECKING:
    import pandas as pd

Floats = NDArray[np.float64]
Codes = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class Energy:
    """Where the work went, in J over the whole ride; what goes in comes out.

    In: `pedalling_j` at the cranks and `walking_j`, the work of pushing the bike along.
    Out: all others; `potential_j` and `kinetic_j` are what is left at the finish over the start.
    """

    pedalling_j: float
    walking_j: float
    potential_j: float
    kinetic_j: float
    rolling_j: float
    air_j: float
    bearings_j: float
    chain_j: float
    brakes_j: float

    @property
    def work_in_j(self) -> float:
        """Work that rider and walker put in, J."""
        return self.pedalling_j + self.walking_j

    @property
    def work_out_j(self) -> float:
        """Where it went, J."""
        losses = self.rolling_j + self.air_j + self.bearings_j + self.chain_j + self.brakes_j
        return self.potential_j + self.kinetic_j + losses

    @property
    def turnover_j(self) -> float:
        """The work done, J: the rider's, or the hill's where that is more."""
        return max(self.work_in_j, abs(self.potential_j), self.work_in_j - self.potential_j)

    @property
    def imbalance(self) -> float:
        """In minus out, as a fraction of the work done."""
        return (self.work_in_j - self.work_out_j) / max(self.turnover_j, 1.0)


@dataclass(frozen=True, kw_only=True)
class Ride:
    """One rider, bike, drivetrain and set of conditions simulated over a course of n intervals.

    Arrays of n + 1 (nodes): `node_speed_mps`.  Arrays of n (intervals): `duration_s`, `power_w`
    (at the cranks, mean over the interval; 0 on foot), `wanted_power_w` (the pace's), `cadence_rpm`
    (0 where the rider does not pedal), `gear` (index into `gears`), `state` (index into
    `STATES`), `cause` (index into `CAUSES`), `reserve_j` (at the interval's end).

    `passes` counts how often ride and shift plan were repeated; `settled` says that the gears no
    longer changed.  `effort` is the one that was solved for the ride, None where the rider held a
    given one.  Where the course has stops, `duration_s` leaves them out, `finish_s` and `time_s`
    have them in, and `node_speed_mps` is 0 there.
    """

    course: Course
    rider: Rider
    bike: Bike
    drivetrain: Drivetrain
    conditions: Conditions
    gears: Gears
    node_speed_mps: Floats
    duration_s: Floats
    power_w: Floats
    wanted_power_w: Floats
    cadence_rpm: Floats
    gear: Codes
    state: Codes
    cause: Codes
    reserve_j: Floats
    rear_shifts: int
    front_shifts: int
    energy: Energy
    passes: int
    settled: bool
    effort: SolvedEffort | None = None

    @property
    def flat_power_w(self) -> tuple[float, float]:
        """Power that the rider's effort wants on the flat, at the start and at the finish, W."""
        if self.effort is None:
            return self.rider.power_w, self.rider.power_w
        return self.effort.first_w, self.effort.last_w

    @property
    def moving_s(self) -> float:
        """Time from start to finish without stops, s."""
        return float(self.duration_s.sum())

    @property
    def stopped_s(self) -> float:
        """Time stood at stops, s."""
        return stopped_s(self.course)

    @property
    def finish_s(self) -> float:
        """Time from start to finish, with stops, s."""
        return self.moving_s + self.stopped_s

    @property
    def time_s(self) -> Floats:
        """Time since the start at the end of each interval, with the stops before it, s, (n)."""
        return np.cumsum(self.duration_s) + rested_before_s(self.course)

    @property
    def rear_clicks(self) -> int:
        """Sprockets (or gears of a hub) passed in all rear shifts: a jump over four counts four."""
        place = self.gears.place
        # Leg by leg: a shift at a stop is no shift of the ride.
        legs = [self.gear[leg.first : leg.end] for leg in legs_of(self.course)]
        return sum(places_passed(gear, place) for gear in legs)

    @property
    def speed_mps(self) -> Floats:
        """Mean speed along the road in each interval, m/s, (n)."""
        return self.course.road_length_m / self.duration_s

    @property
    def table(self) -> pd.DataFrame:
        """The ride as a table, one row an interval.

        `distance_m`, `time_s`, `elevation_m` and `reserve_j` are those at the interval's end;
        `duration_s` is the interval's own time, and the other columns hold on the interval.
        """
        import pandas as pd

        course, gears = self.course, self.gears
        return pd.DataFrame(
            {
                "distance_m": course.distance_m[1:],
                "time_s": self.time_s,
                "duration_s": self.duration_s,
                "elevation_m": course.elevation_m[1:],
                "grade": course.grade,
                "surface": np.array([surface.name for surface in course.surfaces], dtype=object)[
                    course.surface_index
                ],
                "speed_mps": self.speed_mps,
                "power_w": self.power_w,
                "wanted_power_w": self.wanted_power_w,
                "cadence_rpm": self.cadence_rpm,
                "chainring": gears.chainring[self.gear],
                "sprocket": gears.sprocket[self.gear],
                "ratio": gears.ratio[self.gear],
                "state": np.array([str(state) for state in STATES], dtype=object)[self.state],
                "cause": np.array([str(cause) for cause in CAUSES], dtype=object)[self.cause],
                "reserve_j": self.reserve_j,
            }
        )
