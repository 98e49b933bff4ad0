"""How a rider spreads power over grades, and the speeds at which pedalling and daring end."""

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
Mask = NDArray[np.bool_]

FULL_EFFECT_GRADE = 0.04  # as the plan's own default
DOWNHILL_GRADE = -0.03
LEAST_S = 1200.0
LEAST_ON_GRADE_S = 240.0
MOST_BLOCKS = 20
LEAST_BLOCK_S = 120.0
FREEWHEELING_W = 5.0
MOSTLY_FREEWHEELING = 0.8
SPEED_CLASS_MPS = 1.0
LEAST_IN_CLASS_S = 15
FAST_SHARE = 0.98
METER_DEVIATION = 0.02  # of a power meter's scale, as a fraction: judgement


@dataclass(frozen=True, kw_only=True)
class Pace:
    """Mean power on the flat (W), the factors uphill and downhill, and the speed where it ends.

    `mean_w` is the mean of all moving time.  A factor or a speed that the ride does not show is a
    `Refusal`.
    """

    mean_w: float
    flat_w: Estimate
    uphill_factor: Estimate | Refusal
    downhill_factor: Estimate | Refusal
    stop_pedalling_mps: Estimate | Refusal


def learn_pace(recordings: tuple[Recording, ...]) -> Pace | Refusal:
    """The pace of rides with power: mean power by grade, freewheeling and all.

    Power is P·(1 + (u - 1)·up - (1 - d)·down), with up and down from 0 to 1 at 4 % and steeper: the
    pace of a plan, fitted by least squares to every second slower than the speed at which the rider
    stops pedalling (the plan's default where the rides do not show it).
    """
    whole = _seconds(recordings)
    if whole.power_w.size < LEAST_S:
        return _refused(recordings, whole.power_w.size)
    stop = _stop_pedalling(whole)
    part = _slower(whole, stop.value if isinstance(stop, Estimate) else Rider().stop_pedalling_mps)
    up = np.clip(part.grade / FULL_EFFECT_GRADE, 0.0, 1.0)
    down = np.clip(-part.grade / FULL_EFFECT_GRADE, 0.0, 1.0)
    basis = np.stack([np.ones(len(up)), up, down], axis=1)
    block = blocks_of_time(np.arange(1.0, len(up) + 1.0), MOST_BLOCKS, LEAST_BLOCK_S)
    values = _factors(basis, part.power_w)
    spread = left_out_spread(lambda kept: _factors(basis[kept], part.power_w[kept]), block)
    spread[0] = np.hypot(spread[0], METER_DEVIATION * values[0])
    told = f"{len(up) / 60.0:.0f} min of moving with power"
    flat, uphill, downhill = (
        from_spread(float(value), float(deviation), int(block.max()), told)
        for value, deviation in zip(values, spread, strict=True)
    )
    return Pace(
        mean_w=float(whole.power_w.mean()),
        flat_w=flat,
        uphill_factor=_where_ridden(uphill, "the factor uphill", up),
        downhill_factor=_where_ridden(downhill, "the factor downhill", down),
        stop_pedalling_mps=stop,
    )


@dataclass(frozen=True, kw_only=True)
class _Seconds:
    power_w: Floats
    grade: Floats
    speed_mps: Floats


def _seconds(recordings: tuple[Recording, ...]) -> _Seconds:
    """Every second that was ridden with power known."""
    masks = [r.moving & ~r.off & ~np.isnan(r.power_w + r.speed_mps) for r in recordings]
    pairs = list(zip(recordings, masks, strict=True))
    return _Seconds(
        power_w=np.concatenate([r.power_w[mask] for r, mask in pairs]),
        grade=np.concatenate([r.grade[mask] for r, mask in pairs]),
        speed_mps=np.concatenate([r.speed_mps[mask] for r, mask in pairs]),
    )


def _slower(part: _Seconds, limit_mps: float) -> _Seconds:
    """The seconds in which the rider of a plan would pedal."""
    kept = part.speed_mps < limit_mps
    return _Seconds(
        power_w=part.power_w[kept], grade=part.grade[kept], speed_mps=part.speed_mps[kept]
    )


def _factors(basis: Floats, power_w: Floats) -> Floats:
    """Power on the flat, the factor uphill, and the factor downhill."""
    flat, rise, fall = np.linalg.lstsq(basis, power_w, rcond=None)[0]
    return np.array([flat, 1.0 + rise / flat, 1.0 + fall / flat])


def _where_ridden(factor: Estimate, what: str, effect: Floats) -> Estimate | Refusal:
    seconds = float(effect.sum())
    if seconds >= LEAST_ON_GRADE_S:
        return factor
    return Refusal(
        what=what,
        why=f"only {seconds / 60.0:.0f} min on such grades",
        remedy="record power on a hilly ride",
    )


def _stop_pedalling(part: _Seconds) -> Estimate | Refusal:
    """The lowest speed from which on the rider mostly freewheels."""
    kind = (part.speed_mps / SPEED_CLASS_MPS).astype(np.int64)
    seconds = np.bincount(kind)
    idle = np.bincount(kind, weights=part.power_w < FREEWHEELING_W)
    told = seconds >= LEAST_IN_CLASS_S
    share = np.where(told, idle / np.maximum(seconds, 1), np.nan)
    known = np.flatnonzero(told)
    from_there = [k for k in known if np.nanmin(share[k : known[-1] + 1]) >= MOSTLY_FREEWHEELING]
    if not from_there:
        fastest = float(known[-1] + 1) * SPEED_CLASS_MPS if len(known) else 0.0
        return Refusal(
            what="the speed at which the rider stops pedalling",
            why=f"the rider still pedals at {3.6 * fastest:.0f} km/h, or never rides so fast",
            remedy="record power on long straight descents",
        )
    speed = float(from_there[0]) * SPEED_CLASS_MPS
    return Estimate(
        value=speed,
        low=speed - SPEED_CLASS_MPS,
        high=speed + SPEED_CLASS_MPS,
        evidence=f"freewheeling {100 * MOSTLY_FREEWHEELING:.0f} % of the time or more from there",
    )


def learn_descending(recordings: tuple[Recording, ...]) -> Estimate | Refusal:
    """The speed that 98 % of the time downhill is slower than: what the rider dares, or reaches."""
    speeds = []
    for ride in recordings:
        kept = ride.moving & ~ride.off & (ride.grade < DOWNHILL_GRADE) & ~np.isnan(ride.speed_mps)
        speeds.append(ride.speed_mps[kept])
    speed = np.concatenate(speeds)
    if len(speed) < LEAST_ON_GRADE_S:
        return Refusal(
            what="descending speed",
            why=f"only {len(speed) / 60.0:.0f} min on grades under {100 * DOWNHILL_GRADE:.0f} %",
            remedy="record a ride with long descents",
        )
    block = blocks_of_time(np.arange(1.0, len(speed) + 1.0), MOST_BLOCKS, LEAST_S / MOST_BLOCKS)
    spread = left_out_spread(lambda kept: np.quantile(speed[kept], [FAST_SHARE]), block)
    return from_spread(
        float(np.quantile(speed, FAST_SHARE)),
        float(spread[0]),
        int(block.max()),
        f"{100 * FAST_SHARE:.0f} % of {len(speed) / 60.0:.0f} min downhill is slower",
    )


def _refused(recordings: tuple[Recording, ...], seconds: int) -> Refusal:
    why = f"only {seconds / 60.0:.0f} min with power, {LEAST_S / 60.0:.0f} min are needed"
    if not any(recording.has_power for recording in recordings):
        why = "no power was recorded"
    return Refusal(what="pace by grade", why=why, remedy="record power on a hilly ride of an hour")
