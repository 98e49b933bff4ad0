"""The tables of a plan as values; a key left out keeps the value's own default.

The value's own checks say what is allowed, in the field's unit: here it is told in the plan's.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import MISSING, fields
from functools import partial
from typing import Any

from gearsim.errors import PlanError, as_given
from gearsim.plan.keys import (
    EDGES,
    FIELDS,
    KEYS,
    KINDS,
    REPEATED,
    STAND_INS,
    VALUES,
    Edge,
    Table,
    key_of,
)
from gearsim.plan.typed import Place, named, where_is

NUMBER = re.compile(r"(?<= )-?\d[\d.]*(?:e[+-]?\d+)?")


def values_of(section: str, given: Table, wrong: set[Place], faults: list[str]) -> list[Any]:
    """What the section's tables become; those at fault are told in `faults` instead."""
    tables = given.get(section, ()) if section in REPEATED else (given.get(section, {}),)
    values = []
    for index, table in enumerate(tables):
        home = (section, index) if section in REPEATED else (section,)
        told = {str(place[-1]) for place in wrong if place[:-1] == home}
        found = dict(_faults_of_keys(section, index, table, told))
        told |= found.keys()
        others = list(_faults_of_value(section, named(section, index, table), told))
        faults += [*found.values(), *others]
        if not (others or told):
            values.append(_value(section, table))
    return values


def _faults_of_keys(
    section: str, index: int, table: Table, told: set[str]
) -> Iterator[tuple[str, str]]:
    """The keys that a table lacks, and its ranges that are upside down, each with its fault."""
    place = (section, index) if section in REPEATED else (section,)
    tables = {section: [*[{}] * index, table] if section in REPEATED else table}
    needed = {key_of(field.name) for field in fields(VALUES[section]) if field.default is MISSING}
    for key, kind in KEYS[section].items():
        where, value = where_is(tables, (*place, key)), table.get(key)
        if key in needed and key not in table and key not in told:
            yield key, f"{where} is missing; allowed is {kind.words}"
        elif kind is KINDS[tuple[float, float]] and value is not None and value[0] > value[1]:
            yield key, f"{where} is [{', '.join(map(as_given, value))}]; the lower comes first"


def _faults_of_value(section: str, table: Table, told: set[str]) -> Iterator[str]:
    """The faults of a table apart from those of the keys in `told`.

    The value's own check stops at the first fault, so the keys that it names are set aside and
    the rest is tried again.
    """
    needed = STAND_INS.get(section, {})
    stand_ins = {key: needed[key] for key in told if key in needed}
    kept = {key: value for key, value in table.items() if key not in told or key == "name"}
    try:
        _value(section, kept | stand_ins)
        return
    except PlanError as error:
        message = in_plan_words(section, str(error))
    of_keys = message.replace(repr(table.get("name")), "", 1)  # a name may be a key's
    at_fault = {key for key in KEYS[section] if re.search(rf"\b{key}\b", of_keys)}
    if not at_fault & told:
        yield message
    if at_fault - told:
        yield from _faults_of_value(section, table, told | at_fault)


def _value(section: str, table: Table) -> Any:
    return VALUES[section](**dict(_inside(key, value) for key, value in table.items()))


def _inside(key: str, value: Any) -> tuple[str, Any]:
    """The field of a key, and the value in the field's unit."""
    if key not in FIELDS:
        return key, value
    edge = EDGES[FIELDS[key]]
    return FIELDS[key], value * edge.times / edge.over


def in_plan_words(section: str, message: str) -> str:
    """A value's own message with the plan's key and unit."""
    for field, edge in EDGES.items():
        if edge.key in KEYS[section] and re.search(rf"\b{field}\b", message):
            message = re.sub(rf"\b{field}\b", edge.key, message)
            return NUMBER.sub(partial(_in_plan_unit, edge), message)
    return message


def _in_plan_unit(edge: Edge, number: re.Match[str]) -> str:
    # Two digits fewer than `as_given` has: the way to the field's unit and back leaves no trace.
    return f"{float(number[0]) * edge.over / edge.times:.10g}"
