"""The chain: what it loses by sprocket size, load and chain line, and where it runs.

Two losses make up the whole, P_lost = share·P + F·v_chain: friction in pins and bushings grows
with the load, and a drag F that the chain has whatever its load.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from gearsim.physics.number import Number
from gearsim.units import CHAIN_PITCH_M, SECONDS_PER_MINUTE

PIN_FRICTION = 0.09  # Spicer et al. 2001, second hand
PIN_RADIUS_M = 1.15e-3  # Spicer et al. 2001, second hand
PLATE_CONTACT_RADIUS_M = 3.74e-3  # Spicer et al. 2001, second hand
CHAIN_DRAG_N = 3.0  # judgement: with it all is 3 % at 100 W, 2 % at 200 W (90 rpm, 40/17)

SPROCKET_SPACING_MM = {7: 5.0, 8: 4.8, 9: 4.35, 10: 3.95, 11: 3.74, 12: 3.65, 13: 3.5}
"""Middle to middle of neighbouring sprockets by their number: common practice, from memory."""

RING_SPACING_MM = 7.5  # middle to middle of neighbouring chainrings: common practice, from memory


def pitch_circle_diameter_m(teeth: Number) -> Number:
    """Diameter of the circle through the chain's pins on a sprocket, m: p/sin(180°/z)."""
    diameter: Number = CHAIN_PITCH_M / np.sin(math.pi / teeth)
    return diameter


def load_loss_share(front_teeth: Number, rear_teeth: Number, chain_angle_rad: Number) -> Number:
    """Share of pedalling power lost in proportion to it, in pins, bushings and side plates.

    π²·(μρ/p)·(1/N₁ + 1/N₂)·(1 + r₀·sin γ/((π/2)·ρ)), with friction μ, pin radius ρ, pitch p, teeth
    N, plate contact radius r₀ and chain angle γ.  Spicer JB et al. (2001), J Mech Des
    123(4):598-605, read second hand: the analytical terms, not a fit to measured efficiency.
    """
    pins = math.pi**2 * PIN_FRICTION * PIN_RADIUS_M / CHAIN_PITCH_M
    plates = PLATE_CONTACT_RADIUS_M / (math.pi / 2.0 * PIN_RADIUS_M) * np.sin(chain_angle_rad)
    share: Number = pins * (1.0 / front_teeth + 1.0 / rear_teeth) * (1.0 + plates)
    return share


def chain_drag_at_wheel_n(rear_teeth: Number, wheel_circumference_m: Number) -> Number:
    """The chain's drag that does not depend on load, as a force at the wheel, N.

    F·N₂·p/circumference: the chain moves N₂·p while the wheel moves its circumference.  That F is
    the same at any load makes efficiency linear in 1/tension, as measured (Spicer JB 2013, J Appl
    Mech 80(2):021005); its size is judgement.
    """
    return CHAIN_DRAG_N * rear_teeth * CHAIN_PITCH_M / wheel_circumference_m


def chain_efficiency(
    power_w: Number,
    cadence_rpm: Number,
    front_teeth: Number,
    rear_teeth: Number,
    chain_angle_rad: Number = 0.0,
) -> Number:
    """Share of pedalling power, above 0 W, that reaches the wheel.

    1 - load loss - F·v_chain/P.  At equal chain tension larger sprockets lose less; at equal power
    and cadence a larger chainring runs the chain faster under less tension and loses more.
    """
    turns_per_s = cadence_rpm / SECONDS_PER_MINUTE * front_teeth / rear_teeth
    drag_w = chain_drag_at_wheel_n(rear_teeth, 1.0) * turns_per_s  # a wheel of 1 m: any will do
    return 1.0 - load_loss_share(front_teeth, rear_teeth, chain_angle_rad) - drag_w / power_w


def chain_angle_rad(
    ring_offset_mm: Number, sprocket_offset_mm: Number, chainstay_mm: Number
) -> Number:
    """Angle of the chain to the bike's length, rad, 0 or more: tan γ = offset/chainstay."""
    angle: Number = np.arctan(np.abs(ring_offset_mm - sprocket_offset_mm) / chainstay_mm)
    return angle


def sprocket_offsets_mm(count: int) -> NDArray[np.float64]:
    """Offset of each sprocket outwards from the middle of them all, mm, outermost first.

    Spacing by number of sprockets; under 7 spaced as 7, over 13 as 13.
    """
    fewest, most = min(SPROCKET_SPACING_MM), max(SPROCKET_SPACING_MM)
    return _offsets_mm(count, SPROCKET_SPACING_MM[min(max(count, fewest), most)])


def ring_offsets_mm(count: int) -> NDArray[np.float64]:
    """Offset of each chainring outwards from the middle of the sprockets, mm, outermost first.

    The middle of the rings is taken to be in line with the middle of the sprockets.
    """
    return _offsets_mm(count, RING_SPACING_MM)


def _offsets_mm(count: int, spacing_mm: float) -> NDArray[np.float64]:
    return spacing_mm * ((count - 1) / 2.0 - np.arange(count, dtype=np.float64))
