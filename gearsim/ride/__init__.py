"""One rider on one bike over one course: pace, ride, shift plan, score."""
