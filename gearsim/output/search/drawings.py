"""The trade-off front as drawings of a page: mismatch against weight, and against price."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from gearsim.output.drawing.profile import round_ticks
from gearsim.output.report.parts import Drawing, Label, Shape
from gearsim.output.search.layout import lower_left, rank_spots
from gearsim.output.search.marks import LOOKS, Window, look_of, point_of, window_of
from gearsim.output.search.rows import NOW, places_told
from gearsim.output.search.words import signed_grams
from gearsim.output.words import at_least_shown, clean
from gearsim.studies.search.options import Option
from gearsim.studies.search.search import Search

Point = tuple[float, float]

WIDTH, HEIGHT = 1000, 400
LEAST_IN = (3.3, 2.7)  # of the drawing on the narrowest phone: ranks must stand clear there
PX_PER_IN = 96.0  # as a page measures
MOST_TICKS = 6
TALL = "m0 -9v18"
DOT = "h.01"  # a line so short that only its round or square ends are seen, as wide as they are


@dataclass(frozen=True, kw_only=True)
class FrontDrawing:
    """A drawing of the front, and what runs along its foot."""

    drawing: Drawing
    axis: str


@dataclass(frozen=True, kw_only=True)
class Against:
    """What mismatch is drawn against: what it is called, where an option is, and how it is told."""

    what: str
    axis: str
    least_span: float
    across: Callable[[Option], float]
    told: Callable[[float], str]


WEIGHT = Against(
    what="weight",
    axis="← lighter   weight against now, g   heavier →",
    least_span=50.0,
    across=lambda option: point_of(option)[0],
    told=lambda grams: f"{signed_grams(grams / 1000.0)} g",
)
PRICE = Against(
    what="price",
    axis="← cheaper   price of what to buy   dearer →",
    least_span=10.0,
    across=lambda option: option.prospect.price or 0.0,
    told=lambda price: f"price {price:.0f}",
)


def front_drawings(search: Search) -> tuple[FrontDrawing, ...]:
    """Mismatch against weight, and against price where some are known."""
    priced = [each for each in search.options if each.prospect.price is not None]
    by_weight = _drawing(search, search.options, WEIGHT)
    return (by_weight, _drawing(search, priced, PRICE)) if priced else (by_weight,)


def _drawing(search: Search, options: Sequence[Option], against: Against) -> FrontDrawing:
    """The dots of these options; those told of are dark, with their ranks beside them."""
    named = {
        place: option
        for place in places_told(search)
        if (option := search.options[place]) in options
    }
    ranked = [_point(each, against) for each in named.values()]
    now = (0.0, search.now.score.mismatch)
    points = [_point(each, against) for each in options]
    window = window_of(points, [now, *ranked], against.least_span)
    box = _Box(window=window)
    drawing = Drawing(
        title=f"Mismatch against {against.what}",
        about=_told(named, now, against),
        width=WIDTH,
        height=HEIGHT,
        shapes=(
            Shape(filling="there", path=box.cross(now)),
            Shape(filling="step", path=box.steps(lower_left(np.array(points)).tolist())),
            *_dots(options, list(named.values()), box, against),
        ),
        labels=(*box.heights(), *_ranks(box, [NOW, *_marks(named)], [now, *ranked])),
        below=box.widths(),
    )
    return FrontDrawing(drawing=drawing, axis=against.axis)


def _point(option: Option, against: Against) -> Point:
    return against.across(option), option.mismatch


def _marks(named: Iterable[int]) -> list[str]:
    return [str(place + 1) for place in named]


def _told(named: dict[int, Option], now: Point, against: Against) -> str:
    """The drawing in words: what you have, then every build that is told of."""
    told = [
        f"{place + 1}: {clean(option.name)}, {against.told(against.across(option))}, mismatch "
        f"{at_least_shown(option.mismatch, 1)}"
        for place, option in named.items()
    ]
    have = f"What you have: mismatch {at_least_shown(now[1], 1)}."
    return f"Lower is better, and so is further left. {have} {'; '.join(told)}."


def _dots(
    options: Sequence[Option], named: Sequence[Option], box: _Box, against: Against
) -> list[Shape]:
    """A rim and a filling for every look: pale off the front, grey on it, dark where told of."""
    kinds = {
        "off": [each for each in options if not each.on_front and each not in named],
        "on": [each for each in options if each.on_front and each not in named],
        "told": list(named),
    }
    shapes = []
    for kind, of_kind in kinds.items():
        for look in LOOKS.values():
            points = [_point(each, against) for each in of_kind if look_of(each) is look]
            path = box.dots(points, tall=look.dots == "tall")
            shapes += [
                Shape(filling=f"dots {look.dots} {layer}", path=path)
                for layer in (f"rim {kind}-rim", kind)
                if path
            ]
    return shapes


def _ranks(box: _Box, marks: Sequence[str], points: Sequence[Point]) -> list[Label]:
    """The ranks, each on the side of its mark that is freest of others on the narrowest phone."""
    shares = [box.share(each) for each in points]
    wide_in, high_in = LEAST_IN
    marks_in = [(across * wide_in, down * high_in) for across, down in shares]
    spots = rank_spots(marks_in, marks)
    return [
        Label(
            text=mark,
            left_percent=100.0 * across,
            top_percent=100.0 * down,
            beside_px=(PX_PER_IN * (spot[0] - at[0]), PX_PER_IN * (spot[1] - at[1])),
        )
        for mark, (across, down), at, spot in zip(marks, shares, marks_in, spots, strict=True)
    ]


@dataclass(frozen=True, kw_only=True)
class _Box:
    """Values in the drawing: mismatch upwards, the other to the right."""

    window: Window

    def share(self, at: Point) -> Point:
        """How far right and down a point is, 0 to 1."""
        left, right, bottom, top = self.window
        return (at[0] - left) / (right - left), (top - at[1]) / (top - bottom)

    def _to(self, at: Point) -> str:
        across, down = self.share(at)
        return f"{WIDTH * across:.1f} {HEIGHT * down:.1f}"

    def dots(self, points: Sequence[Point], *, tall: bool) -> str:
        """A dot at each point that is in the window; tall ones are short upright lines."""
        top = self.window[3]
        end = TALL if tall else DOT
        return "".join(f"M{self._to(at)}{end}" for at in points if at[1] <= top)

    def cross(self, at: Point) -> str:
        """A line across and one down through a point."""
        across, down = self.share(at)
        return f"M0 {HEIGHT * down:.1f}H{WIDTH}M{WIDTH * across:.1f} 0V{HEIGHT}"

    def steps(self, corners: Iterable[Point]) -> str:
        """The line that no point lies both below and left of, from the top edge to the right.

        Empty where all of it is above the window, as for a search that was stopped early.
        """
        shares = [self.share((across, mismatch)) for across, mismatch in corners]
        inside = [(WIDTH * across, HEIGHT * down) for across, down in shares if down >= 0.0]
        if not inside:
            return ""
        (first, depth), *others = inside
        rest = "".join(f"H{across:.1f}V{down:.1f}" for across, down in others)
        return f"M{first:.1f} 0V{depth:.1f}{rest}H{WIDTH}"

    def heights(self) -> list[Label]:
        """Values of mismatch at the left edge."""
        _, _, bottom, top = self.window
        ticks = round_ticks(max(bottom, 0.0), top, MOST_TICKS).tolist()
        downs = [100.0 * self.share((0.0, tick))[1] for tick in ticks]
        return [
            Label(text=f"{tick:g}", left_percent=0.0, top_percent=down)
            for tick, down in zip(ticks, downs, strict=True)
        ]

    def widths(self) -> tuple[Label, ...]:
        """Values of the other under the drawing."""
        left, right, _, _ = self.window
        return tuple(
            Label(text=f"{tick + 0.0:g}", left_percent=100.0 * self.share((tick, 0.0))[0])
            for tick in round_ticks(left, right, MOST_TICKS).tolist()
        )
