"""Numbers with their nouns."""

from __future__ import annotations


def counted(count: int, one: str, many: str = "") -> str:
    """`1 point`, `3 points`: a number and its noun."""
    return f"{count} {one if count == 1 else many or one + 's'}"
