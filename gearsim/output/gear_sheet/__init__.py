"""Gears without a road, shown."""
