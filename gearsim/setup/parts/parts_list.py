"""The parts there are to choose from: the package's own and the user's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from gearsim.errors import PlanError
from gearsim.setup.parts.kinds import Cassette, Chainset, FrontMech, InternalGear, Part, RearMech
from gearsim.setup.parts.parts_file import SOUND, Shelf, add_parts

OWN_FILES = (
    "cassettes.toml",
    "chainsets.toml",
    "rear_mechs.toml",
    "front_mechs.toml",
    "internal_gears.toml",
)
"""The package's own parts, beside this file: generic descriptions, most of them from memory."""

NEAREST_SHOWN = 5

AnyPart = TypeVar("AnyPart", bound=Part)


@dataclass(frozen=True, kw_only=True)
class PartsList:
    """The parts to choose from, by kind; a name is there once in its kind."""

    cassettes: tuple[Cassette, ...] = ()
    chainsets: tuple[Chainset, ...] = ()
    rear_mechs: tuple[RearMech, ...] = ()
    front_mechs: tuple[FrontMech, ...] = ()
    internal_gears: tuple[InternalGear, ...] = ()

    def cassette(self, name: str) -> Cassette:
        """The cassette of that name; raises `PlanError` with the nearest right spellings."""
        return _named("cassette", self.cassettes, name)

    def chainset(self, name: str) -> Chainset:
        """The chainset of that name; raises `PlanError` with the nearest right spellings."""
        return _named("chainset", self.chainsets, name)

    def rear_mech(self, name: str) -> RearMech:
        """The rear mech of that name; raises `PlanError` with the nearest right spellings."""
        return _named("rear mech", self.rear_mechs, name)

    def front_mech(self, name: str) -> FrontMech:
        """The front mech of that name; raises `PlanError` with the nearest right spellings."""
        return _named("front mech", self.front_mechs, name)

    def internal_gear(self, name: str) -> InternalGear:
        """The hub gear or gearbox of that name; raises `PlanError` with the nearest spellings."""
        return _named("internal gear", self.internal_gears, name)


def load_parts(*paths: str | Path) -> PartsList:
    """The package's own parts and those of the user's files, in that order.

    A file holds tables headed [[cassette]], [[chainset]], [[rear_mech]], [[front_mech]] and
    [[internal_gear]], with the fields of `Cassette` ... as keys.  An entry with the name of a part
    that is already there takes its place, and needs only the keys that change: a price, say.

    Raises `FileError` for a file that cannot be read and `PlanError` for one that is not a parts
    list: its message is the first fault, and its notes (`__notes__`) are the others, one line each.
    """
    shelves = _own_shelves()
    for path in paths:
        shelves = add_parts(shelves, Path(path))
    return _as_list(shelves)


@cache
def _own_shelves() -> dict[str, Shelf]:
    shelves: dict[str, Shelf] = {section: {} for section in SOUND}
    for name in OWN_FILES:
        shelves = add_parts(shelves, Path(__file__).with_name(name))
    return shelves


def _as_list(shelves: dict[str, Shelf]) -> PartsList:
    kinds: dict[str, Any] = {f"{section}s": tuple(shelves[section].values()) for section in SOUND}
    return PartsList(**kinds)


def _named(kind: str, parts: Sequence[AnyPart], name: str) -> AnyPart:
    for part in parts:
        if part.name == name:
            return part
    names = [part.name for part in parts]
    near = [known for known in names if known.startswith(name)] or get_close_matches(name, names)
    meant = " or ".join(map(repr, near[:NEAREST_SHOWN]))
    such = f", such as {names[0]!r}" if names else ""
    hint = f"did you mean {meant}?" if near else f"it has {len(names)}{such}"
    raise PlanError(f"{kind} {name!r} is not in the parts list; {hint}")
