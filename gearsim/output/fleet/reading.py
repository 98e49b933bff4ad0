"""What a fleet's text, records and sheet need beside the fleet itself."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.lists.bikes import BikeList
from gearsim.lists.guests import GuestList
from gearsim.studies.fleet.group_places import GroupPlace, SteepDescent
from gearsim.studies.fleet.nearest_change import Change


@dataclass(frozen=True, kw_only=True)
class FleetReading:
    """The lists as they were read, the places on the way, and what to change."""

    bikes: BikeList
    guests: GuestList
    places: tuple[GroupPlace, ...]
    descents: tuple[SteepDescent, ...]
    changes: tuple[Change, ...]

    @property
    def faults(self) -> tuple[str, ...]:
        """The rows of both lists that were left out, and why."""
        return (*self.bikes.faults, *self.guests.faults)

    @property
    def guesses(self) -> tuple[str, ...]:
        """What was guessed in reading both lists."""
        return (*self.bikes.guesses, *self.guests.guesses)
