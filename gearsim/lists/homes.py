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


def check(row: RowReader, column: str, value: object, home: Home) -> None:
    """Note a value that no rider, bike or frame can have, by their own checks."""
    make: Callable[..., object] = VALUES[home.section]
    try:
        make(**fields_of({column: value}, {column: home}))
    except PlanError as error:
        allowed = in_plan_words(home.section, str(error)).partition("; ")[2]
        row.fault(column, row.cells[column], allowed.removeprefix("allowed is "))


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
