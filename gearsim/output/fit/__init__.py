"""What fits with what, shown."""
