"""What was learnt, as the rider, bike and gears of a plan, and as a replay rides it.

A plan gets only what can be believed; a replay tries what was found, whatever it is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.rider import Rider
from gearsim.studies.learn.balance import DRIVE_EFFICIENCY
from gearsim.studies.learn.cadence import CadenceHabits
from gearsim.studies.learn.estimate import Estimate, Refusal
from gearsim.studies.learn.gears import SeenGears
from gearsim.studies.learn.learn import LONG_EFFORT_S, Learnt
from gearsim.studies.learn.parts import PartsMatch
from gearsim.studies.learn.plausible import tyre_is_plausible
from gearsim.studies.learn.resistance import Resistance

FACTORS = (0.2, 5.0)  # what a bike's rolling factor may be
LEAST_GEARS = 3  # seen, to be ridden as they are
RIMS_MM = (622.0, 584.0, 571.0, 559.0, 507.0, 406.0, 349.0, 305.0)  # ISO 5775
NARROWEST_TYRE_MM = 18.0
CLEAR_NAME = "as learnt"
SEEN_NAME = "only the gears seen"


@dataclass(frozen=True, kw_only=True)
class Wheel:
    """A rim and a tyre that have a circumference together, mm."""

    rim_mm: float
    tyre_mm: float


def learnt_rider(learnt: Learnt) -> Rider:
    """The rider of a plan: what was learnt, and the plan's defaults for the rest."""
    told: dict[str, float | tuple[float, float]] = {"mass_kg": learnt.given.rider_kg}
    told |= _power(learnt)
    if isinstance(learnt.descending_mps, Estimate):
        told["descending_mps"] = round(3.6 * learnt.descending_mps.value) / 3.6
    if isinstance(learnt.cadence, CadenceHabits):
        limits, target, band = learnt.cadence.rounded
        told["limits_rpm"] = (float(limits[0]), float(limits[1]))
        told["target_cadence_rpm"] = float(target)
        told["band_rpm"] = (float(band[0]), float(band[1]))
    return Rider(**told)  # type: ignore[arg-type]


def _power(learnt: Learnt) -> dict[str, float]:
    """Power on the flat, the factors, and what the rider has shown to sustain."""
    default = Rider()
    pace, climbing = learnt.pace, learnt.climbing
    if isinstance(pace, Refusal):
        if isinstance(climbing, Refusal):
            return {}
        return {"power_w": float(round(climbing.power_w.value / default.uphill_factor))}
    told = {"power_w": float(round(pace.flat_w.value))}
    if isinstance(pace.uphill_factor, Estimate):
        told["uphill_factor"] = round(float(np.clip(pace.uphill_factor.value, 0.1, 3.0)), 2)
    if isinstance(pace.downhill_factor, Estimate):
        told["downhill_factor"] = round(float(np.clip(pace.downhill_factor.value, 0.0, 3.0)), 2)
    if isinstance(pace.stop_pedalling_mps, Estimate):
        told["stop_pedalling_mps"] = round(3.6 * pace.stop_pedalling_mps.value) / 3.6
    shown_w = learnt.long_effort_w - default.reserve_j / LONG_EFFORT_S
    if shown_w > Rider(power_w=told["power_w"]).critical_w:
        told["critical_power_w"] = float(round(shown_w))
    return told


def learnt_bike(learnt: Learnt) -> Bike:
    """The bike of a plan: what was told, what was learnt and can be, else the plan's defaults."""
    told: dict[str, float] = {"mass_kg": learnt.given.bike_kg}
    if not learnt.doubts:
        told |= _resistance(learnt)
    if learnt.given.circumference_m is not None:
        told |= vars(wheel_of(learnt.given.circumference_m))
    elif learnt.clear_parts is not None and tyre_is_plausible(matched_tyre_mm(learnt.clear_parts)):
        told["tyre_mm"] = matched_tyre_mm(learnt.clear_parts)
    return Bike(**told)  # type: ignore[arg-type]


def bike_as_found(learnt: Learnt) -> Bike:
    """The bike as it was found, likely or not: on it a replay puts the method to the test."""
    found: dict[str, float] = {"mass_kg": learnt.given.bike_kg} | _resistance(learnt)
    circumference_m = learnt.given.circumference_m
    if learnt.believed_parts is not None:
        circumference_m = learnt.believed_parts.circumference_m
    if circumference_m is not None:
        found |= vars(wheel_of(circumference_m))
    return Bike(**found)  # type: ignore[arg-type]


def _resistance(learnt: Learnt) -> dict[str, float]:
    if not isinstance(learnt.resistance, Resistance):
        return {}
    factor = learnt.resistance.rolling_coefficient.value / learnt.given.rolling_coefficient
    return {
        "drag_area_m2": round(learnt.resistance.drag_area_m2.value, 3),
        "tyre_rolling_factor": round(float(np.clip(factor, *FACTORS)), 2),
    }


def wheel_of(circumference_m: float) -> Wheel:
    """The largest rim on which some tyre makes the circumference; which it is changes no gear."""
    across_mm = 1000.0 * circumference_m / math.pi
    wide_enough = [rim for rim in RIMS_MM if across_mm - rim >= 2.0 * NARROWEST_TYRE_MM]
    rim_mm = wide_enough[0] if wide_enough else across_mm - 2.0 * NARROWEST_TYRE_MM
    return Wheel(rim_mm=rim_mm, tyre_mm=round((across_mm - rim_mm) / 2.0, 1))


def matched_tyre_mm(parts: PartsMatch) -> float:
    """The tyre on the plan's usual rim that goes with a match of parts, mm; may be impossible."""
    return round((1000.0 * parts.circumference_m / math.pi - Bike().rim_mm) / 2.0, 1)


def learnt_drivetrain(learnt: Learnt) -> Drivetrain | None:
    """The drivetrain of a plan: the teeth where the match is clear, else only the gears seen.

    The gears seen are ratios on the plan's wheel, with the losses of a chain; gears that were
    hardly used are missing.  None where fewer than three gears were seen.
    """
    if learnt.clear_parts is not None:
        return _teeth(learnt.clear_parts)
    if not isinstance(learnt.gears, SeenGears) or len(learnt.gears.gears) < LEAST_GEARS:
        return None
    ratios = learnt.gears.developments_m / learnt_bike(learnt).circumference_m
    return Drivetrain(
        name=SEEN_NAME,
        ratios=tuple(round(float(ratio), 3) for ratio in ratios),
        efficiency=DRIVE_EFFICIENCY,
    )


def drivetrain_as_found(learnt: Learnt) -> Drivetrain | None:
    """The likeliest chainset and cassette, clear or not, where they explain most gears seen."""
    return None if learnt.believed_parts is None else _teeth(learnt.believed_parts)


def _teeth(parts: PartsMatch) -> Drivetrain:
    return Drivetrain(
        name=CLEAR_NAME, chainrings=parts.chainset.chainrings, sprockets=parts.cassette.sprockets
    )
