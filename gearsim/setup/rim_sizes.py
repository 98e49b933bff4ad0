"""Bead seat diameters of rims, and the names in mm or inches that they go by."""

from __future__ import annotations

from gearsim.errors import PlanError

NAMED_MM: dict[float, str] = {
    700.0: "622",
    650.0: "584 (650B) or 571 (650C)",
    29.0: "622",
    28.0: "622",
    27.5: "584",
    27.0: "630",
    26.0: "559",
    24.0: "507",
    20.0: "406",
    18.0: "355",
    16.0: "305 or 349",
}
"""What is most often meant by a nominal size: those of ISO 5775 in common use, from memory."""

BEAD_SEATS_MM: tuple[int, ...] = (
    *(203, 254, 305, 317, 340, 349, 355, 369, 389, 390, 400, 406, 419, 428, 432, 438, 440, 451),
    *(457, 489, 490, 498, 501, 507, 520, 534, 540, 541, 547, 559, 565, 571, 584, 587, 590, 597),
    *(599, 609, 622, 630, 635, 642),
)
"""Bead seat diameters that rims and tyres are made in: ISO 5775, from memory."""


def require_no_name(name: str, rim_mm: float) -> None:
    """Raise `PlanError` for a size that is only a name: no rim has a bead seat of 700 mm."""
    if rim_mm in NAMED_MM:
        raise PlanError(
            f"{name} is {rim_mm:g}; allowed is the diameter of the bead seat, mm, which for what "
            f"is called {rim_mm:g} is {NAMED_MM[rim_mm]}"
        )
