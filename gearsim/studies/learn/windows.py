"""Windows of steady pedalling: stretches of a recording in which all energy is accounted for.

On the brakes or freewheeling through bends nobody knows where energy goes, so windows in which the
rider stops pedalling are left out.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from gearsim.course.recorded.recording import Recording
from gearsim.physics.air import standard_density_kgm3
from gearsim.units import GRAVITY_MPS2

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

WINDOW_S = 30
SLOWEST_MPS = 2.0
PEDALLING_W = 20.0
MOST_FREEWHEELING = 0.1  # share of a window
STRIDE_S = 5  # between places where a window is tried
AROUND_S = 30  # before and after a window: the road around it
SHORTEST_AROUND_M = 10.0


@dataclass(frozen=True, kw_only=True)
class Windows:
    """n windows; all means over the window.

    `power_w` at the cranks; `climb_wpkg` and `gain_wpkg` are the power that potential and kinetic
    energy take for each kg; `speed_mps` (n, seconds) and `bearing_rad` (n, seconds) are those of
    every second, or one for the whole window (n, 1); `density_kgm3` is the standard atmosphere's at
    that height; `grade` (a fraction) is that of the road from 30 s before the window to 30 s after
    it; `start_s` counts in the recording, `ride` says which recording.
    """

    power_w: Floats
    climb_wpkg: Floats
    gain_wpkg: Floats
    speed_mps: Floats
    bearing_rad: Floats
    density_kgm3: Floats
    grade: Floats
    start_s: Floats
    ride: Integers

    @property
    def count(self) -> int:
        """Number of windows, n."""
        return len(self.power_w)

    @property
    def minutes(self) -> float:
        """Time in all windows, min."""
        return self.count * WINDOW_S / 60.0


def steady_windows(recordings: tuple[Recording, ...]) -> Windows:
    """The windows of steady pedalling of all recordings, one after the other."""
    parts = [_of_one(recording, ride) for ride, recording in enumerate(recordings)]
    return Windows(
        **{
            field.name: np.concatenate([getattr(part, field.name) for part in parts])
            for field in fields(Windows)
        }
    )


def _of_one(recording: Recording, ride: int) -> Windows:
    start = _starts(recording)
    second = start[:, None] + np.arange(WINDOW_S)
    end = start + WINDOW_S
    speed, height = recording.speed_mps, recording.elevation_m
    return Windows(
        power_w=recording.power_w[second].mean(axis=1),
        climb_wpkg=GRAVITY_MPS2 * (height[end] - height[start]) / WINDOW_S,
        gain_wpkg=0.5 * (speed[end] ** 2 - speed[start] ** 2) / WINDOW_S,
        speed_mps=0.5 * (speed[second] + speed[second + 1]),
        bearing_rad=recording.bearing_rad[second],
        density_kgm3=np.asarray(standard_density_kgm3(height[second].mean(axis=1))),
        grade=_grade_around(recording, start),
        start_s=start.astype(np.float64),
        ride=np.full(len(start), ride, dtype=np.int64),
    )


def _grade_around(recording: Recording, start: Integers) -> Floats:
    first = np.maximum(start - AROUND_S, 0)
    last = np.minimum(start + WINDOW_S + AROUND_S, len(recording.time_s) - 1)
    gone_m = np.maximum(recording.distance_m[last] - recording.distance_m[first], SHORTEST_AROUND_M)
    grade: Floats = (recording.elevation_m[last] - recording.elevation_m[first]) / gone_m
    return grade


def _starts(recording: Recording) -> Integers:
    """First seconds of windows that do not overlap, with no stop, gap or freewheeling in them."""
    riding = recording.moving & ~recording.off & (recording.speed_mps > SLOWEST_MPS)
    riding &= ~np.isnan(recording.power_w)
    not_riding = np.append(0, np.cumsum(~riding))
    idle = np.append(0, np.cumsum(np.nan_to_num(recording.power_w) < PEDALLING_W))
    found = []
    at, last = 0, len(riding) - WINDOW_S - 1
    while at <= last:
        whole = not_riding[at + WINDOW_S + 1] == not_riding[at]
        freewheeling = (idle[at + WINDOW_S] - idle[at]) / WINDOW_S
        if whole and freewheeling <= MOST_FREEWHEELING:
            found.append(at)
            at += WINDOW_S
        else:
            at += STRIDE_S
    return np.array(found, dtype=np.int64)
