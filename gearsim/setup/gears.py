"""The gears that a drivetrain has on a bike, one by one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearsim.physics.chain import (
    chain_angle_rad,
    chain_drag_at_wheel_n,
    load_loss_share,
    ring_offsets_mm,
    sprocket_offsets_mm,
)
from gearsim.physics.gearing import development_m
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain

HUB_EFFICIENCY = 0.94
"""Efficiency assumed for a hub gear or gearbox whose own is not given: about two points below a
clean chain drive (Kyle and Berto 2001, second hand)."""

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class Gears:
    """Every gear of a drivetrain, ring by ring (largest first), each from highest to lowest.

    All arrays have one entry a gear.  `chainring` and `sprocket` are teeth (0 where the
    drivetrain is given as ratios), `ring` counts the chainrings from 0.  `load_loss_share` is the
    part of pedalling power lost in proportion to it; `drag_n` is the chain's own drag as a force
    at the wheel; `chain_angle_rad` is how far the chain runs off straight.
    """

    ratio: Floats
    development_m: Floats
    chainring: Integers
    sprocket: Integers
    ring: Integers
    chain_angle_rad: Floats
    load_loss_share: Floats
    drag_n: Floats

    @property
    def place(self) -> Integers:
        """Place of each gear on its ring, 0 for the ring's highest."""
        return np.arange(len(self.ring)) - np.searchsorted(self.ring, self.ring)

    @property
    def highest(self) -> int:
        """Index of the highest gear."""
        return int(np.argmax(self.ratio))

    @property
    def lowest(self) -> int:
        """Index of the lowest gear."""
        return int(np.argmin(self.ratio))


def gears_of(drivetrain: Drivetrain, bike: Bike) -> Gears:
    """Every gear of the drivetrain on this bike's wheels and chainstay."""
    if drivetrain.ratios:
        return _ratio_gears(drivetrain, bike)
    rings, rears = len(drivetrain.chainrings), len(drivetrain.sprockets)
    chainring = np.repeat(np.array(drivetrain.chainrings, dtype=np.int64), rears)
    sprocket = np.tile(np.array(drivetrain.sprockets, dtype=np.int64), rings)
    # Largest ring outermost, smallest sprocket outermost: both lists run from outside inwards.
    ring_offset = np.repeat(ring_offsets_mm(rings), rears)
    rear_offset = np.tile(sprocket_offsets_mm(rears), rings)
    angle = np.asarray(chain_angle_rad(ring_offset, rear_offset, bike.chainstay_mm))
    if drivetrain.efficiency is None:
        loss = np.asarray(load_loss_share(chainring.astype(float), sprocket.astype(float), angle))
        drag = np.asarray(chain_drag_at_wheel_n(sprocket.astype(float), bike.circumference_m))
    else:
        loss, drag = np.full(len(angle), 1.0 - drivetrain.efficiency), np.zeros(len(angle))
    ratio = chainring / sprocket
    return Gears(
        ratio=ratio,
        development_m=np.asarray(development_m(ratio, bike.circumference_m)),
        chainring=chainring,
        sprocket=sprocket,
        ring=np.repeat(np.arange(rings), rears),
        chain_angle_rad=angle,
        load_loss_share=loss,
        drag_n=drag,
    )


def _ratio_gears(drivetrain: Drivetrain, bike: Bike) -> Gears:
    ratio = np.array(drivetrain.ratios)
    efficiency = HUB_EFFICIENCY if drivetrain.efficiency is None else drivetrain.efficiency
    none = np.zeros(len(ratio), dtype=np.int64)
    return Gears(
        ratio=ratio,
        development_m=np.asarray(development_m(ratio, bike.circumference_m)),
        chainring=none,
        sprocket=none,
        ring=none,
        chain_angle_rad=np.zeros(len(ratio)),
        load_loss_share=np.full(len(ratio), 1.0 - efficiency),
        drag_n=np.zeros(len(ratio)),
    )
