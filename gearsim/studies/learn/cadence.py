"""The cadence that a rider likes and the cadences a rider uses, from time spent pedalling."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearsim.course.recorded.recording import Recording
from gearsim.setup.rider import Rider
from gearsim.studies.learn.estimate import (
    Estimate,
    Refusal,
    blocks_of_time,
    from_spread,
    left_out_spread,
)

Floats = NDArray[np.float64]

TURNING_RPM = 20.0  # slower is a crank being placed, not pedalling
PUSHING_W = 20.0  # where power is known, turning the crank with less is not pedalling
STEADY_S = 5  # a second counts where these around it
STEADY_WITHIN_RPM = 10.0  # differ by no more than this: not the turn or two of soft pedalling
LEAST_S = 900.0
BAND = (0.15, 0.85)  # the band holds 70 % of pedalling time (our definition)
LIMITS = (0.01, 0.99)  # the limits hold 98 %
MOST_BLOCKS = 20
LEAST_BLOCK_S = 120.0


@dataclass(frozen=True, kw_only=True)
class CadenceHabits:
    """Cadence by share of pedalling time, rpm: the median, and the ends of band and limits.

    `pedalling_rpm` is the cadence of every second of pedalling.
    """

    target_rpm: Estimate
    band_rpm: tuple[Estimate, Estimate]
    limits_rpm: tuple[Estimate, Estimate]
    pedalling_rpm: Floats

    @property
    def rounded(self) -> tuple[tuple[int, int], int, tuple[int, int]]:
        """Limits, target and band as whole rpm that differ, as a plan needs them.

        A cadence that was not used may still be one that the rider can use, so the limits are the
        plan's defaults, or wider where wider was used.
        """
        usual = Rider().limits_rpm
        target = round(self.target_rpm.value)
        low = min(round(self.band_rpm[0].value), target - 1)
        high = max(round(self.band_rpm[1].value), target + 1)
        lowest = max(min(round(self.limits_rpm[0].value), round(usual[0]), low - 1), 10)
        highest = max(round(self.limits_rpm[1].value), round(usual[1]), high + 1)
        return (lowest, highest), target, (low, high)


def learn_cadence(recordings: tuple[Recording, ...]) -> CadenceHabits | Refusal:
    """Target, band and limits of cadence from the distribution of steady pedalling time.

    What the bike's gears forced on the rider is in it too: a rider without low gears shows a low
    cadence that was not a wish.
    """
    rpm = np.concatenate([_pedalling_rpm(recording) for recording in recordings])
    if len(rpm) < LEAST_S:
        return _refused(recordings, len(rpm))
    shares = (0.5, *BAND, *LIMITS)
    block = blocks_of_time(np.arange(1.0, len(rpm) + 1.0), MOST_BLOCKS, LEAST_BLOCK_S)
    values = np.quantile(rpm, shares)
    spread = left_out_spread(lambda kept: np.quantile(rpm[kept], shares), block)
    spread = np.hypot(spread, 0.3)  # recorders round to whole rpm
    minutes = f"{len(rpm) / 60.0:.0f} min of steady pedalling"
    target, low, high, lowest, highest = (
        from_spread(float(value), float(deviation), int(block.max()), _evidence(share, minutes))
        for share, value, deviation in zip(shares, values, spread, strict=True)
    )
    return CadenceHabits(
        target_rpm=target, band_rpm=(low, high), limits_rpm=(lowest, highest), pedalling_rpm=rpm
    )


def _evidence(share: float, minutes: str) -> str:
    return f"{100.0 * share:.0f} % of {minutes} is slower"


def _pedalling_rpm(recording: Recording) -> Floats:
    cadence = np.nan_to_num(recording.cadence_rpm)
    pushing = np.nan_to_num(recording.power_w, nan=np.inf) >= PUSHING_W
    kept = recording.moving & ~recording.off & (cadence >= TURNING_RPM) & pushing
    if len(cadence) < STEADY_S:
        return np.empty(0)
    around = np.lib.stride_tricks.sliding_window_view(np.where(kept, cadence, np.inf), STEADY_S)
    whole = np.isfinite(around).all(axis=1)
    middle = np.where(whole[:, None], around, 0.0)
    steady: Floats = middle[whole & (np.ptp(middle, axis=1) <= STEADY_WITHIN_RPM), STEADY_S // 2]
    return steady


def _refused(recordings: tuple[Recording, ...], pedalling_s: int) -> Refusal:
    needed = f"{LEAST_S / 60.0:.0f} min are needed"
    why = f"only {pedalling_s / 60.0:.0f} min of steady pedalling, {needed}"
    if not any(recording.has_cadence for recording in recordings):
        why = "no cadence was recorded"
    return Refusal(what="cadence", why=why, remedy="record cadence on a ride of an hour")
