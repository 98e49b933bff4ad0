"""What to say of a key or a heading that a TOML text has twice."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from gearsim.toml.statements import Statement

ALREADY = ("overwrite", "declare", "mutate", "duplicate", "redefine")
"""Words that a parser complains with, of what is there already."""


def hint_for_twice(
    wrong: Statement, told: Sequence[Statement], what: str, repeated: Collection[str]
) -> str | None:
    """What to do with a statement that is there already; None where `what` is another complaint.

    `told` are all statements of the text, and `repeated` the names whose headings take two
    brackets.
    """
    if not any(word in what.lower() for word in ALREADY):
        return None
    before = [each for each in told if each.number < wrong.number]
    if wrong.heading is not None:
        return _of_heading(wrong, wrong.heading, before, repeated)
    return _of_key(wrong.key, before)


def _of_heading(
    wrong: Statement, name: str, before: Sequence[Statement], repeated: Collection[str]
) -> str | None:
    first = next((each for each in before if each.heading == name), None)
    if first is None:
        return None
    if name in repeated or first.text.startswith("[[") or wrong.text.startswith("[["):
        return f"write two brackets on either side, [[{name}]], here and in line {first.number}"
    return f"[{name}] is there already, in line {first.number}; put its keys under one heading"


def _of_key(key: str | None, before: Sequence[Statement]) -> str | None:
    for each in reversed(before):
        if each.heading is not None:
            return None
        if each.key == key:
            return f"{key} is there twice, in line {each.number} too; keep one"
    return None
