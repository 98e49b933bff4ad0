"""What past rides tell about a rider and a bike, and what they cannot tell."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from gearsim.course.recorded.recording import Recording
from gearsim.course.recorded.same import refuse_same_ride
from gearsim.course.surface import surface_named
from gearsim.setup.bike import Bike
from gearsim.setup.parts.kinds import Cassette, Chainset
from gearsim.setup.rider import Rider
from gearsim.studies.learn.cadence import CadenceHabits, learn_cadence
from gearsim.studies.learn.climbing import ClimbingPower, learn_climbing
from gearsim.studies.learn.estimate import Estimate, Refusal
from gearsim.studies.learn.gears import SeenGears, learn_gears
from gearsim.studies.learn.pace import Pace, learn_descending, learn_pace
from gearsim.studies.learn.parts import CLEAR, PartsMatch, match_parts
from gearsim.studies.learn.plausible import doubts_of
from gearsim.studies.learn.resistance import MASS_DEVIATION, Resistance, learn_resistance
from gearsim.studies.learn.windows import steady_windows

Floats = NDArray[np.float64]

LONG_EFFORT_S = 1200
DEVIATIONS_IN_INTERVAL = 1.645  # of a normal distribution, to either side, for nine in ten
BELIEVED_SHARE = 0.75  # of the seen gears within 1 % of a pair's, for the pair to be used
RIDER_SPREAD_KG, BIKE_SPREAD_KG = 20.0, 4.0
"""An assumed mass is within so much of the true one nine times in ten: judgement, no source."""


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
    def mass_kg(self) -> float:
        """Mass of rider and bike, kg."""
        return self.rider_kg + self.bike_kg

    @property
    def mass_assumed(self) -> bool:
        """Whether a part of the mass was not told."""
        return self.rider_mass_kg is None or self.bike_mass_kg is None

    @property
    def mass_deviation(self) -> float:
        """What the mass may be out by, as a fraction: much more where it is assumed."""
        spreads_kg = [MASS_DEVIATION * self.mass_kg]
        if self.rider_mass_kg is None:
            spreads_kg.append(RIDER_SPREAD_KG / DEVIATIONS_IN_INTERVAL)
        if self.bike_mass_kg is None:
            spreads_kg.append(BIKE_SPREAD_KG / DEVIATIONS_IN_INTERVAL)
        return math.hypot(*spreads_kg) / self.mass_kg

    @property
    def rolling_coefficient(self) -> float:
        """Rolling coefficient of the surface under an all-round tyre."""
        return surface_named(self.surface).rolling_coefficient

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed because it was not told, a sentence each without full stop."""
        said = []
        if self.rider_mass_kg is None:
            said.append(
                f"the rider weighs {self.rider_kg:g} kg, give or take {RIDER_SPREAD_KG:g} kg "
                "nine times in ten (tell with --rider-mass)"
            )
        if self.bike_mass_kg is None:
            said.append(
                f"the bike weighs {self.bike_kg:g} kg, give or take {BIKE_SPREAD_KG:g} kg "
                "nine times in ten (tell with --bike-mass)"
            )
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
    def doubts(self) -> tuple[str, ...]:
        """Why the drag area and rolling coefficient that were found cannot be, a clause each."""
        if isinstance(self.resistance, Refusal):
            return ()
        return doubts_of(self.resistance, self.given.surface)

    @property
    def clear_parts(self) -> PartsMatch | None:
        """The chainset and cassette that explain most gears, where their teeth are 80 % sure."""
        best = self.believed_parts
        return best if best is not None and best.chance >= CLEAR else None

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

    Raises `RouteError` where one ride is given twice.
    """
    refuse_same_ride(recordings)
    rides = tuple(recordings)
    gears = learn_gears(rides)
    matched = (
        ()
        if isinstance(gears, Refusal)
        else match_parts(gears, chainsets, cassettes, given.circumference_m)
    )
    return Learnt(
        recordings=rides,
        given=given,
        pace=learn_pace(rides),
        climbing=learn_climbing(
            rides, given.mass_kg, given.rolling_coefficient, given.mass_deviation
        ),
        resistance=_resistance(rides, given),
        cadence=learn_cadence(rides),
        gears=gears,
        descending_mps=learn_descending(rides),
        parts=matched,
        long_effort_w=_long_effort_w(rides),
    )


def _resistance(rides: tuple[Recording, ...], given: Given) -> Resistance | Refusal:
    if not any(recording.has_power for recording in rides):
        return Refusal(
            what="drag area and rolling resistance",
            why="no power was recorded",
            remedy="record power for an hour, alone, slow and fast, out and back",
        )
    return learn_resistance(
        steady_windows(rides), given.mass_kg, given.rolling_coefficient, given.mass_deviation
    )


def _long_effort_w(rides: tuple[Recording, ...]) -> float:
    """Highest mean power over 20 min of the clock; seconds without a reading count as none."""
    best = np.nan
    for ride in rides:
        if ride.has_power and len(ride.power_w) >= LONG_EFFORT_S:
            work_j = np.append(0.0, np.cumsum(np.nan_to_num(ride.power_w)))
            mean_w = (work_j[LONG_EFFORT_S:] - work_j[:-LONG_EFFORT_S]) / LONG_EFFORT_S
            best = float(np.fmax(best, mean_w.max()))
    return best
