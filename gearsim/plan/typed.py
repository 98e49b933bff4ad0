"""A plan's keys by name and type: the right ones, and the others told with their place."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError

from gearsim.plan.keys import KEYS, REPEATED, VALUES, PlanKeys, Table
from gearsim.toml.shown import shown

Place = tuple[str | int, ...]


def of_right_types(data: Table, faults: list[str]) -> tuple[Table, set[Place]]:
    """The keys that are right by name and type, and the places of the others, told in `faults`."""
    try:
        return PlanKeys.model_validate(data).model_dump(exclude_unset=True), set()
    except ValidationError as error:
        wrong = {
            _place(fault["loc"]): _told(data, fault["loc"], fault["type"])
            for fault in error.errors()
        }
    faults += wrong.values()
    for place in wrong:
        _remove(data, place)
    return of_right_types(data, faults)[0], set(wrong)


def _place(location: Place) -> Place:
    """The place of the key, whichever element of its value is wrong."""
    names = [index for index, part in enumerate(location) if isinstance(part, str)]
    return location[: names[-1] + 1]


def _at(data: Any, place: Place) -> Any:
    for part in place:
        data = data[part]
    return data


def _remove(data: Table, place: Place) -> None:
    """Take a key out, where the section that it is in is still there."""
    if place[0] in data:
        del _at(data, place[:-1])[place[-1]]


def _told(data: Table, location: Place, what: str) -> str:
    place = _place(location)
    section, key = str(place[0]) if len(place) > 1 else "", str(place[-1])
    where = where_is(data, place)
    value = shown(_at(data, place))
    if what == "extra_forbidden":
        return f"{where} = {value} is no key of a plan; {_hint(section, key)}"
    return f"{where} is {value}; allowed is {KEYS[section][key].words}"


def where_is(data: Table, place: Place) -> str:
    """A place in a plan as people find it."""
    if len(place) < 3:
        return ".".join(str(part) for part in place)
    section, index, key = place
    name = named(str(section), int(index), _at(data, place[:-1])).get("name")
    return f"{section} {int(index) + 1 if name is None else repr(name)}: {key}"


def _hint(section: str, key: str) -> str:
    if key in VALUES:
        return f"it has a section of its own, {_brackets(key)}"
    homes = [_heading(other) for other, keys in KEYS.items() if key in keys]
    if homes:
        return f"it belongs {' or '.join(homes)}"
    near = get_close_matches(key, KEYS[section], n=1)
    if near:
        return f"did you mean {near[0]}?"
    unit = key.rpartition("_")[2]
    same_unit = [each for each in KEYS[section] if each.endswith(f"_{unit}")]
    if len(same_unit) == 1:
        return f"did you mean {same_unit[0]}?"
    return f"allowed are {', '.join(KEYS[section])}"


def _heading(section: str) -> str:
    if not section:
        return "at the top, above the first section"
    return f"under {_brackets(section)}"


def _brackets(section: str) -> str:
    return f"[[{section}]]" if section in REPEATED else f"[{section}]"


def named(section: str, index: int, table: Table) -> Table:
    """The table with a name to tell its faults by, where it may have one and has none."""
    if "name" not in KEYS[section] or isinstance(table.get("name"), str):
        return table
    return table | {"name": f"number {index + 1}"}
