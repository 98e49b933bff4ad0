"""One chainring or two, shown."""
