"""Sentences on gears, the same in text and picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from gearsim.output.words import clean, gear_name, listed, shorten
from gearsim.setup.gear_sheet import GearSheet, RingOverlap
from gearsim.units import KMH_PER_MPS

GEAR_CAUTIONS = (
    "What fits what is for the makers of the parts and a qualified mechanic to say.",
    "The tyre is taken as high as it is wide; a loaded one rolls a little shorter.",
)
"""What stands under every sheet."""


def at_a_glance(sheet: GearSheet) -> str:
    """What every figure depends on: wheel, cadences, and what counts as one gear."""
    bike, (low_limit, low, target, high, high_limit) = sheet.bike, sheet.cadences_rpm
    return (
        f"Wheel {bike.tyre_mm:g}-{bike.rim_mm:g}, {bike.circumference_m:.3f} m a turn. Band "
        f"{low:g}-{high:g} rpm, target {target:g}, limits {low_limit:g}-{high_limit:g}. "
        f"Gears less than {sheet.tolerance_percent:g} % apart count as one."
    )


def in_short(sheets: Sequence[GearSheet]) -> str:
    """Which of several drivetrains has the widest range, the closest steps, the ends."""
    stepped = [sheet for sheet in sheets if sheet.median_step_percent is not None]
    sentences = [
        _best(sheets, "widest range", lambda s: s.range_percent, "{:.0f} %"),
        _best(sheets, "most distinct ratios", lambda s: s.distinct_ratios, "{:.0f}"),
        _best(sheets, "slowest low gear", lambda s: -s.slowest_mps * KMH_PER_MPS, "{:.1f} km/h"),
        _best(sheets, "highest top speed", lambda s: s.fastest_mps * KMH_PER_MPS, "{:.0f} km/h"),
    ]
    if stepped:
        closest = _best(
            stepped, "closest steps", lambda s: -(s.median_step_percent or 0.0), "median {:.1f} %"
        )
        sentences.insert(1, closest)
    told = "; ".join(sentences)
    return f"{told[0].upper()}{told[1:]}."


def _best(
    sheets: Sequence[GearSheet], what: str, worth: Callable[[GearSheet], float], shown: str
) -> str:
    """Who has the most of something: several where they cannot be told apart as shown."""
    best = max(worth(sheet) for sheet in sheets)
    value = shown.format(abs(best))
    names = [
        f"“{shorten(clean(s.name), 40)}”" for s in sheets if shown.format(abs(worth(s))) == value
    ]
    if len(names) == len(sheets) > 1:
        names = ["all"]
    return f"{what} ({value}): {listed(names)}"


def overlap_words(sheet: GearSheet, overlap: RingOverlap) -> str:
    """What two neighbouring chainrings have in common, in a sentence or two."""
    larger, smaller = overlap.larger_teeth, overlap.smaller_teeth
    count = len(sheet.drivetrain.sprockets)
    pairs = [
        f"{gear_name(sheet.gears, one)} and {gear_name(sheet.gears, other)}"
        for one, other in overlap.twins
    ]
    same = f"As good as one: {', '.join(pairs)}." if pairs else "No two gears are as good as one."
    if not overlap.larger_inside:
        return f"Rings {larger} and {smaller} do not overlap. {same}"
    return (
        f"Inside the {smaller}'s range: {len(overlap.larger_inside)} of the {larger}'s {count} "
        f"gears; inside the {larger}'s: {len(overlap.smaller_inside)} of the {smaller}'s. {same}"
    )


def shifts_words(sheet: GearSheet) -> str:
    """What it takes to go through all distinct gears in order, and what goes without."""
    return (
        f"Front shifts for all {sheet.distinct_ratios} distinct gears in order: "
        f"{sheet.front_shifts}, with the rear shifted at the same time: {sheet.double_shifts}; "
        f"rear clicks: {sheet.rear_clicks}. Each ring used in one stretch gives "
        f"{sheet.ring_by_ring_ratios} distinct gears."
    )
