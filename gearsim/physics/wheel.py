"""Wheels: circumference and radius from rim and tyre."""

from __future__ import annotations

import math

from gearsim.physics.number import Number


def wheel_radius_m(rim_m: Number, tyre_m: Number) -> Number:
    """Radius of a wheel, m: r = BSD/2 + width.

    `rim_m` is the bead seat diameter and `tyre_m` the tyre's width, both in m (ISO 5775).  The
    tyre is taken to be as high as wide, and not to sink in under load.
    """
    return rim_m / 2.0 + tyre_m


def wheel_circumference_m(rim_m: Number, tyre_m: Number) -> Number:
    """Rolling circumference of a wheel, m: π·(BSD + 2·width).

    `rim_m` is the bead seat diameter and `tyre_m` the tyre's width, both in m (ISO 5775).  Within
    0.3 % of printed tyre tables for 25 to 35 mm on 622 mm rims.
    """
    return 2.0 * math.pi * wheel_radius_m(rim_m, tyre_m)
