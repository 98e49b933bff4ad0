"""The chainrings and sprockets that a hub gear or gearbox may be driven with."""

from __future__ import annotations

from gearsim.setup.fit.build import InternalBuild
from gearsim.setup.parts.kinds import InternalGear

TEETH = {"hub": (range(34, 51, 2), range(13, 25)), "gearbox": (range(24, 37, 2), range(18, 33))}
"""Chainrings and sprockets by the place of the gear: common practice, no source."""

WIDEST_DRIVE = 1.6
DRIVE_STEP = 1.05
"""Drives tried: from the lowest that the gear's maker allows to 1.6 times it, 5 % or more apart."""


def drives_of(gear: InternalGear) -> list[InternalBuild]:
    """The gear with chainrings and sprockets from the lowest drive allowed upwards."""
    chainrings, sprockets = TEETH[gear.place]
    every = sorted(
        (
            InternalBuild(internal_gear=gear, chainring=ring, sprocket=rear)
            for ring in chainrings
            for rear in sprockets
        ),
        key=lambda build: (build.drive, build.chainring),
    )
    kept: list[InternalBuild] = []
    for build in every:
        inside = gear.smallest_drive <= build.drive <= WIDEST_DRIVE * gear.smallest_drive
        if inside and (not kept or build.drive >= DRIVE_STEP * kept[-1].drive):
            kept.append(build)
    return kept
