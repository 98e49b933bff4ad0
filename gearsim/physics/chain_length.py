"""How long a chain must be: the closed loop around a chainring and a sprocket.

Lengths are in links of one pitch each (half an inch), so 114 links are 57 pairs of an inner and
an outer one.  They are those of the loop alone, without the way through a rear mech.
"""

from __future__ import annotations

import math

import numpy as np

from gearsim.physics.chain import pitch_circle_diameter_m
from gearsim.physics.number import Number
from gearsim.units import CHAIN_PITCH_M


def approximate_chain_links(front_teeth: Number, rear_teeth: Number, centres_m: Number) -> Number:
    """Links of a chain around two wheels, the textbook approximation.

    L = 2·a/p + (z₁ + z₂)/2 + ((z₂ - z₁)/2π)²·p/a with teeth z, distance between the wheels'
    centres a and pitch p.  Bhandari, Design of Machine Elements, example 14.3.  It falls short of
    `chain_links` by less than 0.02 links on a bicycle.
    """
    bow = ((front_teeth - rear_teeth) / (2.0 * math.pi)) ** 2 * CHAIN_PITCH_M / centres_m
    return 2.0 * centres_m / CHAIN_PITCH_M + (front_teeth + rear_teeth) / 2.0 + bow


def chain_links(front_teeth: Number, rear_teeth: Number, centres_m: Number) -> Number:
    """Links of a taut chain around two wheels: two straight runs and the teeth it lies on.

    L = 2·a·cos α/p + z₁·(π + 2α)/2π + z₂·(π - 2α)/2π, where sin α = (r₁ - r₂)/a and r are the
    radii of the pitch circles; a link lies on each tooth that is wrapped.

    `centres_m` (above the difference of the radii) is the distance of the wheels' centres, m:
    on a bicycle the length of the chainstay.
    """
    radii_m = (pitch_circle_diameter_m(front_teeth) - pitch_circle_diameter_m(rear_teeth)) / 2.0
    lean = np.arcsin(radii_m / centres_m)
    runs = 2.0 * centres_m * np.cos(lean) / CHAIN_PITCH_M
    wrapped = (front_teeth + rear_teeth) / 2.0 + (front_teeth - rear_teeth) * lean / math.pi
    links: Number = runs + wrapped
    return links


def whole_links(links: float) -> int:
    """The next even number of links: inner and outer ones alternate, so a chain closes in pairs."""
    return 2 * math.ceil(links / 2.0)


def slack_teeth(front_teeth: int, rear_teeth: int, longest_teeth: int) -> int:
    """Slack that a rear mech takes up in a gear, in teeth as its capacity is counted.

    `longest_teeth` are those of the largest chainring and the largest sprocket together, which
    the chain is cut for.  Two teeth fewer on either wheel free about one link.
    """
    return longest_teeth - front_teeth - rear_teeth
