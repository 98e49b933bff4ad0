"""Days as they may turn out, shown."""
