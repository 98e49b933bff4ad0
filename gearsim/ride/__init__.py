"""One rider on one bike over one course: pace, ride, shift plan, score."""

from gearsim.ride.compiled import kernel_ready

__all__ = ["kernel_ready"]
