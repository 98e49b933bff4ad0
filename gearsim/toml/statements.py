"""The statements of a TOML text, whether or not it is right: keys with values, and headings."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

BEGINS = re.compile(r"\s*([\w\"'.-][^#=\[\]{},]*=|\[\[?[^\[\]=,;]*\]{0,2}\s*(#.*)?$)")
"""How a line begins that goes on with no value: `key =`, or a heading."""

QUOTED = re.compile(r'"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'')
BLANKS = re.compile(r"[ \t]+")  # and no others: those of web pages are a fault
THREE_QUOTES = ('"""', "'''")
HEADING = re.compile(r"\[\[?\s*([\w. -]*?)\s*\]\]?")


@dataclass(frozen=True, kw_only=True)
class Statement:
    """A key with its value, a heading, or what was meant as one, from line `number` (from 1) on.

    `lines` are as they stand in the file; `text` is on one line, without remarks.
    """

    number: int
    lines: tuple[str, ...]

    @property
    def text(self) -> str:
        """The statement on one line, without remarks and blanks at its ends."""
        return BLANKS.sub(" ", " ".join(map(without_remark, self.lines))).strip(" ")

    @property
    def bare(self) -> str:
        """The text with nothing between its quotation marks."""
        return QUOTED.sub('""', self.text)

    @property
    def last(self) -> int:
        """The number of its last line."""
        return self.number + len(self.lines) - 1

    @property
    def heading(self) -> str | None:
        """What a heading names, `drivetrain`; None where it is a key."""
        found = HEADING.fullmatch(self.text)
        return found[1] if found else None

    @property
    def key(self) -> str | None:
        """The key before `=`; None where there is none."""
        key, equals, _ = self.text.partition("=")
        return key.strip().strip("\"'") if equals and not self.text.startswith("[") else None


def without_remark(line: str) -> str:
    """A line up to the # that begins a remark, which is none between quotation marks."""
    blanked = QUOTED.sub(lambda found: "x" * len(found[0]), line)
    return line[: len(blanked.partition("#")[0])]


def statements(text: str) -> tuple[Statement, ...]:
    """The statements of a text; lines that are blank or all remark belong to none."""
    groups: list[list[tuple[int, str]]] = []
    for number, line in _lines_told(text):
        if groups and _goes_on(groups[-1], line):
            groups[-1].append((number, line))
        elif without_remark(line).strip():
            groups.append([(number, line)])
    return tuple(
        Statement(number=group[0][0], lines=tuple(line for _, line in group)) for group in groups
    )


def _lines_told(text: str) -> Iterator[tuple[int, str]]:
    # Only what TOML takes for a line's end, as its parser counts.
    return enumerate(text.replace("\r\n", "\n").split("\n"), start=1)


def _goes_on(group: Sequence[tuple[int, str]], line: str) -> bool:
    """Whether a line goes on with the statement before it, whose brackets are open."""
    before = Statement(number=0, lines=tuple(each for _, each in group))
    if any(before.text.count(marks) % 2 for marks in THREE_QUOTES):
        return True
    return open_bracket(before) is not None and not BEGINS.match(line)


def open_bracket(statement: Statement) -> str | None:
    """The bracket of a value, [ or {, that is not closed; None where all are."""
    _, _, value = statement.bare.partition("=")
    for opens, closes in ("[]", "{}"):
        if value.count(opens) > value.count(closes):
            return opens
    return None


def statement_at(told: Sequence[Statement], number: int) -> Statement | None:
    """The statement on a line of the file, or the last one before it."""
    before = [each for each in told if each.number <= number]
    return before[-1] if before else None
