"""The values of options: read, or refused with what is allowed."""

from __future__ import annotations

from argparse import ArgumentTypeError

DAY_COUNTS = tuple(str(2**power) for power in range(4, 13))  # as `ride_days` allows


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
    try:
        number = float(text)
    except ValueError:
        raise ArgumentTypeError(f"{text!r} is no number; {allowed}") from None
    if not low <= number <= high:
        raise ArgumentTypeError(f"{text!r} is not allowed; {allowed}")
    return number


def some_minutes(text: str) -> float:
    """Minutes, 0 or more, for an option."""
    try:
        minutes = float(text)
    except ValueError:
        minutes = -1.0
    if not 0.0 <= minutes < 10_000.0:
        raise ArgumentTypeError(f"{text!r} is no number of minutes; write it like 5 or 2.5")
    return minutes


def kind_count(text: str) -> int:
    """How many kinds of drivetrain there may be, 1 to 20, for an option."""
    if text.isdecimal() and 1 <= int(text) <= 20:
        return int(text)
    raise ArgumentTypeError(f"{text!r} is not allowed; allowed are 1 to 20")


def from_to(text: str) -> tuple[float, float]:
    """The two numbers of a span such as `75-95`, for an option."""
    parts = text.replace("–", "-").split("-")
    try:
        low, high = (float(part) for part in parts)
    except ValueError:
        raise ArgumentTypeError(f"{text!r} is no span; write it like 75-95") from None
    return low, high


def paces(text: str) -> tuple[float, float]:
    """The slowest and the fastest pace of a group, km/h, for an option."""
    slowest, fastest = from_to(text)
    if not 0.0 < slowest < fastest <= 100.0:
        raise ArgumentTypeError(f"{text!r} is no span of paces in km/h; write it like 28-38")
    return slowest, fastest


def day_count(text: str) -> int:
    """A number of days that can be spread evenly, for an option."""
    if text in DAY_COUNTS:
        return int(text)
    raise ArgumentTypeError(f"{text!r} is not allowed; allowed are {', '.join(DAY_COUNTS)}")
