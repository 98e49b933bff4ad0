"""Days drawn from what a plan is not certain of, by quasi-random sampling."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from gearsim.setup.conditions import Conditions
from gearsim.setup.uncertain import Uncertain

Floats = NDArray[np.float64]

SCORE_AT_90_PERCENT = 1.2815515655446004
"""A standard normal number lies below it nine times of ten: half a range, in its deviations."""

DRAWS_SOURCE, HEIGHTS_SOURCE = 0, 1
"""Each source of chance has a seed of its own, spawned from the plan's."""

LEAST_FACTOR = 0.1  # nothing vanishes, however wide its range
WARMTH_C, WIND_MPS = (-40.0, 55.0), (0.0, 40.0)  # what `Conditions` allows


class Input(StrEnum):
    """What differs from day to day, in the order of the dimensions that are drawn."""

    POWER = "power"
    LOAD = "load"
    DRAG_AREA = "drag area"
    ROLLING = "rolling resistance"
    WET = "wet or dry"
    WIND = "wind speed"
    WIND_FROM = "wind direction"
    TEMPERATURE = "temperature"
    HEIGHTS = "route's heights"


INPUTS = tuple(Input)


@dataclass(frozen=True, kw_only=True)
class Day:
    """A day: what is drawn, and what that makes of the plan.

    `scores` has a standard normal number for each of `INPUTS`: 0 is the middle of its range, and
    ±1.28 its ends.  `number` counts the days drawn from 1; 0 is none of them.  The error of the
    route's heights takes its score as the lean of the steep parts and the rest from the day's
    number; 0 times it is in a day with `heights_certain`.
    """

    number: int
    scores: tuple[float, ...]
    power_factor: float
    load_change_kg: float
    drag_area_factor: float
    rolling_factor: float
    wet: bool
    wind_mps: float
    wind_from_rad: float
    temperature_c: float
    heights_certain: bool = False

    def score(self, what: Input) -> float:
        """The standard normal number drawn for an input."""
        return self.scores[INPUTS.index(what)]


def draw_scores(seed: int, days: int) -> Floats:
    """Standard normal numbers (days, inputs): a scrambled Sobol' sequence, normal by inversion.

    The first days of a longer draw are those of a shorter one.  Every input keeps its dimension
    whether it is uncertain or not, so that making one certain changes none of the others.
    Owen AB (1998), J Complexity 14:466-489, for the scrambling (from memory).
    """
    from scipy.special import ndtri
    from scipy.stats import qmc

    source = np.random.default_rng(np.random.SeedSequence(seed, spawn_key=(DRAWS_SOURCE,)))
    points = qmc.Sobol(len(INPUTS), scramble=True, seed=source).random_base2(
        max(0, math.ceil(math.log2(days)))
    )
    drawn: Floats = ndtri(np.clip(points[:days], 1e-9, 1.0 - 1e-9))
    return drawn


def draw_days(uncertain: Uncertain, conditions: Conditions, days: int) -> tuple[Day, ...]:
    """The first so many days: the same for the same plan, whoever rides with whatever gears."""
    scores = draw_scores(uncertain.seed, days)
    return tuple(
        day_of(row, uncertain, conditions, number=number)
        for number, row in enumerate(scores.tolist(), start=1)
    )


def day_of(
    scores: Sequence[float],
    uncertain: Uncertain,
    conditions: Conditions,
    *,
    number: int,
    heights_certain: bool = False,
) -> Day:
    """The day of these standard normal numbers, one for each of `INPUTS`.

    Wind slower than none is none, and no day is warmer or windier than `Conditions` allows.
    """
    score = dict(zip(INPUTS, scores, strict=True))
    spreads = {what: value / SCORE_AT_90_PERCENT for what, value in score.items()}
    wind = conditions.wind_mps + uncertain.wind_spread_mps * spreads[Input.WIND]
    warmth = conditions.temperature_c + uncertain.temperature_spread_c * spreads[Input.TEMPERATURE]
    return Day(
        number=number,
        scores=tuple(scores),
        power_factor=_factor(uncertain.power_factor, spreads[Input.POWER]),
        load_change_kg=_between(uncertain.load_change_kg, spreads[Input.LOAD]),
        drag_area_factor=_factor(uncertain.drag_area_factor, spreads[Input.DRAG_AREA]),
        rolling_factor=_factor(uncertain.rolling_factor, spreads[Input.ROLLING]),
        wet=score[Input.WET] > wet_above(uncertain, conditions),
        wind_mps=min(max(wind, WIND_MPS[0]), WIND_MPS[1]),
        wind_from_rad=_wind_from_rad(score[Input.WIND_FROM], uncertain, conditions),
        temperature_c=min(max(warmth, WARMTH_C[0]), WARMTH_C[1]),
        heights_certain=heights_certain,
    )


def varying(uncertain: Uncertain, conditions: Conditions) -> tuple[Input, ...]:
    """The inputs that do differ from day to day."""
    chance = uncertain.chance_of_wet(conditions)
    windy = conditions.wind_mps > 0.0 or uncertain.wind_spread_mps > 0.0
    differs = {
        Input.POWER: uncertain.power_factor[0] < uncertain.power_factor[1],
        Input.LOAD: uncertain.load_change_kg[0] < uncertain.load_change_kg[1],
        Input.DRAG_AREA: uncertain.drag_area_factor[0] < uncertain.drag_area_factor[1],
        Input.ROLLING: uncertain.rolling_factor[0] < uncertain.rolling_factor[1],
        Input.WET: 0.0 < chance < 1.0,
        Input.WIND: uncertain.wind_spread_mps > 0.0,
        Input.WIND_FROM: windy and (any_direction(conditions) or uncertain.wind_turn_rad > 0.0),
        Input.TEMPERATURE: uncertain.temperature_spread_c > 0.0,
        Input.HEIGHTS: uncertain.height_error_m > 0.0,
    }
    return tuple(what for what in INPUTS if differs[what])


def any_direction(conditions: Conditions) -> bool:
    """Whether wind may come from anywhere, because the plan forecasts none."""
    return conditions.wind_mps == 0.0


def wet_above(uncertain: Uncertain, conditions: Conditions) -> float:
    """The score above which the ground is wet; infinite where it is certain."""
    from scipy.special import ndtri

    return float(-ndtri(uncertain.chance_of_wet(conditions)))


def _factor(ends: tuple[float, float], spreads: float) -> float:
    return max(_between(ends, spreads), LEAST_FACTOR)


def _between(ends: tuple[float, float], spreads: float) -> float:
    low, high = ends
    return low + (high - low) * (0.5 + 0.5 * spreads)


def _wind_from_rad(score: float, uncertain: Uncertain, conditions: Conditions) -> float:
    if any_direction(conditions):
        from scipy.special import ndtr

        return float(2.0 * math.pi * ndtr(score)) if uncertain.wind_spread_mps else 0.0
    turned = conditions.wind_from_rad + uncertain.wind_turn_rad * score / SCORE_AT_90_PERCENT
    return turned if abs(turned) <= 2.0 * math.pi else math.fmod(turned, 2.0 * math.pi)
