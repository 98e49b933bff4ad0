"""What stood in a TOML file, as a message repeats it."""

from __future__ import annotations

import json
from typing import Any

LONGEST_SHOWN = 60  # characters


def shown(value: Any) -> str:
    """A wrong value as it is typed, or near enough; of a table only that it is one."""
    return shortened(_typed(value))


def shortened(text: str) -> str:
    """The text, cut where it is too long to repeat."""
    return text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}..."


def _typed(value: Any) -> str:
    if isinstance(value, dict):
        return "{...}"
    if isinstance(value, list):
        return f"[{', '.join(map(_typed, value))}]"
    if isinstance(value, float):
        return str(value)
    return json.dumps(value, ensure_ascii=False, default=str)
