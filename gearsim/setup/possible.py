"""What is possible at all: the bounds that more than one check holds values to."""

from __future__ import annotations

RING_TEETH = (16, 80)
SPROCKET_TEETH = (8, 70)
MOST_CHAINRINGS = 3
MOST_SPROCKETS = 14
TYRE_MM = (10.0, 130.0)

RIDING_W = (20.0, 2000.0)  # held, or critical
LARGEST_W = 3000.0  # pushed for a moment
CADENCE_RPM = (10.0, 250.0)
BODY_HEIGHT_CM = (80.0, 250.0)
BIKES_OF_A_KIND = (0, 10_000)
