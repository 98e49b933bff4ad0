"""The builds of a search that were ridden: ranked, weighed against each other, the best picked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from gearsim.errors import PlanError
from gearsim.setup.drivetrain import Drivetrain
from gearsim.studies.search.builds_in_question import InQuestion
from gearsim.studies.search.gains import Change, Outcome, change
from gearsim.studies.search.present_parts import Present
from gearsim.studies.search.prospect import Prospect
from gearsim.studies.search.trade_off import (
    CRITERIA,
    Allowance,
    Criterion,
    Values,
    front,
    least_of_each,
)

BEST_TOLD = 5

Ridden = tuple[object, ...]
Outcomes = Mapping[Ridden, Outcome | PlanError]


@dataclass(frozen=True, kw_only=True)
class Option:
    """A build with what its ride came to, and what the ride now and the present drivetrain are."""

    prospect: Prospect
    outcome: Outcome
    now: Outcome
    present: Present
    on_front: bool = False

    @property
    def name(self) -> str:
        """The build's short name."""
        return self.prospect.name

    @property
    def mismatch(self) -> float:
        """The score of its ride."""
        return self.outcome.score.mismatch

    @property
    def change(self) -> Change:
        """What it changes against now."""
        build = self.prospect.build
        return change(
            self.now,
            self.outcome,
            mass_kg=self.prospect.drivetrain.mass_kg - self.present.mass_kg,
            parts_to_adjust=build.parts_to_adjust - self.present.parts_to_adjust,
            price=self.prospect.price,
        )


@dataclass(frozen=True, kw_only=True)
class TradeOff:
    """An option (by its place) that has the least of something at an allowed mismatch."""

    place: int
    least: tuple[tuple[Criterion, Allowance], ...]


@dataclass(frozen=True, kw_only=True)
class Ranking:
    """Options ranked by mismatch, the best first; equal ones by finish time, then weight.

    `best` are the places of the best few, each with gears of its own.  `criteria` are those that
    the front is of: price only where one is known.
    """

    options: tuple[Option, ...]
    best: tuple[int, ...]
    trade_offs: tuple[TradeOff, ...]
    criteria: tuple[Criterion, ...]


def ridden_as(drivetrain: Drivetrain) -> Ridden:
    """What decides a drivetrain's ride: gears, efficiency and mass, whatever its name."""
    teeth = (drivetrain.chainrings, drivetrain.sprockets, drivetrain.ratios)
    return (*teeth, drivetrain.efficiency, drivetrain.mass_kg)


def ranking(question: InQuestion, now: Outcome, found: Outcomes) -> Ranking:
    """The builds that were ridden, against each other and against what the rider has.

    Raises the first build's `PlanError` where none could be ridden.
    """
    options = sorted(_options(question, now, found), key=_order)
    if not options:
        raise next(each for each in found.values() if isinstance(each, PlanError))
    values = np.array([_of_criteria(each) for each in options])
    told = np.isfinite(values).any(axis=0)
    criteria = tuple(each for each, is_told in zip(CRITERIA, told, strict=True) if is_told)
    return Ranking(
        options=tuple(
            replace(each, on_front=True) if is_on else each
            for each, is_on in zip(options, front(values), strict=True)
        ),
        best=_best(options),
        trade_offs=_trade_offs(values, criteria, now),
        criteria=criteria,
    )


def _options(question: InQuestion, now: Outcome, found: Outcomes) -> list[Option]:
    """Not yet told whether they are on the front."""
    ridden = ((each, found.get(ridden_as(each.drivetrain))) for each in question.prospects)
    return [
        Option(prospect=each, outcome=outcome, now=now, present=question.present)
        for each, outcome in ridden
        if isinstance(outcome, Outcome)
    ]


def _order(option: Option) -> tuple[float, float, float]:
    return option.mismatch, option.outcome.score.finish_s, option.prospect.drivetrain.mass_kg


def _of_criteria(option: Option) -> tuple[float, ...]:
    """An option's values in the order of `CRITERIA`; an unknown price above all others."""
    price = option.prospect.price
    of = {
        Criterion.MISMATCH: option.mismatch,
        Criterion.MASS: option.prospect.drivetrain.mass_kg,
        Criterion.PRICE: np.inf if price is None else price,
        Criterion.SHIFTS: option.outcome.shifts_per_hour,
        Criterion.PARTS: float(option.prospect.build.parts_to_adjust),
    }
    return tuple(of[criterion] for criterion in CRITERIA)


def _best(options: Sequence[Option]) -> tuple[int, ...]:
    """The first few that differ in their gears."""
    seen: set[Ridden] = set()
    best: list[int] = []
    for place, option in enumerate(options):
        gears = ridden_as(option.prospect.drivetrain)[:-1]
        if gears not in seen and len(best) < BEST_TOLD:
            seen.add(gears)
            best.append(place)
    return tuple(best)


def _trade_offs(
    values: Values, criteria: Sequence[Criterion], now: Outcome
) -> tuple[TradeOff, ...]:
    least = least_of_each(values, now.score.mismatch, criteria)
    return tuple(TradeOff(place=place, least=tuple(least[place])) for place in sorted(least))
