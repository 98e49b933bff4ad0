"""A ride as its instruments told it."""
