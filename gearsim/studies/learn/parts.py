"""Which chainset and cassette of the parts list have the gears that were seen."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearsim.setup.parts.kinds import Cassette, Chainset
from gearsim.studies.learn.gears import SeenGears

Floats = NDArray[np.float64]

USUAL_CIRCUMFERENCE_M = 2.14  # 622 mm rims with 25 to 40 mm tyres: 2.10 to 2.21 m
USUAL_WITHIN = 0.04  # as a fraction: other wheels and sensors set wrongly (judgement)
GIVEN_WITHIN = 0.006  # of a stated circumference: tyre pressure and load (judgement)
SCALES_WITHIN = 0.12
SCALE_STEP = 0.002
MISFIT = 0.005  # of a gear beyond its own error, as a fraction (judgement)
NO_GEAR = 0.05  # chance that a seen gear is none
WITHIN_REACH = 0.01  # a gear counts as found within 1 %
BEST_SHOWN = 5
CLEAR = 0.8
"""Chance from which on one pair is taken for the bike's: a plan then has its teeth."""


@dataclass(frozen=True, kw_only=True)
class PartsMatch:
    """A chainset and a cassette that may be the bike's.

    `chance` is among all different teeth of the list, each as likely as the others before; `found`
    of the seen gears lie within 1 % of a gear of the pair on a wheel of `circumference_m`, and
    `error` is their usual distance, as a fraction.
    """

    chainset: Chainset
    cassette: Cassette
    circumference_m: float
    chance: float
    found: int
    error: float


def match_parts(
    seen: SeenGears,
    chainsets: Sequence[Chainset],
    cassettes: Sequence[Cassette],
    circumference_m: float | None = None,
) -> tuple[PartsMatch, ...]:
    """The pairs that best explain the seen gears, the most likely first; up to five.

    Each seen gear is one of the pair's gears inside the range seen, all equally likely, or, one in
    twenty, no gear at all: so a pair with many gears must fit better than one with few.  The
    wheel's circumference is unknown unless given, and summed over.  Of pairs with the same teeth
    the first of the list stands for all.
    """
    pairs = _different_teeth(chainsets, cassettes)
    if not pairs:
        return ()
    scales = _scales(circumference_m)
    rows = np.array([_evidence(seen, _ratios(*pair), scales) for pair in pairs])
    peak = rows.max()
    weight = np.exp(rows - peak).sum(axis=1)
    order = np.argsort(-weight, kind="stable")[:BEST_SHOWN]
    chance = weight / weight.sum()
    best_m = scales[0][rows.argmax(axis=1)]
    return tuple(_match(seen, pairs[n], float(chance[n]), float(best_m[n])) for n in order)


def _different_teeth(
    chainsets: Sequence[Chainset], cassettes: Sequence[Cassette]
) -> list[tuple[Chainset, Cassette]]:
    """The pairs that a chain runs on, one for each set of teeth."""
    pairs: dict[tuple[tuple[int, ...], tuple[int, ...]], tuple[Chainset, Cassette]] = {}
    for chainset in chainsets:
        for cassette in cassettes:
            fewest, most = chainset.chain_sprockets
            if fewest <= len(cassette.sprockets) <= most:
                pairs.setdefault((chainset.chainrings, cassette.sprockets), (chainset, cassette))
    return list(pairs.values())


def _ratios(chainset: Chainset, cassette: Cassette) -> Floats:
    ring, rear = np.array(chainset.chainrings, float), np.array(cassette.sprockets, float)
    return np.unique(ring[:, None] / rear)


def _scales(circumference_m: float | None) -> tuple[Floats, Floats]:
    """Circumferences to try, m, and the logarithm of how likely each is beforehand."""
    middle = USUAL_CIRCUMFERENCE_M if circumference_m is None else circumference_m
    within = USUAL_WITHIN if circumference_m is None else GIVEN_WITHIN
    reach = min(3.0 * within, SCALES_WITHIN)
    steps = round(reach / SCALE_STEP)
    log_off = np.arange(-steps, steps + 1) * SCALE_STEP
    likely = -0.5 * (log_off / within) ** 2
    return np.asarray(middle * np.exp(log_off), dtype=np.float64), np.asarray(likely, dtype=float)


def _evidence(seen: SeenGears, ratios: Floats, scales: tuple[Floats, Floats]) -> Floats:
    """Logarithm of how likely the seen gears are, for each circumference."""
    circumference_m, prior = scales
    log_seen = np.log(seen.developments_m)
    relative = np.array(
        [g.development_m.half_width / g.development_m.value / 2.0 for g in seen.gears]
    )
    sigma = np.hypot(relative, MISFIT)
    gears = np.log(circumference_m)[:, None] + np.log(ratios)
    inside = (gears > log_seen.min() - 0.03) & (gears < log_seen.max() + 0.03)
    share = (1.0 - NO_GEAR) / np.maximum(inside.sum(axis=1), 1)
    off = (log_seen[None, :, None] - gears[:, None, :]) / sigma[None, :, None]
    near = np.exp(-0.5 * off**2) / (sigma[None, :, None] * math.sqrt(2.0 * math.pi))
    none = NO_GEAR / max(float(np.ptp(log_seen)) + 0.06, 0.5)
    likely = share[:, None] * (near * inside[:, None, :]).sum(axis=2) + none
    total: Floats = np.log(likely).sum(axis=1) + prior
    return total


def _match(
    seen: SeenGears, pair: tuple[Chainset, Cassette], chance: float, circumference_m: float
) -> PartsMatch:
    chainset, cassette = pair
    gears = np.log(circumference_m * _ratios(chainset, cassette))
    off = np.abs(np.log(seen.developments_m)[:, None] - gears).min(axis=1)
    return PartsMatch(
        chainset=chainset,
        cassette=cassette,
        circumference_m=circumference_m,
        chance=chance,
        found=int((off <= WITHIN_REACH).sum()),
        error=float(np.median(off)),
    )
