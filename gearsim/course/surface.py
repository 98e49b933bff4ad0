"""What the ground is made of, and where."""

from __future__ import annotations

import difflib
import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from gearsim.course.track import Floats, Indices
from gearsim.errors import PlanError, as_given

END_TOLERANCE_KM = 0.1  # a table written by hand may end a little after the course does


@dataclass(frozen=True, kw_only=True)
class Surface:
    """A surface: how hard it is to roll on and how well it holds in a bend.

    `rolling_coefficient` is Crr of an all-round tyre, dry; wet ground multiplies it by
    `wet_rolling_factor`.  `side_grip` is the lateral acceleration, in g, that the surface holds in
    a bend when dry; `wet_grip_factor` multiplies it in the wet.  `standing` says where the values
    are from.
    """

    name: str
    rolling_coefficient: float
    wet_rolling_factor: float
    side_grip: float
    wet_grip_factor: float
    standing: str = ""


def _table(*rows: tuple[str, float, float, float, float, str]) -> dict[str, Surface]:
    return {
        name: Surface(
            name=name,
            rolling_coefficient=rolling,
            wet_rolling_factor=wet_rolling,
            side_grip=grip,
            wet_grip_factor=wet_grip,
            standing=f"Crr: {standing}; grip and wet factors: judgement, no source",
        )
        for name, rolling, wet_rolling, grip, wet_grip, standing in rows
    }


SURFACES: dict[str, Surface] = _table(
    # name, Crr dry, × in the wet, side grip in g dry, × in the wet, standing of Crr
    ("tarmac", 0.005, 1.05, 0.50, 0.75, "in the band 0.003-0.006, from memory"),
    ("rough tarmac", 0.008, 1.05, 0.45, 0.75, "engineering table, rough paved road 0.008"),
    ("concrete", 0.005, 1.05, 0.50, 0.75, "judgement; engineering table has 0.002, a bare track"),
    ("paving", 0.007, 1.05, 0.40, 0.60, "judgement, no source"),
    ("cobbles", 0.012, 1.10, 0.35, 0.50, "judgement, no source"),
    ("hard-packed gravel", 0.009, 1.20, 0.35, 0.85, "in the band 0.006-0.012, from memory"),
    ("gravel", 0.012, 1.20, 0.30, 0.90, "where the bands of hard-packed and loose gravel meet"),
    ("loose gravel", 0.020, 1.10, 0.20, 1.00, "in the band 0.012-0.03, from memory"),
    ("dirt road", 0.012, 1.60, 0.35, 0.60, "judgement, no source"),
    ("single track", 0.016, 1.50, 0.30, 0.65, "judgement, no source"),
    ("grass", 0.020, 1.30, 0.25, 0.60, "in the band 0.01-0.03, from memory"),
    ("sand", 0.040, 0.80, 0.15, 1.10, "judgement, no source"),
    ("mud", 0.035, 1.30, 0.15, 0.80, "judgement, no source"),
)
"""The surfaces a plan may name.

No peer-reviewed table of rolling resistance on gravel was found; the bands named are recalled, not
read.  That unsealed ground costs more is published: Macdermid PW, Fink PW, Stannard SR (2015), Int
J Sports Med 36(10):783-788, 280 W on sealed road against 312 W on single track, one climb at one
speed.  Side grip lies under what riders do in their tightest bends (85th percentile of 142
bicycles 0.61 g at 3.1 m radius, 0.52 g at 6.1 m, FHWA trail study) and above design values for
unsealed roads (0.11-0.15, textbook).
"""


@dataclass(frozen=True, kw_only=True)
class SurfaceStretch:
    """The surface from one distance to another along the course, km."""

    from_km: float
    to_km: float
    surface: str


def surface_named(name: str) -> Surface:
    """The surface of that name; raises `PlanError` with the nearest right spelling."""
    if name in SURFACES:
        return SURFACES[name]
    near = difflib.get_close_matches(name.lower(), SURFACES, n=1)
    meant = f"did you mean {near[0]!r}? " if near else ""
    raise PlanError(f"surface {name!r} is unknown; {meant}allowed are {', '.join(SURFACES)}")


def assign_surfaces(
    stretches: Sequence[SurfaceStretch], default: str, nodes_m: Floats
) -> tuple[tuple[Surface, ...], Indices]:
    """The surfaces used and the index of each interval's among them, (n).

    An interval between `nodes_m` (n + 1) has the stretch's surface that its middle lies on, and
    the default's outside all stretches.  Raises `PlanError` for an unknown name and for a stretch
    that is upside down, outside the course, or overlaps another.
    """
    length_km = nodes_m[-1] / 1000.0
    ordered = sorted(stretches, key=lambda stretch: stretch.from_km)
    for stretch in ordered:
        _refuse_impossible(stretch, length_km)
    for before, after in itertools.pairwise(ordered):
        if after.from_km < before.to_km:
            raise PlanError(
                f"{_shown(after)} overlaps {_shown(before)}; one place has one surface, "
                "move the end of one of them"
            )
    surfaces = _without_repeats([default, *(stretch.surface for stretch in ordered)])
    names = [surface.name for surface in surfaces]
    middle_km = (nodes_m[:-1] + nodes_m[1:]) / 2000.0
    index = np.zeros(len(middle_km), dtype=np.int64)
    for stretch in ordered:
        inside = (middle_km >= stretch.from_km) & (middle_km < stretch.to_km)
        index[inside] = names.index(stretch.surface)
    return surfaces, index


def _without_repeats(names: Iterable[str]) -> tuple[Surface, ...]:
    return tuple(surface_named(name) for name in dict.fromkeys(names))


def _refuse_impossible(stretch: SurfaceStretch, length_km: float) -> None:
    if not stretch.from_km < stretch.to_km:
        raise PlanError(f"{_shown(stretch)} ends before it begins; to_km must be above from_km")
    if not (stretch.from_km >= 0.0 and stretch.to_km <= length_km + END_TOLERANCE_KM):
        allowed = "0 km and more" if math.isinf(length_km) else f"0 to {length_km:.1f} km"
        raise PlanError(f"{_shown(stretch)} is outside the course; allowed is {allowed}")


def _shown(stretch: SurfaceStretch) -> str:
    ends = f"from_km {as_given(stretch.from_km)} to_km {as_given(stretch.to_km)}"
    return f"surface {stretch.surface!r} {ends}"
