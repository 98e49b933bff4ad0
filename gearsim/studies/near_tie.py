"""When two mismatches are too close to call."""

NEAR_TIE_POINTS = 0.5
NEAR_TIE_SHARE = 0.1
"""Mismatches within half a point, or a tenth, of each other are a near tie: rider, bike and
weather are hardly ever known better than that (judgement, no source)."""


def near_tie(lower: float, higher: float) -> bool:
    """Whether two mismatches are closer than what goes into them is known."""
    return higher - lower < max(NEAR_TIE_POINTS, NEAR_TIE_SHARE * higher)
