"""Repaired heights smoothed, so that grade can be believed."""
