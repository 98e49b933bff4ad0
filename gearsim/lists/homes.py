"""Which value of the plan a column stands for, and the check that this value makes of a number."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from gearsim.errors import PlanError
from gearsim.lists.columns import RowReader
from gearsim.plan.keys import EDGES, VALUES
from gearsim.plan.values import in_plan_words


class Home(NamedTuple):
    """The section of the plan and the key in it that a column stands for."""

    section: str
    key: str


Homes = Mapping[str, Home]


def check(row: RowReader, given: Mapping[str, Any], homes: Homes) -> None:
    """Note values that no rider, bike or frame can have, by their own checks, one by one."""
    for column in [column for column in homes if column in given]:
        section = homes[column].section
        make: Callable[..., object] = VALUES[section]
        try:
            make(**fields_of({column: given[column]}, homes))
        except PlanError as error:
            row.note(column, row.cells[column], in_plan_words(section, str(error)).split("; ")[-1])


def fields_of(given: Mapping[str, Any], homes: Homes, section: str | None = None) -> dict[str, Any]:
    """The fields that given columns stand for, in the fields' units; those of one section only."""
    by_key = {edge.key: (field, edge) for field, edge in EDGES.items()}
    fields = {}
    for column, value in given.items():
        if column not in homes or section not in (None, homes[column].section):
            continue
        field, edge = by_key.get(homes[column].key, (homes[column].key, None))
        fields[field] = value if edge is None else value * edge.times / edge.over
    return fields
