"""A TOML file → its tables; one that is no TOML is refused with its lines and what was meant."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Sequence
from pathlib import Path
from typing import Any

from gearsim.errors import FileError, PlanError, all_at_once
from gearsim.toml.shown import shortened
from gearsim.toml.slips import hint_for
from gearsim.toml.statements import Statement, open_bracket, statement_at, statements
from gearsim.toml.twice import hint_for_twice

Table = dict[str, Any]

MOST_FAULTS = 20  # a file with more is hardly what it was taken for
PLACE = re.compile(r"(.*) \(at (?:line (\d+), column (\d+)|end of document)\)", re.DOTALL)


def read_text(path: Path, wanted: str, absent: str) -> str:
    """The text of a file, `wanted` being what it should be, `absent` what to do without it.

    Raises `FileError` for what cannot be read and `PlanError` for what is no text.
    """
    try:
        if path.exists() and not path.is_file():
            raise FileError(f"{path}: is a folder or a device; give {wanted}")
        if not path.exists():
            raise FileError(f"{path}: there is no such file; {absent}")
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise PlanError(f"{path}: is not UTF-8 text; save it as UTF-8") from error
    except OSError as error:
        raise FileError(f"{path}: cannot be read ({error.strerror}); check the file") from error


def tables_of(path: Path, text: str, repeated: Collection[str] = ()) -> Table:
    """The tables of a TOML text; those named in `repeated` are headed by two brackets.

    Raises `PlanError`: its message is the first fault, and its notes are the others.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        raise all_at_once([f"{path}: {fault}" for fault in _faults(text, repeated)]) from None
    except (ValueError, RecursionError) as error:
        raise PlanError(
            f"{path}: a number is too long or brackets are nested too deep; mend the TOML"
        ) from error


def _faults(text: str, repeated: Collection[str]) -> list[str]:
    """What is wrong with a text, line by line: each is taken out to find the next."""
    told, lines, faults = statements(text), text.split("\n"), list[str]()
    while len(faults) < MOST_FAULTS:
        try:
            tomllib.loads("\n".join(lines))
            return faults
        except tomllib.TOMLDecodeError as error:
            found = PLACE.fullmatch(str(error))
            what, number, column = found.groups() if found else (str(error), None, None)
        except (ValueError, RecursionError):
            return faults
        left = [each for each in told if lines[each.number - 1].strip()]
        wrong = _at_fault(left, int(number or len(lines)))
        if wrong is None:
            return [*faults, f"{what}; mend the TOML"]
        hint = hint_for_twice(wrong, told, what, repeated) or hint_for(wrong)
        faults.append(_told(wrong, hint or _parsers_words(what, number, column)))
        if wrong.key is None:  # without its heading, keys would be taken for another's
            return faults
        lines[wrong.number - 1 : wrong.last] = [""] * len(wrong.lines)
    return faults


def _at_fault(told: Sequence[Statement], number: int) -> Statement | None:
    """The statement that a parser stopped in: one with an open bracket began long before."""
    unclosed = [each for each in told if open_bracket(each) and each.number <= number]
    return unclosed[0] if unclosed else statement_at(told, number)


def _told(wrong: Statement, hint: str) -> str:
    return f"line {wrong.number}: {shortened(wrong.text)} cannot be read; {hint}"


def _parsers_words(what: str, number: str | None, column: str | None) -> str:
    place = f" at line {number}, column {column}" if number else " at the end"
    return f"{what[:1].lower()}{what[1:]}{place}"
