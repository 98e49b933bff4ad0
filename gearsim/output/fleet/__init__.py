"""A fleet for its guests, shown."""
