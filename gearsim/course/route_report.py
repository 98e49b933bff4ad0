"""What came in, and what was made of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gearsim.course.heights.noise import HeightNoise
    from gearsim.course.repairs.repair import Repair


@dataclass(frozen=True, kw_only=True)
class RouteReport:
    """The way from route to course, for people to check.

    `source` is the file; `taken` says which track; `points` came in and `points_kept` were left
    after `repairs`; `noise` is the kind of height noise found (None: there was no file);
    `left_out` names the waypoints too far from the course; `assumed_surface` is the one taken for
    the whole route because none was told ("": some were).
    """

    source: str = ""
    taken: str = ""
    points: int = 0
    points_kept: int = 0
    repairs: tuple[Repair, ...] = ()
    noise: HeightNoise | None = None
    left_out: tuple[str, ...] = ()
    assumed_surface: str = ""
