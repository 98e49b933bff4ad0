"""A squad as tables for spreadsheets and as records for programs."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from gearsim.course.climbs import total_climb_m
from gearsim.lists.athletes import AthleteList
from gearsim.output.search.words import to_check_told
from gearsim.output.squad.sentences import guessed
from gearsim.output.squad.words import definitions, stands_out, unsettled
from gearsim.output.words import CAUTIONS
from gearsim.ride.score import Score
from gearsim.setup.athlete import Athlete
from gearsim.studies.squad.sought import Sought, Tried
from gearsim.studies.squad.squad import Served, Squad
from gearsim.studies.squad.standing import Fitting, Offer, Standing
from gearsim.units import SECONDS_PER_MINUTE

if TYPE_CHECKING:
    import pandas as pd

Row = dict[str, Any]


def squad_table(squad: Squad) -> pd.DataFrame:
    """One row an athlete, in the list's order; the unit of every column is in its name.

    `costs_*` is what the gears that the athlete has cost against the best; `needed_power_w` is
    empty where it is outside the powers searched: `copes_now` says on which side.
    """
    import pandas as pd

    return pd.DataFrame([_row(squad, each) for each in squad.standings])


def matrix_table(squad: Squad) -> pd.DataFrame:
    """Mismatch, one row an athlete and one column a drivetrain, that for all together first."""
    import pandas as pd

    return pd.DataFrame(
        [
            [each.athlete.name, *(score.mismatch for score in each.scores)]
            for each in squad.standings
        ],
        columns=["name", *(drivetrain.name for drivetrain in squad.drivetrains)],
    )


def builds_table(sought: Sought) -> pd.DataFrame:
    """One row for every drivetrain that a search rode, with for how many athletes it does."""
    import pandas as pd

    return pd.DataFrame([_build(each) for each in sought.tried])


def squad_records(squad: Squad, read: AthleteList) -> dict[str, Any]:
    """Everything, with what was assumed and left out, in plain types ready for JSON."""
    course = squad.course
    return {
        "route": {
            "name": course.name,
            "length_km": course.length_m / 1000.0,
            "climb_m": total_climb_m(course),
            "step_m": course.step_m,
            "source": course.report.source,
        },
        "conditions": asdict(squad.conditions),
        "drivetrains": [
            {
                "name": drivetrain.name,
                "gears_label": drivetrain.label,
                "mismatch_together": together,
            }
            for drivetrain, together in zip(squad.drivetrains, squad.together, strict=True)
        ],
        "athletes": [
            {**_row(squad, each), "rides": _rides(squad, each)} for each in squad.standings
        ],
        "shared": [
            {
                "drivetrain": drivetrain.name,
                "best_for": [e.athlete.name for e in squad.standings if e.best == place],
                "as_good_for": [
                    e.athlete.name for e in squad.standings if e.best != place and e.will_do(place)
                ],
            }
            for place, drivetrain in enumerate(squad.drivetrains)
        ],
        "few": [_served(squad, each) for each in squad.served],
        **({} if squad.sought is None else {"sought": _sought(squad.sought)}),
        "left_out": [*read.faults, *squad.left_out],
        "guesses": list(guessed(squad, read)),
        "definitions": list(definitions(squad)),
        "cautions": [*unsettled(squad), *CAUTIONS],
    }


def _row(squad: Squad, standing: Standing) -> Row:
    found = standing.break_even
    out = {each.standing.athlete.name: stands_out(squad, each) for each in squad.outliers}
    return {
        "name": standing.athlete.name,
        "best": squad.drivetrains[standing.best].name,
        "best_mismatch": standing.scores[standing.best].mismatch,
        **_has(standing),
        "may_stay": standing.may_stay,
        **_fitting(standing.fitting),
        "copes_now": None if found is None else found.holds_now,
        "needed_power_w": None if found is None else found.power_w,
        "searched_from_w": None if found is None else found.searched_w[0],
        "searched_to_w": None if found is None else found.searched_w[1],
        "choice_mismatch": standing.scores[0].mismatch,
        "stands_out": out.get(standing.athlete.name, ""),
        **_athlete(standing.athlete),
    }


def _has(standing: Standing) -> Row:
    has, cost = standing.athlete.drivetrain, standing.cost
    return {
        "has": None if has is None else has.name,
        "has_gears": None if has is None else has.label,
        "has_mismatch": None if standing.now is None else standing.now.mismatch,
        "costs_mismatch": None if cost is None else cost.mismatch,
        "costs_off_target_min": None if cost is None else cost.off_target_s / SECONDS_PER_MINUTE,
        "costs_below_lowest_gear_min": (
            None if cost is None else cost.below_lowest_s / SECONDS_PER_MINUTE
        ),
        "costs_walking_min": None if cost is None else cost.walking_s / SECONDS_PER_MINUTE,
        "costs_finish_min": None if cost is None else cost.finish_s / SECONDS_PER_MINUTE,
    }


def _athlete(athlete: Athlete) -> Row:
    """What the athlete was ridden with, under the names of the list's columns."""
    rider, bike = athlete.rider, athlete.bike
    return {
        "mass_kg": rider.mass_kg,
        "power_w": rider.power_w,
        "critical_power_w": rider.critical_w,
        "reserve_kj": rider.reserve_j / 1000.0,
        "target_cadence_rpm": rider.target_cadence_rpm,
        "band_low_rpm": rider.band_rpm[0],
        "band_high_rpm": rider.band_rpm[1],
        "limit_low_rpm": rider.limits_rpm[0],
        "limit_high_rpm": rider.limits_rpm[1],
        "drag_area_m2": bike.drag_area_m2,
        "bike_mass_kg": bike.mass_kg,
        "assumed": " ".join(athlete.assumed),
    }


def _rides(squad: Squad, standing: Standing) -> list[Row]:
    return [
        {"drivetrain": drivetrain.name, **_score(score)}
        for drivetrain, score in zip(squad.drivetrains, standing.scores, strict=True)
    ]


def _score(counted: Score) -> Row:
    minutes = {
        f"{state.replace(' ', '_')}_min": seconds / SECONDS_PER_MINUTE
        for state, seconds in counted.seconds.items()
    }
    return {
        "mismatch": counted.mismatch,
        "finish_min": counted.finish_s / SECONDS_PER_MINUTE,
        **minutes,
    }


def _served(squad: Squad, served: Served) -> Row:
    return {
        "drivetrains": [squad.drivetrains[place].name for place in served.places],
        "as_good_for": served.athletes,
        "most_mismatch_lost": served.most_lost,
        "by": served.loser.athlete.name,
    }


def _sought(sought: Sought) -> Row:
    return {
        "wishes": asdict(sought.wishes),
        "frame": asdict(sought.frame),
        "taken_for_what_is_not_told": None if sought.untold is None else sought.untold.name,
        "what_athletes_have": [
            {
                "drivetrain": each.drivetrain.name,
                "gears_label": each.drivetrain.label,
                "weight_kg": each.mass_kg,
                "guesses": list(each.guesses),
            }
            for each in sought.presents
        ],
        "drivetrains_ridden": [_build(each) for each in sought.tried],
    }


def _build(tried: Tried) -> Row:
    drivetrain, prospect = tried.drivetrain, tried.prospect
    return {
        "name": drivetrain.name,
        "gears_label": drivetrain.label,
        "chainrings": " ".join(map(str, drivetrain.chainrings)),
        "sprockets": " ".join(map(str, drivetrain.sprockets)),
        "weight_kg": drivetrain.mass_kg,
        "parts": "" if prospect is None else prospect.build.name,
        "to_check": "" if prospect is None else to_check_told(prospect),
        "open_to": tried.open_to,
        "best_for": tried.best_for,
        "as_good_for": tried.as_good_for,
        "mismatch_together": tried.mismatch,
        "told": tried.told,
    }


def _fitting(fitting: Fitting | None) -> Row:
    """What a search found for an athlete; no columns where nothing was sought."""
    if fitting is None:
        return {}
    return {
        "open_to": fitting.open_to,
        **_offer("own_best", fitting.best),
        **_offer("simplest", fitting.simplest),
        **_offer("one_part", fitting.one_part),
    }


def _offer(prefix: str, offer: Offer | None) -> Row:
    keys = (prefix, *(f"{prefix}_{what}" for what in ("mismatch", "to_buy", "price")))
    if offer is None:
        return dict.fromkeys(keys)
    price = 0.0 if offer.prospect is None else offer.prospect.price
    told = (offer.name, offer.score.mismatch, "; ".join(offer.to_buy), price)
    return dict(zip(keys, told, strict=True))
