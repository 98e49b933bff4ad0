"""What past rides tell about a rider and a bike, and what they cannot tell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from gearsim.course.recording import Recording
from gearsim.course.surface import surface_named
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.parts.kinds import Cassette, Chainset
from gearsim.setup.rider import Rider
from gearsim.studies.learn_cadence import CadenceHabits, learn_cadence
from gearsim.studies.learn_climbing import ClimbingPower, learn_climbing
from gearsim.studies.learn_estimate import Estimate, Refusal
from gearsim.studies.learn_gears import SeenGears, learn_gears
from gearsim.studies.learn_pace import Pace, learn_descending, learn_pace
from gearsim.studies.learn_parts import CLEAR, PartsMatch, match_parts
from gearsim.studies.learn_resistance import Resistance, learn_resistance
from gearsim.studies.learn_windows import steady_windows

Floats = NDArray[np.float64]

LONG_EFFORT_S = 1200
BELIEVED_SHARE = 0.75  # of the seen gears within 1 % of a pair's, for the pair to be used
FACTORS = (0.2, 5.0)  # what a bike's rolling factor may be


@dataclass(frozen=True, kw_only=True)
class Given:
    """What was told beside the recordings, and what is assumed where nothing was told.

    `surface` is what the rides are taken to be on; `circumference_m` of the wheel, None where not
    told.
    """

    rider_mass_kg: float | None = None
    bike_mass_kg: float | None = None
    surface: str = "tarmac"
    surface_told: bool = False
    circumference_m: float | None = None

    @property
    def rider_kg(self) -> float:
        """Mass of the rider, kg: told, or the plan's default."""
        return Rider().mass_kg if self.rider_mass_kg is None else self.rider_mass_kg

    @property
    def bike_kg(self) -> float:
        """Mass of the bike ready to ride, kg: told, or the plan's default."""
        return Bike().mass_kg if self.bike_mass_kg is None else self.bike_mass_kg

    @property
    def rolling_coefficient(self) -> float:
        """Rolling coefficient of the surface under an all-round tyre."""
        return surface_named(self.surface).rolling_coefficient

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed because it was not told, a sentence each without full stop."""
        said = []
        if self.rider_mass_kg is None:
            said.append(f"the rider weighs {self.rider_kg:g} kg (tell with --rider-mass)")
        if self.bike_mass_kg is None:
            said.append(f"the bike weighs {self.bike_kg:g} kg (tell with --bike-mass)")
        if not self.surface_told:
            said.append(f"all of it is {self.surface} (tell with --surface)")
        return tuple(said)


@dataclass(frozen=True, kw_only=True)
class Learnt:
    """What recordings of one rider on one bike tell; a `Refusal` where they cannot.

    `parts` are the pairs of chainset and cassette that explain the gears, the likeliest first.
    `long_effort_w` is the highest mean power over 20 min, nan where there is none.
    """

    recordings: tuple[Recording, ...]
    given: Given
    pace: Pace | Refusal
    climbing: ClimbingPower | Refusal
    resistance: Resistance | Refusal
    cadence: CadenceHabits | Refusal
    gears: SeenGears | Refusal
    descending_mps: Estimate | Refusal
    parts: tuple[PartsMatch, ...]
    long_effort_w: float

    @property
    def refusals(self) -> tuple[Refusal, ...]:
        """What the recordings cannot say."""
        own = [getattr(self, field.name) for field in fields(self)]
        paced = (
            []
            if isinstance(self.pace, Refusal)
            else [getattr(self.pace, field.name) for field in fields(self.pace)]
        )
        return tuple(said for said in (*own, *paced) if isinstance(said, Refusal))

    @property
    def parts_clear(self) -> bool:
        """Whether one pair of parts is far likelier than all others of the list."""
        return bool(self.parts) and self.parts[0].chance >= CLEAR

    @property
    def believed_parts(self) -> PartsMatch | None:
        """The likeliest chainset and cassette, where they explain most gears that were seen."""
        if isinstance(self.gears, Refusal) or not self.parts:
            return None
        best = self.parts[0]
        return best if best.found >= BELIEVED_SHARE * len(self.gears.gears) else None


def learn(
    recordings: Sequence[Recording],
    given: Given,
    chainsets: Sequence[Chainset] = (),
    cassettes: Sequence[Cassette] = (),
) -> Learnt:
    """Learn from recordings of one rider on one bike.

    `chainsets` and `cassettes` are those of the parts list, matched against the gears seen.
    """
    rides = tuple(recordings)
    gears = learn_gears(rides)
    matched = (
        ()
        if isinstance(gears, Refusal)
        else match_parts(gears, chainsets, cassettes, given.circumference_m)
    )
    mass_kg = given.rider_kg + given.bike_kg
    return Learnt(
        recordings=rides,
        given=given,
        pace=learn_pace(rides),
        climbing=learn_climbing(rides, mass_kg, given.rolling_coefficient),
        resistance=_resistance(rides, mass_kg, given.rolling_coefficient),
        cadence=learn_cadence(rides),
        gears=gears,
        descending_mps=learn_descending(rides),
        parts=matched,
        long_effort_w=_long_effort_w(rides),
    )


def _resistance(
    rides: tuple[Recording, ...], mass_kg: float, surface_rolling: float
) -> Resistance | Refusal:
    if not any(recording.has_power for recording in rides):
        return Refusal(
            what="drag area and rolling resistance",
            why="no power was recorded",
            remedy="record power for an hour, alone, slow and fast, out and back",
        )
    return learn_resistance(steady_windows(rides), mass_kg, surface_rolling)


def _long_effort_w(rides: tuple[Recording, ...]) -> float:
    """Highest mean power over 20 min of the clock; seconds without a reading count as none."""
    best = np.nan
    for ride in rides:
        if ride.has_power and len(ride.power_w) >= LONG_EFFORT_S:
            work_j = np.append(0.0, np.cumsum(np.nan_to_num(ride.power_w)))
            mean_w = (work_j[LONG_EFFORT_S:] - work_j[:-LONG_EFFORT_S]) / LONG_EFFORT_S
            best = float(np.fmax(best, mean_w.max()))
    return best


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
    """The bike of a plan: what was learnt, and the plan's defaults for the rest."""
    told: dict[str, float] = {"mass_kg": learnt.given.bike_kg}
    if isinstance(learnt.resistance, Resistance):
        factor = learnt.resistance.rolling_coefficient.value / learnt.given.rolling_coefficient
        told["drag_area_m2"] = round(learnt.resistance.drag_area_m2.value, 3)
        told["tyre_rolling_factor"] = round(float(np.clip(factor, *FACTORS)), 2)
    circumference_m = _circumference_m(learnt)
    if circumference_m is not None:
        rim_mm = Bike().rim_mm
        told["tyre_mm"] = round(max((1000.0 * circumference_m / np.pi - rim_mm) / 2.0, 10.0), 1)
    return Bike(**told)  # type: ignore[arg-type]


def _circumference_m(learnt: Learnt) -> float | None:
    """The wheel's circumference where it was told or goes with the gears."""
    if learnt.believed_parts is not None:
        return learnt.believed_parts.circumference_m
    return learnt.given.circumference_m


def learnt_drivetrain(learnt: Learnt) -> Drivetrain | None:
    """The likeliest chainset and cassette as a drivetrain, where they are believed."""
    parts = learnt.believed_parts
    if parts is None:
        return None
    return Drivetrain(
        name="as learnt", chainrings=parts.chainset.chainrings, sprockets=parts.cassette.sprockets
    )
