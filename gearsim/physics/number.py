"""The one type that formulas take and give."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Number = float | NDArray[np.float64]
"""A number, or an array of them: formulas work on either, by broadcasting."""
