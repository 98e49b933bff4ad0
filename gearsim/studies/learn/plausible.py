"""What riders, tyres and wheels can be: what lies outside is told, and put into no plan."""

from __future__ import annotations

from gearsim.course.surface import surface_named
from gearsim.studies.learn.resistance import Resistance

DRAG_AREAS_M2 = (0.19, 0.57)
"""From a racing position, 0.2565 m² (Martin et al. 1998, worked inputs, from memory), of a rider of
55 kg (× 0.836) to a gravel rider with bags, 0.45 m² (judgement), of 95 kg (× 1.156; Heil 2002), and
a tenth beyond."""

ROLLING_FACTORS = (0.5, 1.6)
"""Of a surface's own coefficient: the bands from memory are 0.6 to 1.2 (tarmac), 0.7 to 1.3
(hard-packed gravel), 0.6 to 1.5 (loose gravel) and 0.5 to 1.5 (grass) of it; 1.6 is rough paved
road, 0.008 (engineering table), over tarmac."""

TYRES_MM = (20.0, 60.0)
"""On the usual rim of 622 mm: what is sold for road and off-road (common practice, no source)."""


def doubts_of(found: Resistance, surface: str) -> tuple[str, ...]:
    """Why a learnt drag area or rolling coefficient cannot be, a clause each; empty where it can.

    They are learnt together, so what is wrong with one is wrong with the other.
    """
    usual = surface_named(surface).rolling_coefficient
    drag, rolling = found.drag_area_m2.value, found.rolling_coefficient.value
    said = []
    if not _inside(rolling / usual, ROLLING_FACTORS):
        said.append(
            f"a rolling coefficient of {rolling:.4f} is {rolling / usual:.2f} times that of "
            f"{surface}, {ROLLING_FACTORS[0]:g} to {ROLLING_FACTORS[1]:g} times is plausible"
        )
    if not _inside(drag, DRAG_AREAS_M2):
        said.append(
            f"a drag area of {drag:.3f} m² is not plausible, "
            f"{DRAG_AREAS_M2[0]:g} to {DRAG_AREAS_M2[1]:g} m² is"
        )
    return tuple(said)


def tyre_is_plausible(tyre_mm: float) -> bool:
    """Whether a tyre on the usual rim is one that is ridden."""
    return _inside(tyre_mm, TYRES_MM)


def _inside(value: float, span: tuple[float, float]) -> bool:
    return span[0] <= value <= span[1]
