"""Which fonts of this machine draw the letters of a text, and which letters none of them has.

The default font of pictures has Latin, Greek, Cyrillic and a few more.  What it lacks is looked for
in the other fonts that are installed, and only then, since that takes a moment.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from itertools import chain
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.ft2font import FT2Font

PLACEHOLDERS = ("last resort", "lastresort", "adobe blank")
"""How the names of fonts begin that have a box for every letter, and so a letter for none."""

UNLIKE_OURS = ("mono", "serif", "unifont")  # looked at after the others
DEFAULT = "sans-serif"
PLAIN = (400, "normal")  # weights

Letters = frozenset[int]  # by code point

_lacking: ContextVar[set[str] | None] = ContextVar("lacking", default=None)


@contextmanager
def noticing_lacking_letters() -> Iterator[set[str]]:
    """Gather the letters that `drawable` finds no font for, from here to the end."""
    noticed: set[str] = set()
    before = _lacking.set(noticed)
    try:
        yield noticed
    finally:
        _lacking.reset(before)


@contextmanager
def no_word_on_weights() -> Iterator[None]:
    """Have matplotlib not warn that a font has no bold face: its plain one will do."""
    log = logging.getLogger("matplotlib.font_manager")
    before = log.level
    log.setLevel(logging.ERROR)
    try:
        yield
    finally:
        log.setLevel(before)


def drawable(letter: str) -> bool:
    """Whether a font on this machine has the letter; where none has, that is noticed."""
    if _home_of(letter) is not None:
        return True
    noticed = _lacking.get()
    if noticed is not None:
        noticed.add(letter)
    return False


def families_for(text: str) -> list[str]:
    """The font families that draw the text: the default one, then those for what it lacks."""
    homes = (_home_of(letter) for letter in text if letter.isprintable())
    return [DEFAULT, *dict.fromkeys(home for home in homes if home not in (None, DEFAULT))]


def font_for(text: str, *, bold: bool) -> FT2Font:
    """The fonts that draw the text, as one that falls back from the first to the others."""
    from matplotlib.font_manager import get_font

    return get_font([_file_of(family, bold=bold) for family in families_for(text)])


@cache
def _home_of(letter: str) -> str | None:
    """The family that draws a letter, plain and bold; None where there is none."""
    families = chain([DEFAULT], _other_families(ord(letter)))
    return next((each for each in families if ord(letter) in _letters_of(each)), None)


@cache
def _letters_of(family: str) -> Letters:
    faces = (_charmap(_file_of(family, bold=bold)) for bold in (False, True))
    return frozenset.intersection(*faces)


def _file_of(family: str, *, bold: bool) -> str:
    from matplotlib.font_manager import FontProperties, findfont

    weight = "bold" if bold else "normal"
    with no_word_on_weights():
        return str(findfont(FontProperties(family=[family], weight=weight)))


def _other_families(letter: int) -> Iterator[str]:
    """The installed families that may have a letter, best first; read only where it comes to it."""
    for name, letters in _installed().items():
        if letter in letters:
            yield name


@cache
def _installed() -> dict[str, Letters]:
    """The letters of every installed family, sans before others, then those with most letters."""
    from matplotlib.font_manager import fontManager

    files = {  # of a family's fonts the plain one stays, which comes last
        each.name: each.fname
        for each in sorted(fontManager.ttflist, key=lambda font: font.weight in PLAIN)
        if each.style == "normal" and not each.name.lower().startswith((".", *PLACEHOLDERS))
    }
    letters = {name: _charmap(file) for name, file in files.items()}

    def unlike(name: str) -> tuple[bool, int, str]:
        return any(word in name.lower() for word in UNLIKE_OURS), -len(letters[name]), name

    return {name: letters[name] for name in sorted(letters, key=unlike)}


@cache
def _charmap(file: str) -> Letters:
    """The letters of a font; none of one that has gone since matplotlib listed it."""
    from matplotlib.font_manager import get_font

    try:
        return frozenset(get_font(file).get_charmap())
    except (OSError, RuntimeError):
        return frozenset()
