"""A file of parts: TOML tables headed [[cassette]], [[chainset]] ..., whose keys are the fields."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import MISSING, fields, replace
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple, get_type_hints

from gearsim.errors import PlanError, all_at_once
from gearsim.setup.parts.kinds import Cassette, Chainset, FrontMech, InternalGear, Part, RearMech
from gearsim.toml.read import read_text, tables_of
from gearsim.toml.shown import shown

Shelf = Mapping[str, Part]
Table = dict[str, Any]

LARGEST_WHOLE = 2**63 - 1  # TOML's own range

SOUND: dict[str, Part] = {
    "cassette": Cassette(name="", sprockets=(11,), driver_body="screw-on", mass_g=0.0),
    "chainset": Chainset(name="", chainrings=(40,), chain_sprockets=(11, 12), mass_g=0.0),
    "rear_mech": RearMech(
        name="",
        sprockets=11,
        smallest_sprocket=11,
        low_sprocket=(30, 34),
        capacity_teeth=40,
        most_chainrings=2,
        clutch=False,
        mass_g=0.0,
    ),
    "front_mech": FrontMech(
        name="",
        chainrings=2,
        largest_gap_teeth=16,
        largest_ring=(46, 50),
        largest_tyre_mm=40.0,
        mass_g=0.0,
    ),
    "internal_gear": InternalGear(
        name="", place="hub", ratios=(1.0,), efficiency=1.0, smallest_drive=2.0, mass_g=0.0
    ),
}
"""Each section's kind of part, as one without fault: with one value of an entry put into it, the
kind's own check tells whether that value is wrong, whatever else is."""


OF_A_PLAN = frozenset(("route", "rider", "bike", "conditions", "drivetrain"))
"""Sections that say of a file that it is a plan."""


class Form(NamedTuple):
    """How a key is written in the file: which values are right, what they become, in words."""

    fits: Callable[[Any], bool]
    become: Callable[[Any], Any]
    words: str


def _is_text(value: Any) -> bool:
    return isinstance(value, str)


def _is_name(value: Any) -> bool:
    return isinstance(value, str) and value.strip() != ""


def _is_truth(value: Any) -> bool:
    return isinstance(value, bool)


def _is_whole(value: Any) -> bool:
    return type(value) is int and abs(value) <= LARGEST_WHOLE


def _is_number(value: Any) -> bool:
    return _is_whole(value) or (type(value) is float and math.isfinite(value))


def _are_whole(value: Any) -> bool:
    return isinstance(value, list) and all(map(_is_whole, value))


def _are_two_whole(value: Any) -> bool:
    return _are_whole(value) and len(value) == 2


def _are_numbers(value: Any) -> bool:
    return isinstance(value, list) and all(map(_is_number, value))


def _floats(value: Iterable[float]) -> tuple[float, ...]:
    return tuple(map(float, value))


FORMS: dict[Any, Form] = {
    str: Form(_is_text, str, "text in quotes"),
    bool: Form(_is_truth, bool, "true or false"),
    int: Form(_is_whole, int, "a whole number"),
    float: Form(_is_number, float, "a plain number"),
    float | None: Form(_is_number, float, "a plain number"),
    tuple[int, ...]: Form(_are_whole, tuple, "a list of whole numbers, such as [11, 13, 15]"),
    tuple[int, int]: Form(_are_two_whole, tuple, "two whole numbers in a list, such as [30, 34]"),
    tuple[float, ...]: Form(_are_numbers, _floats, "a list of numbers, such as [0.75, 1.0, 1.333]"),
}
"""By type of a field; what is a tuple inside is a list in TOML."""

NAME = Form(_is_name, str, "a name in quotes")


@cache
def _keys(section: str) -> dict[str, Form]:
    hints = get_type_hints(type(SOUND[section]))
    forms = {field.name: FORMS[hints[field.name]] for field in fields(SOUND[section])}
    return forms | {"name": NAME}


def add_parts(known: Mapping[str, Shelf], path: Path) -> dict[str, Shelf]:
    """The known parts, by section and name, with those of a file.

    An entry with the name of a known part takes its place, and needs only the keys that change.
    Raises `FileError` for a file that cannot be read and `PlanError` for one that is not a parts
    list: its message is the first fault, and its notes (`__notes__`) are the others.
    """
    data = _read(path)
    faults = [_no_section(section, data[section]) for section in data if section not in SOUND]
    shelves = {
        section: {**known[section], **_parts_of(section, data[section], known[section], faults)}
        if section in data
        else known[section]
        for section in SOUND
    }
    if faults:
        raise all_at_once([f"{path}: {fault}" for fault in faults])
    return shelves


def _read(path: Path) -> Table:
    text = read_text(path, "a file of parts", "check its name")
    if text.lstrip().startswith("<"):
        raise PlanError(f"{path}: looks like a route, not a parts list; give a file of parts")
    data = tables_of(path, text, repeated=SOUND)
    if OF_A_PLAN & data.keys() and not SOUND.keys() & data.keys():
        raise PlanError(
            f"{path}: this is a plan, not a parts list; give a file of parts, with tables headed "
            f"{', '.join(f'[[{known}]]' for known in SOUND)}"
        )
    return data


def _no_section(section: str, value: Any) -> str:
    near = get_close_matches(section, SOUND, n=1)
    meant = f"did you mean [[{near[0]}]]? " if near else ""
    allowed = ", ".join(f"[[{known}]]" for known in SOUND)
    return f"{section} = {shown(value)} is no section of parts; {meant}allowed are {allowed}"


def _parts_of(section: str, entries: Any, known: Shelf, faults: list[str]) -> dict[str, Part]:
    """The parts of a section by name; those at fault are told in `faults` instead."""
    if not (isinstance(entries, list) and all(isinstance(entry, dict) for entry in entries)):
        faults.append(
            f"{section} is {shown(entries)}; allowed are tables headed [[{section}]], "
            "two brackets on either side"
        )
        return {}
    parts = {}
    for place, entry in enumerate(entries, start=1):
        part, found = _part_or_faults(section, place, entry, known)
        faults += found
        if part is not None:
            parts[part.name] = part
    faults += _faults_of_names(section, entries)
    return parts


def _part_or_faults(
    section: str, place: int, entry: Table, known: Shelf
) -> tuple[Part | None, list[str]]:
    name = entry.get("name")
    title = str(name) if _is_name(name) else f"number {place}"
    faults = list(_faults_of_form(section, title, entry, known))
    try:
        if not faults:
            return _part(section, entry, known), []
    except PlanError as error:
        return None, list(_faults_of_values(section, title, entry)) or [str(error)]
    return None, faults + list(_faults_of_values(section, title, entry))


def _part(section: str, entry: Table, known: Shelf) -> Part:
    forms = _keys(section)
    values = {key: forms[key].become(value) for key, value in entry.items()}
    if entry["name"] in known:
        return replace(known[entry["name"]], **values)
    return type(SOUND[section])(**values)


def _faults_of_form(section: str, title: str, entry: Table, known: Shelf) -> Iterator[str]:
    """Keys that are unknown, of the wrong type or missing."""
    where, forms = f"{_words(section)} {title!r}", _keys(section)
    for key, value in entry.items():
        if key not in forms:
            yield f"{where}: {key} = {shown(value)} is no key of it; {_hint(section, key)}"
        elif not forms[key].fits(value):
            yield f"{where}: {key} is {shown(value)}; allowed is {forms[key].words}"
    if title not in known:
        yield from _faults_of_missing(section, where, entry, known)


def _faults_of_values(section: str, title: str, entry: Table) -> Iterator[str]:
    """What the kind's own check says to each value of the right type."""
    for key, form in _keys(section).items():
        if key in entry and form.fits(entry[key]):
            try:
                replace(SOUND[section], **{"name": title, key: form.become(entry[key])})
            except PlanError as error:
                yield str(error)


def _faults_of_missing(section: str, where: str, entry: Table, known: Shelf) -> Iterator[str]:
    needed = [field.name for field in fields(SOUND[section]) if field.default is MISSING]
    missing = [key for key in needed if key not in entry]
    if missing:
        near = get_close_matches(str(entry.get("name")), known, n=1, cutoff=0.7)
        meant = f", or did you mean the known {near[0]!r}?" if near else ""
        told = f"{where}: {', '.join(missing)} missing"
        yield f"{told}; allowed is a new {_words(section)} with every key but price, source{meant}"


def _faults_of_names(section: str, entries: list[Table]) -> Iterator[str]:
    names = (entry["name"] for entry in entries if isinstance(entry.get("name"), str))
    for name, count in Counter(names).items():
        if count > 1:
            yield (
                f"{_words(section)} {name!r} is there {count} times; give each a name of its own"
            )


def _hint(section: str, key: str) -> str:
    near = get_close_matches(key, _keys(section), n=1)
    if near:
        return f"did you mean {near[0]}?"
    homes = [f"[[{other}]]" for other in SOUND if key in _keys(other)]
    if homes:
        return f"it belongs under {' or '.join(homes)}"
    return f"allowed are {', '.join(_keys(section))}"


def _words(section: str) -> str:
    return section.replace("_", " ")
