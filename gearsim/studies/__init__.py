"""Many rides, one question."""
