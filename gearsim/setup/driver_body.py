"""The body of the rear hub that carries the sprockets, and what goes on it."""

from __future__ import annotations

from typing import NamedTuple


class DriverBody(NamedTuple):
    """A class of driver body: what it is, and the smallest sprocket that it has room for."""

    what: str
    smallest_sprocket: int


DRIVER_BODIES = {
    "screw-on": DriverBody("a threaded hub that the sprockets are screwed onto", 13),
    "splined, 8 to 10": DriverBody("the long-established splined body", 11),
    "splined, long": DriverBody("the same splines, wider for 11 and more on the road", 11),
    "splined, short": DriverBody("a stepped body for wide ranges", 10),
    "splined, fine": DriverBody("a body with many small splines", 10),
    "splined, small": DriverBody("a smaller body", 9),
}
"""A cassette fits a hub of its own class.  Smallest sprockets: common practice, from memory."""

WITH_A_SPACER = {("splined, 8 to 10", "splined, long")}
"""Cassettes and the other bodies that take them with a spacer: common practice, from memory."""
