"""One chainring or two, and what would change that."""
