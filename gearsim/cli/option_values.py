"""The values of options: read, or refused with what is allowed."""

from __future__ import annotations

import re
from argparse import ArgumentTypeError

DAY_COUNTS = tuple(str(2**power) for power in range(4, 13))  # as `ride_days` allows

COMMA_NUMBER = re.compile(r"\d+,\d+", re.ASCII)


def rider_kilograms(text: str) -> float:
    """Mass of a rider, kg, for an option."""
    return _amount(text, 20.0, 250.0, "kg")


def bike_kilograms(text: str) -> float:
    """Mass of a bike, kg, for an option."""
    return _amount(text, 3.0, 150.0, "kg")


def wheel_millimetres(text: str) -> float:
    """Circumference of a wheel of 12 to 29 inches, mm, for an option."""
    return _amount(text, 1000.0, 2600.0, "mm")


def _amount(text: str, low: float, high: float, unit: str) -> float:
    allowed = f"allowed is {low:g} to {high:g} {unit}, the number alone"
    number = _number(text, f"{text!r} is no number; {allowed}")
    if not low <= number <= high:
        raise ArgumentTypeError(f"{text!r} is not allowed; {allowed}")
    return number


def some_minutes(text: str) -> float:
    """Minutes, 0 or more, for an option."""
    refused = f"{text!r} is no number of minutes; write it like 5 or 2.5"
    minutes = _number(text, refused)
    if not 0.0 <= minutes < 10_000.0:
        raise ArgumentTypeError(refused)
    return minutes


def kind_count(text: str) -> int:
    """How many kinds of drivetrain there may be, 1 to 20, for an option."""
    if text.isdecimal() and 1 <= int(text) <= 20:
        return int(text)
    raise ArgumentTypeError(f"{text!r} is not allowed; allowed are 1 to 20")


def any_number(text: str) -> float:
    """A number whose bounds are checked where it is used, for an option."""
    return _number(text, f"{text!r} is no number; write it like 40 or 2.5")


def cadences(text: str) -> tuple[float, float]:
    """The two numbers of a span of cadences such as `75-95`, rpm, for an option."""
    return _span(text, f"{text!r} is no span; write it like 75-95")


def paces(text: str) -> tuple[float, float]:
    """The slowest and the fastest pace of a group, km/h, for an option."""
    refused = f"{text!r} is no span of paces in km/h; write it like 28-38"
    slowest, fastest = _span(text, refused)
    if not 0.0 < slowest < fastest <= 100.0:
        raise ArgumentTypeError(refused)
    return slowest, fastest


def day_count(text: str) -> int:
    """A number of days that can be spread evenly, for an option."""
    if text in DAY_COUNTS:
        return int(text)
    raise ArgumentTypeError(f"{text!r} is not allowed; allowed are {', '.join(DAY_COUNTS)}")


def _span(text: str, refused: str) -> tuple[float, float]:
    parts = text.replace("–", "-").split("-")
    if len(parts) != 2:
        raise ArgumentTypeError(refused)
    low, high = (_number(part, refused) for part in parts)
    return low, high


def _number(text: str, refused: str) -> float:
    """The number; `refused` says what is wrong with what is none, unless it has a comma."""
    typed = text.strip()
    if COMMA_NUMBER.fullmatch(typed):
        with_dot = typed.replace(",", ".")
        raise ArgumentTypeError(f"{text!r} has a comma; numbers take a dot here: {with_dot}")
    try:
        return float(typed)
    except ValueError:
        raise ArgumentTypeError(refused) from None
