"""The gears that a bike has, seen in the developments that speed and cadence reveal.

While a gear is held, speed over cadence is its development (metres a crank turn) whatever the
speed; from second to second it scatters by rounding and by soft pedalling, so only held stretches
count, and a gear must be held on several occasions.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from gearsim.course.recorded.recording import Recording
from gearsim.studies.learn.estimate import Estimate, Refusal, from_spread
from gearsim.units import SECONDS_PER_MINUTE

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]
Mask = NDArray[np.bool_]

HELD_S = 5  # seconds over which a development is taken
HELD_WITHIN = 0.012  # usual scatter of ln development inside them
PEDALLING_RPM = 45.0  # slower, whole rpm are too coarse
SLOWEST_MPS = 1.5
SMOOTHED_BY = 0.006  # width of the kernel, in ln development
GRID = 0.001
APART = 0.02  # two gears nearer than this in ln development are seen as one
STANDS_OUT = 2.0  # a gear's peak over the lowest valley beside it
LEAST_S = 12.0
LEAST_OCCASIONS = 3
NEW_OCCASION_S = 20.0
LEAST_HELD_S = 120.0
SURE = 0.01  # half of a sure gear's interval, as a fraction of its development
SMALLEST_ERROR = 0.0015  # of a development in one gear: what rounding leaves, as a fraction


@dataclass(frozen=True, kw_only=True)
class SeenGear:
    """A gear that was held: its development, for how long, how often, and how well it stands out.

    `spread` is the usual scatter of a held development as a fraction; `stands_out` is the peak of
    time over the valley beside it.
    """

    development_m: Estimate
    held_s: float
    occasions: int
    spread: float
    stands_out: float

    @property
    def sure(self) -> bool:
        """Whether the development is known within 1 % and the gear stands out clearly."""
        value = self.development_m.value
        return self.development_m.half_width <= SURE * value and self.stands_out > 2 * STANDS_OUT


@dataclass(frozen=True, kw_only=True)
class SeenGears:
    """All gears that were seen, lowest first; held developments (m), and pedalling time in s.

    `share_explained` is the part of held time within 2 % of a gear that was seen.
    """

    gears: tuple[SeenGear, ...]
    held_m: Floats
    pedalling_s: float
    share_explained: float

    @property
    def developments_m(self) -> Floats:
        """Developments of the gears, m, lowest first."""
        return np.array([gear.development_m.value for gear in self.gears])


@dataclass(frozen=True, kw_only=True)
class _Held:
    """ln development of every held second, and which occasion it belongs to."""

    log_m: Floats
    second: Integers


def learn_gears(recordings: tuple[Recording, ...]) -> SeenGears | Refusal:
    """The gears that speed and cadence reveal, from held seconds of all recordings together."""
    parts = [_held(recording) for recording in recordings]
    log_m = np.concatenate([part.log_m for part in parts])
    second = np.concatenate([part.second + number * 10**7 for number, part in enumerate(parts)])
    if len(log_m) < LEAST_HELD_S:
        return _refused(recordings, len(log_m))
    held = _Held(log_m=log_m, second=second)
    peaks, valleys, density, grid = _peaks(log_m)
    gears = [
        gear
        for number, peak in enumerate(peaks)
        if (gear := _seen(held, grid, density, peak, valleys[number : number + 2])) is not None
    ]
    if len(gears) == 0:
        return _refused(recordings, len(log_m))
    centres = np.log([gear.development_m.value for gear in gears])
    near = np.abs(log_m[:, None] - centres).min(axis=1) < APART
    return SeenGears(
        gears=tuple(gears),
        held_m=np.exp(log_m),
        pedalling_s=float(sum(_pedalling(recording).sum() for recording in recordings)),
        share_explained=float(near.mean()),
    )


def _pedalling(recording: Recording) -> Mask:
    known = recording.moving & ~recording.off
    fast = np.nan_to_num(recording.speed_mps) > SLOWEST_MPS
    return known & fast & (np.nan_to_num(recording.cadence_rpm) > PEDALLING_RPM)


def _held(recording: Recording) -> _Held:
    """Held seconds: five seconds of pedalling around each in which the development stays."""
    pedalling = _pedalling(recording)
    speed = np.where(pedalling, recording.speed_mps, 1.0)
    cadence = np.where(pedalling, recording.cadence_rpm, 1.0)
    log_m = np.log(speed / cadence * SECONDS_PER_MINUTE)
    if len(log_m) < HELD_S:
        return _Held(log_m=np.empty(0), second=np.empty(0, dtype=np.int64))
    window = np.lib.stride_tricks.sliding_window_view
    whole = window(pedalling, HELD_S).all(axis=1)
    still = window(log_m, HELD_S).std(axis=1) < HELD_WITHIN
    total_m = window(speed, HELD_S).sum(axis=1) * SECONDS_PER_MINUTE
    turns = window(cadence, HELD_S).sum(axis=1)
    kept = np.flatnonzero(whole & still)
    return _Held(log_m=np.log(total_m / turns)[kept], second=kept + HELD_S // 2)


def _peaks(log_m: Floats) -> tuple[Integers, Integers, Floats, Floats]:
    """Peaks of held time over ln development, the valleys around them, the density, its grid."""
    from scipy.ndimage import gaussian_filter1d
    from scipy.signal import argrelmax

    edges = np.arange(log_m.min() - 0.05, log_m.max() + 0.05, GRID)
    counts = np.histogram(log_m, bins=edges)[0].astype(np.float64)
    density = gaussian_filter1d(counts, SMOOTHED_BY / GRID)
    peaks = argrelmax(density, order=round(APART / GRID))[0].astype(np.int64)
    ends = [0, *peaks, len(density) - 1]
    valleys = [a + int(np.argmin(density[a : b + 1])) for a, b in pairwise(ends)]
    return peaks, np.array(valleys, dtype=np.int64), density, 0.5 * (edges[1:] + edges[:-1])


def _seen(
    held: _Held, grid: Floats, density: Floats, peak: int, valleys: Integers
) -> SeenGear | None:
    """The gear at a peak between two valleys, where it was held long and often enough."""
    low, high = (
        max(grid[valleys[0]], grid[peak] - APART),
        min(grid[valleys[1]], grid[peak] + APART),
    )
    inside = (held.log_m >= low) & (held.log_m <= high)
    if inside.sum() < LEAST_S:
        return None
    # The lower valley's side may be a neighbouring gear's shoulder: the higher valley decides.
    stands_out = float(density[peak] / max(density[valleys].max(), 1e-3))
    occasion = np.cumsum(np.diff(held.second[inside], prepend=-(10**6)) > NEW_OCCASION_S) - 1
    occasions = int(occasion[-1]) + 1
    if occasions < LEAST_OCCASIONS or stands_out < STANDS_OUT:
        return None
    log_m = held.log_m[inside]
    centre = float(np.median(log_m))
    spread = float(1.4826 * np.median(np.abs(log_m - centre)))
    error = float(np.hypot(_error_of_median(log_m, occasion), SMALLEST_ERROR))
    estimate = from_spread(
        float(np.exp(centre)),
        error * float(np.exp(centre)),
        occasions - 1,
        f"held {len(log_m)} s on {occasions} occasions",
    )
    return SeenGear(
        development_m=estimate,
        held_s=float(len(log_m)),
        occasions=occasions,
        spread=spread,
        stands_out=min(stands_out, 99.0),
    )


def _error_of_median(log_m: Floats, occasion: Integers) -> float:
    """Standard error of the median by the scatter of the occasions' own medians."""
    medians = np.array([np.median(log_m[occasion == n]) for n in range(int(occasion[-1]) + 1)])
    seconds = np.bincount(occasion).astype(np.float64)
    share = seconds / seconds.sum()
    scatter = ((medians - share @ medians) ** 2 * share).sum()
    return float(np.sqrt(scatter / max(len(medians) - 1, 1)))


def _refused(recordings: tuple[Recording, ...], held_s: int) -> Refusal:
    if not any(recording.has_cadence for recording in recordings):
        return Refusal(
            what="the bike's gears",
            why="no cadence was recorded",
            remedy="record cadence and, from a wheel sensor, speed",
        )
    return Refusal(
        what="the bike's gears",
        why=f"speed and cadence hold together for {held_s} s only, "
        f"{LEAST_HELD_S:.0f} s and several occasions in each gear are needed",
        remedy="record speed from a wheel sensor, every second, and hold each gear for "
        "ten seconds three times",
    )
