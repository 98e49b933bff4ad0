"""A search among all that fits, shown."""
