"""How pedalling time spreads over cadence and gears: as recorded, and as predicted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearsim.course.recorded.recording import Recording
from gearsim.ride.ride import Ride
from gearsim.setup.gears import Gears
from gearsim.studies.learn.cadence import PUSHING_W
from gearsim.studies.learn.gears import APART
from gearsim.units import SECONDS_PER_MINUTE

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

CADENCE_EDGES_RPM = np.arange(40.0, 131.0, 5.0)


@dataclass(frozen=True, kw_only=True)
class Cadence:
    """Pedalling at `rpm` for `seconds`, in as many pieces as there are."""

    rpm: Floats
    seconds: Floats

    @property
    def mean_rpm(self) -> float:
        """Mean over the time, rpm; 0 where there is none."""
        whole_s = float(self.seconds.sum())
        return float(self.rpm @ self.seconds) / whole_s if whole_s > 0.0 else 0.0

    @property
    def shares(self) -> Floats:
        """Share of the time between each two of `CADENCE_EDGES_RPM`; slower is no pedalling."""
        return _shares(np.histogram(self.rpm, bins=CADENCE_EDGES_RPM, weights=self.seconds)[0])


@dataclass(frozen=True, kw_only=True)
class GearUse:
    """Share of pedalling time by development (m a crank turn), the lowest first.

    `by_power` is None where no power was recorded.
    """

    development_m: Floats
    recorded: Floats
    by_pace: Floats
    by_power: Floats | None


def common_share(one: Floats, other: Floats) -> float:
    """Share of time that lies in the same class in both: 1 where they agree."""
    return float(np.minimum(one, other).sum())


def recorded_cadence(recording: Recording) -> Cadence:
    """Cadence of every second of pedalling."""
    rpm = recording.cadence_rpm[_pedalled(recording)]
    return Cadence(rpm=rpm, seconds=np.ones(len(rpm)))


def predicted_cadence(ride: Ride) -> Cadence:
    """Cadence of every interval of pedalling."""
    kept = _ridden(ride)
    return Cadence(rpm=ride.cadence_rpm[kept], seconds=ride.duration_s[kept])


def gear_use(recording: Recording, by_pace: Ride, by_power: Ride | None) -> GearUse:
    """Time in each gear of the bike of both rides; gears nearer than 2 % count as one."""
    centre_m = _apart_m(by_pace.gears)
    kept = _pedalled(recording) & ~np.isnan(recording.speed_mps)
    turns_per_s = recording.cadence_rpm[kept] / SECONDS_PER_MINUTE
    recorded_m = recording.speed_mps[kept] / turns_per_s
    return GearUse(
        development_m=centre_m,
        recorded=_of_gears(recorded_m, np.ones(len(recorded_m)), centre_m),
        by_pace=_of_ride(by_pace, centre_m),
        by_power=None if by_power is None else _of_ride(by_power, centre_m),
    )


def _pedalled(recording: Recording) -> Mask:
    """Seconds of pedalling: turning, and not with next to no power where power is known."""
    turning = np.nan_to_num(recording.cadence_rpm) >= CADENCE_EDGES_RPM[0]
    pushing = np.nan_to_num(recording.power_w, nan=np.inf) >= PUSHING_W
    pedalled: Mask = recording.moving & ~recording.off & turning & pushing
    return pedalled


def _ridden(ride: Ride) -> Mask:
    """Intervals of pedalling, by the same rule."""
    ridden: Mask = (ride.cadence_rpm >= CADENCE_EDGES_RPM[0]) & (ride.power_w >= PUSHING_W)
    return ridden


def _apart_m(gears: Gears) -> Floats:
    developments = np.sort(gears.development_m)
    group = np.cumsum(np.diff(np.log(developments), prepend=-np.inf) > APART) - 1
    return np.array([developments[group == n].mean() for n in range(int(group[-1]) + 1)])


def _of_ride(ride: Ride, centre_m: Floats) -> Floats:
    kept = _ridden(ride)
    return _of_gears(ride.gears.development_m[ride.gear[kept]], ride.duration_s[kept], centre_m)


def _of_gears(development_m: Floats, seconds: Floats, centre_m: Floats) -> Floats:
    nearest = np.digitize(development_m, np.sqrt(centre_m[1:] * centre_m[:-1]))
    held_s = np.bincount(nearest, weights=seconds, minlength=len(centre_m))
    return _shares(held_s.astype(np.float64))


def _shares(seconds: Floats) -> Floats:
    shares: Floats = seconds / max(float(seconds.sum()), 1e-9)
    return shares
