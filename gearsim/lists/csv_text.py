"""A CSV file as spreadsheets write it: its lines of cells, and the guesses made in reading it."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from gearsim.errors import FileError, PlanError

SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs"}
WORKBOOK = b"PK\x03\x04"  # the zip archive that spreadsheets save their own formats as
OTHER_KINDS = (
    (re.compile(r"<"), "a route or a web page"),
    (re.compile(r"\[\[?\w+\]|\w+ ?= ?[\[\"'\w]|# A plan"), "a plan or a parts list"),
    (re.compile(r"[{\[]"), "JSON"),
    (re.compile(r"%PDF"), "a PDF"),
)
"""How the first line of a file begins that is no CSV, and what it looks like then."""


@dataclass(frozen=True, kw_only=True)
class Line:
    """A line that is not blank: its number in the file (from 1) and its cells, stripped."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class CsvText:
    """The lines of a file, the first one its heads; `guesses` say what the file left open."""

    path: Path
    lines: tuple[Line, ...]
    guesses: tuple[str, ...]


def read_csv(path: Path) -> CsvText:
    """Read a CSV file, whatever its line ends, separators and, within reason, its letters.

    Blank lines and empty cells at the end of a line are dropped.  Raises `FileError` for a file
    that cannot be read, `PlanError` for one that is no CSV or has nothing in it.
    """
    text, guesses = _decoded(path, _bytes_of(path))
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    first = next((line for line in text.split("\n") if line.strip(" \t,;")), "")
    if not first:
        raise PlanError(f"{path}: is empty; give a line of column names and a line for each entry")
    _refuse_other_kinds(path, first)
    separator = _told_separator(first) or max(SEPARATORS, key=first.count)
    if separator != ",":
        guesses.append(f"cells are taken to be parted by {SEPARATORS[separator]}")
    lines = tuple(_lines(path, text, separator))
    if _told_separator(first):
        lines = lines[1:]
    if not lines:
        raise PlanError(f"{path}: has no column names; give a line of them, the first one name")
    return CsvText(path=path, lines=lines, guesses=tuple(guesses))


def _refuse_other_kinds(path: Path, first: str) -> None:
    if _told_separator(first):
        return
    for begins, what in OTHER_KINDS:
        if begins.match(first.strip()):
            raise PlanError(
                f"{path}: looks like {what}, not a CSV list; give a list with a line of column "
                "names, as a spreadsheet saves it"
            )


def _bytes_of(path: Path) -> bytes:
    try:
        if path.exists() and not path.is_file():
            raise FileError(f"{path}: is a folder or a device; give a CSV file")
        content = path.read_bytes()
    except OSError as error:
        raise FileError(f"{path}: cannot be read ({error.strerror}); check the file") from error
    if content.startswith(WORKBOOK):
        raise PlanError(f"{path}: is a spreadsheet's own format; save the sheet as CSV")
    return content


def _decoded(path: Path, content: bytes) -> tuple[str, list[str]]:
    """The text, and a guess where its letters are not in UTF-8."""
    try:
        if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            return content.decode("utf-16"), []
        if b"\0" in content:
            raise PlanError(f"{path}: is no text; save the sheet as CSV")
        return content.decode("utf-8-sig"), []
    except UnicodeDecodeError:
        guess = "letters are not in UTF-8 and taken to be in Latin-1: check the names with accents"
        return content.decode("latin-1"), [guess]


def _told_separator(first: str) -> str | None:
    """The separator where the first line is of the kind `sep=;` that some sheets begin with."""
    told = first.strip().strip('"').lower()
    return told[-1] if told in {f"sep={mark}" for mark in SEPARATORS} else None


def _lines(path: Path, text: str, separator: str) -> Iterator[Line]:
    reader = csv.reader(io.StringIO(text), delimiter=separator, strict=True)
    number = 1
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            while stripped and not stripped[-1]:
                stripped.pop()
            if stripped:
                yield Line(number=number, cells=tuple(stripped))
            number = reader.line_num + 1
    except csv.Error as error:
        raise PlanError(
            f'{path}: line {number}: its quotation marks do not close; write "..." around the '
            'whole cell, and "" for a mark inside it'
        ) from error
