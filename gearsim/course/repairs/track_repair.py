"""One kind of repair on a track: how much of it, where, and in which words it is told."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.course.track import Indices


@dataclass(frozen=True, kw_only=True)
class TrackRepair:
    """One kind of repair: its name, how often, the sentence, and the numbers of the points."""

    what: str
    count: int
    sentence: str
    number: Indices
