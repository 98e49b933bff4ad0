"""The nearest day found on which the verdict flips."""

import pytest

from gearsim.setup.conditions import Conditions
from gearsim.setup.uncertain import Uncertain
from gearsim.studies.days.draws import SCORE_AT_90_PERCENT, Day, Input, draw_days
from gearsim.studies.days.flip import Ranges, plainest_flip, starts_of

CONDITIONS = Conditions(wind_mps=5.0)
RANGES = Ranges(uncertain=Uncertain(power_factor=(0.9, 1.1)), conditions=CONDITIONS)
DAYS = draw_days(RANGES.uncertain, CONDITIONS, 256)


def weak(day: Day, _contender: int = 1) -> float:
    return 0.95 - day.power_factor


def weak_and_wet(day: Day, _contender: int = 1) -> float:
    return min(weak(day), 0.01 if day.wet else -0.01)


def first(rule: object) -> Day:
    assert callable(rule)
    return next(day for day in DAYS if rule(day) > 0.0)


def test_all_that_does_not_matter_is_put_back() -> None:
    flip = plainest_flip(first(weak), 1, RANGES, weak)
    assert flip.changed == (Input.POWER,)
    assert flip.points > 0.0
    assert flip.day.load_change_kg == 0.0
    assert flip.day.wind_mps == 5.0
    assert not flip.day.wet
    assert flip.day.heights_certain
    # Power 5 % lower is half of the way from the middle to the low end of its range.
    assert 0.5 < flip.spreads < 0.5 + 3.0 / 2**5
    assert 0.95 - 0.1 * 3.0 / 2**5 < flip.day.power_factor < 0.95


def test_what_matters_only_together_stays_together() -> None:
    flip = plainest_flip(first(weak_and_wet), 1, RANGES, weak_and_wet)
    assert set(flip.changed) == {Input.POWER, Input.WET}
    assert flip.day.wet
    assert weak_and_wet(flip.day) == flip.points > 0.0
    # Ground that is wet with a chance of 15 % is Φ⁻¹(0.85)/Φ⁻¹(0.9) = 0.81 half ranges away.
    assert flip.spreads == pytest.approx(
        ((flip.day.score(Input.POWER) / SCORE_AT_90_PERCENT) ** 2 + 0.8087**2) ** 0.5, abs=1e-3
    )


def test_a_verdict_that_is_flipped_in_the_middle_needs_no_change() -> None:
    flip = plainest_flip(DAYS[0], 1, RANGES, lambda _day, _contender: 1.0)
    assert (flip.changed, flip.spreads) == ((), 0.0)


def test_search_begins_at_the_nearest_days_of_those_that_flip() -> None:
    contenders = [1 if weak(day) > 0.0 else None for day in DAYS]
    starts = starts_of(DAYS, contenders, RANGES)
    distances = [
        RANGES.distance(day, RANGES.differing(day))
        for day, contender in zip(DAYS, contenders, strict=True)
        if contender
    ]
    found = [RANGES.distance(day, RANGES.differing(day)) for day, _ in starts]
    assert found == sorted(distances)[: len(found)]
    assert len(found) == 3
    assert starts_of(DAYS, [None] * len(DAYS), RANGES) == []
