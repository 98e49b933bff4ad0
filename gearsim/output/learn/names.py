"""What recorded rides are called so that people tell them apart."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import PurePath

from gearsim.course.recorded.recording import Recording
from gearsim.output.words import clean, listed

SAYS_NOTHING = frozenset(
    {
        "",
        "activity",
        "afternoon ride",
        "bike ride",
        "biking",
        "cycling",
        "evening ride",
        "gpx",
        "lunch ride",
        "morning ride",
        "night ride",
        "recorded ride",
        "recording",
        "ride",
        "road cycling",
        "route",
        "track",
        "unnamed",
        "untitled",
        "workout",
    }
)
"""Names that recorders give of themselves, without their numbers and dates."""

MOST_NAMED = 3


def names_of(recordings: Sequence[Recording]) -> tuple[str, ...]:
    """A name for each recording, and the part of the ride that it is.

    The track's own name, unless that of one says nothing or two files share one: then the files'
    names, with their folders where those are alike too.
    """
    sources = list(dict.fromkeys(recording.source for recording in recordings))
    own = {recording.source: _own_name(recording) for recording in recordings}
    names = [own[source] for source in sources]
    if any(_says_nothing(name) for name in names) or not _all_differ(names):
        names = [clean(_stem(source)) for source in sources]
    if not _all_differ(names):
        names = [clean(f"{PurePath(source).parent}/{_stem(source)}") for source in sources]
    called = dict(zip(sources, names, strict=True))
    return tuple(", ".join(part for part in (called[r.source], r.part) if part) for r in recordings)


def some_of(names: Sequence[str]) -> str:
    """Names in a row, the first few of many: `a, b, c and 4 more`."""
    if len(names) <= MOST_NAMED:
        return listed(names)
    return f"{', '.join(names[:MOST_NAMED])} and {len(names) - MOST_NAMED} more"


def _own_name(recording: Recording) -> str:
    return clean(recording.name.removesuffix(f", {recording.part}"))


def _says_nothing(name: str) -> bool:
    words = re.sub(r"[\W\d_]+", " ", name).strip().lower()
    return words in SAYS_NOTHING


def _all_differ(names: Sequence[str]) -> bool:
    return len(set(names)) == len(names)


def _stem(source: str) -> str:
    return PurePath(PurePath(source).name.removesuffix(".gz")).stem
