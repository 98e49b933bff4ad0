"""Drivetrains typed as words: `46-30x11-13-15`, `ratios:0.6-0.8-1.0`, with a name before `=`."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from gearsim.errors import PlanError, all_at_once
from gearsim.setup.drivetrain import Drivetrain

EXAMPLE = "46-30x11-13-15-17-19-21-24-28-32-36"
RATIOS = "ratios:"
RATIOS_EXAMPLE = "ratios:0.6-0.8-1.0-1.3"
WIDEST_PAIR = 1.6
"""Two sprockets further apart than this times are the ends of a cassette, not all of it."""

TIMES = re.compile("[x×]", re.IGNORECASE)
BETWEEN_TEETH = re.compile("[-–,]")
BETWEEN_RATIOS = re.compile("[-–]")
WHOLE = re.compile("[0-9]{1,4}")
DECIMAL = re.compile(r"[0-9]{1,4}(\.[0-9]{1,9})?")


def typed_drivetrains(words: Sequence[str]) -> tuple[Drivetrain, ...]:
    """The drivetrains of the words, in their order, each with a name of its own.

    A drivetrain without a name is called by its label, or by the whole word where two labels are
    the same.  Raises `PlanError`: its message is the first fault, its notes are the others.
    """
    found, faults = [], []
    for word in words:
        try:
            found.append(typed_drivetrain(word))
        except PlanError as error:
            faults.append(str(error))
    if faults:
        raise all_at_once(faults)
    labels = Counter(drivetrain.name for drivetrain in found)
    return tuple(
        _called(drivetrain, word) if labels[drivetrain.name] > 1 else drivetrain
        for drivetrain, word in zip(found, words, strict=True)
    )


def typed_drivetrain(word: str) -> Drivetrain:
    """The drivetrain that a word says.

    Raises `PlanError` with the word, what is wrong in it, what is allowed, and an example.
    """
    name, _, gears = word.rpartition("=")
    gears = "".join(gears.split())
    if gears.lower().startswith(RATIOS):
        return _made(word, name=name.strip(), ratios=_ratios(word, gears[len(RATIOS) :]))
    sides = TIMES.split(gears)
    if len(sides) != 2:
        raise _wrong(word, "allowed is a plan file, or chainrings, an x and sprockets")
    rings, sprockets = (_teeth(word, side) for side in sides)
    if len(sprockets) == 2 and max(sprockets) > WIDEST_PAIR * min(sprockets):
        raise _wrong(word, f"{sides[1]} is two sprockets; write every sprocket of the cassette")
    return _made(word, name=name.strip(), chainrings=rings, sprockets=sprockets)


def _called(drivetrain: Drivetrain, word: str) -> Drivetrain:
    if drivetrain.name != drivetrain.label:
        return drivetrain
    return typed_drivetrain(f"{word}={word}")


def _teeth(word: str, side: str) -> tuple[int, ...]:
    parts = BETWEEN_TEETH.split(side)
    for part in parts:
        if not WHOLE.fullmatch(part):
            what = f"{part!r} is no number of teeth" if part else "a number of teeth is missing"
            raise _wrong(word, f"{what}; allowed are whole numbers, - between them")
    return tuple(int(part) for part in parts)


def _ratios(word: str, text: str) -> tuple[float, ...]:
    parts = BETWEEN_RATIOS.split(text)
    for part in parts:
        if not DECIMAL.fullmatch(part):
            what = f"{part!r} is no ratio" if part else "a ratio is missing"
            allowed = "allowed are numbers with a point, - between them"
            raise _wrong(word, f"{what}; {allowed}", RATIOS_EXAMPLE)
    return tuple(float(part) for part in parts)


def _made(word: str, **gears: object) -> Drivetrain:
    try:
        return Drivetrain(**gears)  # type: ignore[arg-type]
    except PlanError as error:
        raise PlanError(f"gears {word!r}: {error}") from error


def _wrong(word: str, what: str, example: str = EXAMPLE) -> PlanError:
    return PlanError(f"gears {word!r}: {what}, such as {example}")
