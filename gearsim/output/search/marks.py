"""The marks of builds in the pictures of a search: where they stand, what they look like."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gearsim.output.search.rows import NOW, places_told
from gearsim.output.search.words import now_name, signed_grams
from gearsim.output.words import at_least_shown
from gearsim.setup.fit.build import InternalBuild
from gearsim.studies.search.options import Option
from gearsim.studies.search.search import Search

Window = tuple[float, float, float, float]  # left, right; bottom, top in mismatch

ROOM = 0.06  # of the span of values, beside the outermost


@dataclass(frozen=True, kw_only=True)
class Look:
    """How builds of one kind are drawn in the picture and on the page, and what they are called."""

    marker: str
    dots: str
    words: str


LOOKS = {
    1: Look(marker="o", dots="round", words="one ring"),
    2: Look(marker="s", dots="square", words="two rings"),
    3: Look(marker="^", dots="tall", words="three rings"),
    0: Look(marker="D", dots="hollow", words="hub gear or gearbox"),
}
"""By the number of chainrings; 0 for an internal gear, whatever its one chainring."""


@dataclass(frozen=True, kw_only=True)
class Named:
    """A build that is told of: where its mark is (g, mismatch), and what is written of it."""

    mark: str
    name: str
    facts: str
    at: tuple[float, float]
    look: Look
    now: bool = False


def named_builds(search: Search) -> list[Named]:
    """What the rider has and all that is told of, from the highest mismatch to the lowest."""
    options = [(place, search.options[place]) for place in places_told(search)]
    named = [_named(place, option) for place, option in options]
    return sorted([_now(search), *named], key=lambda each: (-each.at[1], each.at[0]))


def _named(place: int, option: Option) -> Named:
    look, (grams, mismatch) = look_of(option), point_of(option)
    facts = (
        f"{look.words}, mismatch {at_least_shown(mismatch, 1)}, "
        f"{signed_grams(option.change.mass_kg)} g"
    )
    return Named(
        mark=str(place + 1), name=option.name, facts=facts, at=(grams, mismatch), look=look
    )


def _now(search: Search) -> Named:
    drivetrain, mismatch = search.question.present.drivetrain, search.now.score.mismatch
    look = LOOKS[len(drivetrain.chainrings)]
    facts = f"{look.words}, mismatch {at_least_shown(mismatch, 1)}, what you have"
    return Named(
        mark=NOW, name=now_name(search), facts=facts, at=(0.0, mismatch), look=look, now=True
    )


def look_of(option: Option) -> Look:
    """How an option is drawn."""
    build = option.prospect.build
    rings = 0 if isinstance(build, InternalBuild) else len(build.chainset.chainrings)
    return LOOKS[rings]


def looks_drawn(options: Sequence[Option]) -> list[Look]:
    """The looks that some of the options have."""
    return [look for look in LOOKS.values() if any(look_of(each) is look for each in options)]


def point_of(option: Option) -> tuple[float, float]:
    """An option's weight against now, g, and its mismatch."""
    mass_kg = option.prospect.drivetrain.mass_kg - option.present.mass_kg
    return 1000.0 * mass_kg, option.mismatch


def window_of(
    points: Sequence[tuple[float, float]],
    named: Sequence[tuple[float, float]],
    least_span: float,
) -> Window:
    """What is drawn of all points: up to a little above the named ones, and as wide as that takes.

    Across it is `least_span` wide at least.
    """
    every = np.array([*points, *named])
    top, bottom = max(mismatch for _, mismatch in named), every[:, 1].min()
    high = top + 0.35 * max(top - bottom, 2.0)
    shown = every[every[:, 1] <= high, 0]
    wide = ROOM * max(shown.max() - shown.min(), least_span)
    tall = ROOM * (high - bottom)
    return shown.min() - wide, shown.max() + wide, bottom - tall, high
