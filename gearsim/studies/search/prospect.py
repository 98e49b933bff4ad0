"""A build that comes into question: its name, how it is ridden, what is to be bought for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from math import inf

from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.build import AnyBuild, InternalBuild
from gearsim.setup.fit.finding import Finding, Verdict
from gearsim.setup.parts.kinds import Part


@dataclass(frozen=True, kw_only=True)
class Prospect:
    """A build that fits, under a name of its own, as it is ridden.

    `cautions` are the findings to look into, `to_buy` the parts that the rider has not, `price`
    what these cost together, without the chain; None unless every price is known.
    """

    name: str
    build: AnyBuild
    drivetrain: Drivetrain
    cautions: tuple[Finding, ...]
    to_buy: tuple[str, ...]
    price: float | None

    @property
    def trouble(self) -> tuple[int, int]:
        """How much there is to check, and then to buy."""
        return len(self.cautions), len(self.to_buy)


def prospect(
    build: AnyBuild, found: Sequence[Finding], now: Drivetrain, there: Collection[Part]
) -> Prospect:
    """A build with the findings on it, for a rider who has a drivetrain and parts already.

    A chain drive has the fixed efficiency, if any, of the one that the rider has.
    """
    drivetrain = build.drivetrain
    if drivetrain.chainrings and now.chainrings:
        drivetrain = replace(drivetrain, efficiency=now.efficiency)
    return Prospect(
        name=build.name,
        build=build,
        drivetrain=drivetrain,
        cautions=tuple(each for each in found if each.verdict is Verdict.CAUTION),
        to_buy=tuple(part.name for part in _to_buy(build, there)),
        price=price_of(build, there),
    )


def _to_buy(build: AnyBuild, there: Collection[Part]) -> tuple[Part, ...]:
    if isinstance(build, InternalBuild):
        return (build.internal_gear,)
    return tuple(part for part in build.parts if part not in there)


def price_of(build: AnyBuild, there: Collection[Part]) -> float | None:
    """What the parts that are not there already cost; None unless every one has a price."""
    prices = [part.price for part in _to_buy(build, there)]
    told = [price for price in prices if price is not None]
    return sum(told) if len(told) == len(prices) else None


def without_twins(prospects: Sequence[Prospect]) -> list[Prospect]:
    """The prospects but for those that one of the same gears is no worse than in any respect.

    That is in weight, price, number of parts to buy, and number of things to check.  Of equal ones
    the first stays.
    """
    by_gears: dict[object, list[Prospect]] = {}
    for each in prospects:
        drivetrain = each.drivetrain
        gears = (drivetrain.chainrings, drivetrain.sprockets, drivetrain.ratios)
        twins = by_gears.setdefault(gears, [])
        if not any(_no_worse(twin, each) for twin in twins):
            twins[:] = [twin for twin in twins if not _no_worse(each, twin)]
            twins.append(each)
    stay = {twin.name for twins in by_gears.values() for twin in twins}
    return [each for each in prospects if each.name in stay]


def _no_worse(prospect: Prospect, than: Prospect) -> bool:
    ours, theirs = (
        (
            each.build.mass_kg,
            inf if each.price is None else each.price,
            *each.trouble,
        )
        for each in (prospect, than)
    )
    return all(one <= other for one, other in zip(ours, theirs, strict=True))


def with_short_names(prospects: Sequence[Prospect]) -> tuple[Prospect, ...]:
    """The prospects named by their gears, `46-30 × 11-34, 11 sprockets`, where that is enough."""
    short = [_short_name(each.build) for each in prospects]
    counts = Counter(short)
    names = [
        name if counts[name] == 1 else f"{name}: {each.name}"
        for name, each in zip(short, prospects, strict=True)
    ]
    return tuple(
        replace(each, name=name, drivetrain=replace(each.drivetrain, name=name))
        for name, each in zip(names, prospects, strict=True)
    )


def _short_name(build: AnyBuild) -> str:
    if isinstance(build, InternalBuild):
        return f"{build.internal_gear.name}, {build.chainring}×{build.sprocket}"
    rings = "-".join(str(teeth) for teeth in build.chainset.chainrings)
    return f"{rings} × {build.cassette.name}"
