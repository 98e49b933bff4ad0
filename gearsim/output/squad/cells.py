"""The cells of a squad's tables, the same on a terminal and on a page."""

from __future__ import annotations

from gearsim.output.squad.words import break_even_shown, has_letter, more_minutes
from gearsim.output.words import at_least_shown, letter
from gearsim.studies.squad.squad import Squad
from gearsim.studies.squad.standing import Standing

ASSUMED_MARK = "*"
UNTOLD = "-"


def cost_cells(squad: Squad, standing: Standing, decimals: int) -> list[str]:
    """An athlete's best, what they have and what that costs, power held and power needed.

    Best and mismatch, has and mismatch, then more minutes off target, below the lowest gear,
    walking and to the finish, with `decimals`, then W and W.
    """
    best = [letter(standing.best), at_least_shown(standing.scores[standing.best].mismatch, 1)]
    powers = [f"{standing.athlete.rider.power_w:.0f}", break_even_shown(standing.break_even)]
    cost = standing.cost
    if standing.now is None or cost is None:
        return [*best, *[UNTOLD] * 6, *powers]
    seconds = (cost.off_target_s, cost.below_lowest_s, cost.walking_s, cost.finish_s)
    has = [has_letter(squad, standing), at_least_shown(standing.now.mismatch, 1)]
    return [*best, *has, *(more_minutes(each, decimals) for each in seconds), *powers]


def athlete_cells(standing: Standing) -> list[str]:
    """What an athlete was ridden with, `*` before what was assumed.

    Mass in kg, power and critical power in W, reserve in kJ, target, band and limits in rpm, drag
    area in m², mass of the bike in kg.
    """
    athlete = standing.athlete
    rider, bike = athlete.rider, athlete.bike
    (low, high), (low_limit, high_limit) = rider.band_rpm, rider.limits_rpm
    told = (
        (f"{rider.mass_kg:g}", ("mass_kg",)),
        (f"{rider.power_w:.0f}", ("power_w",)),
        (f"{rider.critical_w:.0f}", ("critical_power_w",)),
        (f"{rider.reserve_j / 1000.0:g}", ("reserve_kj",)),
        (f"{rider.target_cadence_rpm:g}", ("target_cadence_rpm",)),
        (f"{low:g}-{high:g}", ("band_low_rpm", "band_high_rpm")),
        (f"{low_limit:g}-{high_limit:g}", ("limit_low_rpm", "limit_high_rpm")),
        (f"{bike.drag_area_m2:g}", ("drag_area_m2",)),
        (f"{bike.mass_kg:g}", ("bike_mass_kg",)),
    )
    return [
        f"{ASSUMED_MARK if any(each in athlete.assumed for each in columns) else ''}{shown}"
        for shown, columns in told
    ]
